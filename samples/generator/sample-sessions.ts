import type { SessionRecordInput } from '../../src/core/record/session-record.ts'
import type { Person } from './people.ts'
import { dayOf } from './planned-sitting.ts'
import { SCENARIOS } from './scenarios.ts'
import { seededRandom } from './seeded-random.ts'
import { sittingNumbers } from './sitting.ts'
import { wallClock } from './wall-clock.ts'

const NO_SHIFT = { systolic: 0, diastolic: 0 }

/** The session records of one invented person, in the order they were measured. The same on every run. */
export function sampleSessions(person: Person): readonly SessionRecordInput[] {
  const scenario = SCENARIOS.get(person.subject)
  if (scenario === undefined) throw new Error(`no scenario is written for ${person.subject}`)
  const { level, readings, cuffFor, write, seed } = scenario
  const random = seededRandom(seed)
  return scenario.plan(random).map((planned, index) => {
    const { shift = NO_SHIFT, firstShift = NO_SHIFT, arm = 'left', conditions } = planned
    const [first, ...others] = sittingNumbers(level, readings, shift, random)
    const raised = first === undefined ? [] : [plus(first, firstShift)]
    return write({
      id: `${person.subject.toLowerCase()}-${String(index + 1).padStart(3, '0')}`,
      subject: person.subject,
      zone: person.zone,
      startMs: wallClock(dayOf(person.firstDay, planned.day), planned.time, person.zone),
      gapSeconds: random.whole(62, 85),
      arm,
      numbers: [...raised, ...others],
      conditions: { cuffFor, ...conditions },
      device: {
        manufacturer: 'Made-up Monitors',
        model: 'MM-2',
        serial: `MM2-${person.patient.value.slice(3)}`,
        kind: 'upper-arm-automatic',
      },
    })
  })
}

function plus<T extends typeof NO_SHIFT>(numbers: T, shift: typeof NO_SHIFT): T {
  return {
    ...numbers,
    systolic: numbers.systolic + shift.systolic,
    diastolic: numbers.diastolic + shift.diastolic,
  }
}

/** The sessions of a person as the NDJSON text of `samples/sessions/<subject>.ndjson`. */
export function sampleFile(person: Person): string {
  return sampleSessions(person)
    .map((session) => `${JSON.stringify(session)}\n`)
    .join('')
}
