import type { SessionRecordInput } from '../../src/core/record/session-record.ts'
import { seededRandom } from './seeded-random.ts'
import { MORNING, sittingNumbers } from './sitting.ts'

export interface SessionPlan {
  readonly seed: number
  readonly count: number
  /** How many people they are spread over. */
  readonly subjects: number
}

const FIRST_MS = Date.parse('2026-01-05T06:00:00Z')
const MS_PER_DAY = 86_400_000

/**
 * Any number of session records for benches: random ids, random people, three readings on a random morning of twelve
 * weeks. The same plan gives the same records.
 */
export function* generateSessions({ seed, count, subjects }: SessionPlan): Generator<SessionRecordInput> {
  const random = seededRandom(seed)
  for (let made = 0; made < count; made += 1) {
    const startMs = FIRST_MS + random.whole(0, 83) * MS_PER_DAY + random.whole(0, 7199) * 1000
    const systolic = random.whole(112, 158)
    // Far enough apart that chance never brings the two together in a reading.
    const level = { systolic, diastolic: systolic - random.whole(42, 60), pulse: random.whole(56, 84) }
    const numbers = sittingNumbers(level, 3, { systolic: 0, diastolic: 0 }, random)
    yield {
      id: random.uuid(),
      subject: benchSubject(random.whole(1, subjects)),
      takenAt: utcText(startMs),
      setting: 'home',
      position: 'sitting',
      arm: random.next() < 0.8 ? 'left' : 'right',
      site: 'upper-arm',
      readings: numbers.map((reading, index) => ({ takenAt: utcText(startMs + index * 70_000), ...reading })),
      unit: 'mmHg',
      entry: 'transferred',
      conditions: { ...MORNING, cuffFor: { minCm: 22, maxCm: 32 } },
      device: { manufacturer: 'Made-up Monitors', model: 'MM-2', kind: 'upper-arm-automatic' },
    }
  }
}

/** The subject id of the nth person of a bench, from 1. */
export function benchSubject(number: number): string {
  return `B-${String(number).padStart(6, '0')}`
}

function utcText(epochMs: number): string {
  return `${new Date(epochMs).toISOString().slice(0, 19)}+00:00`
}
