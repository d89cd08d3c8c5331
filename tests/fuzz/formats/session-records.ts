import { generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { canaryText } from '../canaries.ts'
import { jsonTree } from '../json-tree.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { PEOPLE } from './made-sittings.ts'

export const SESSION_RECORDS: FuzzFormat = {
  name: 'session records',
  valid(random) {
    const plan = { seed: random.whole(0, 2 ** 31), count: random.whole(1, 4), subjects: PEOPLE }
    const sessions = [...generateSessions(plan)].map((session) =>
      random.happens(0.3) ? { ...session, note: canaryText(random) } : session,
    )
    const readings = sessions.reduce((sum, session) => sum + session.readings.length, 0)
    return { records: sessions.map(jsonTree), readings }
  },
}
