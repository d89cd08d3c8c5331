import type { Arm } from '../../src/core/clinical/session.ts'
import type { SessionRecordInput } from '../../src/core/record/session-record.ts'
import type { Level } from './sitting.ts'
import { textInZone } from './wall-clock.ts'

/** One sitting as a home app would describe it, before it is written down. */
export interface Sitting {
  readonly id: string
  readonly subject: string
  readonly zone: string
  /** Epoch milliseconds of the first reading. */
  readonly startMs: number
  /** Seconds from one reading to the next. */
  readonly gapSeconds: number
  readonly arm: Arm
  readonly numbers: readonly Level[]
  readonly conditions: NonNullable<SessionRecordInput['conditions']>
  readonly device: NonNullable<SessionRecordInput['device']>
}

/** The session record of a sitting whose numbers came from the monitor, in mmHg and each with its time. */
export function transferredSession(sitting: Sitting): SessionRecordInput {
  const { startMs, gapSeconds, zone } = sitting
  const readings = sitting.numbers.map((numbers, index) => ({
    takenAt: textInZone(startMs + index * gapSeconds * 1000, zone),
    ...numbers,
  }))
  return { ...commonOf(sitting), readings, unit: 'mmHg', entry: 'transferred', ...detailsOf(sitting) }
}

/** The session record of a sitting read off a monitor that shows kPa to one decimal, and typed in. */
export function typedKPaSession(sitting: Sitting): SessionRecordInput {
  const readings = sitting.numbers.map(({ systolic, diastolic, pulse }) => ({
    systolic: kPaShown(systolic),
    diastolic: kPaShown(diastolic),
    pulse,
  }))
  return { ...commonOf(sitting), readings, unit: 'kPa', entry: 'typed', ...detailsOf(sitting) }
}

function commonOf({ id, subject, startMs, zone, arm }: Sitting) {
  const takenAt = textInZone(startMs, zone)
  return { id, subject, takenAt, setting: 'home', position: 'sitting', arm, site: 'upper-arm' } as const
}

function detailsOf({ conditions, device }: Sitting) {
  return { conditions, device }
}

/** What a display with one decimal shows. Source: UCUM, 1 mm[Hg] = 133.322 Pa. */
function kPaShown(mmHg: number): number {
  return Math.round((mmHg * 133.322) / 100) / 10
}
