import type { SourceRecord } from '../../basics/source-record.ts'
import { mostReadings } from '../../record/session-record.ts'
import type { Kind, Rule } from '../compiled-kind.ts'
import { applyRule, type Filled, hasSource } from './apply-rule.ts'
import { type Moment, momentOf } from './moment.ts'
import type { RecordView } from './record-view.ts'

/** Native place, within the record or the reading, to what a rule made of it. */
export type FilledPlaces = Map<string, Filled>

/** What one source record says: of the sitting, and of its readings. */
export interface Piece {
  readonly source: SourceRecord
  readonly kind: Kind
  readonly subject: string
  readonly session: FilledPlaces
  readonly readings: FilledPlaces[]
  /** When each reading was taken, as far as that is told. */
  readonly moments: readonly (Moment | undefined)[]
}

/** The piece a record makes by the rules of its kind; undefined when it cannot, which is told, all of it at once. */
export function pieceOf(kind: Kind, view: RecordView): Piece | undefined {
  const session = fill(kind.session, view, '')
  const readings = readingsOf(kind, view)
  const subject = session.get('subject')
  if (subject?.value === undefined && view.issues.length === 0) {
    const told = {
      code: 'MISSING_KEY',
      expected: 'the subject of the record',
      remedy: 'Fill it in at the source.',
    } as const
    view.tell(told, 'subject', kind, subject?.origin.from[0])
  }
  if (readings.length === 0 && view.issues.length === 0) {
    const expected = 'a reading: a systolic or a diastolic pressure'
    view.tell(
      { code: 'MISSING_KEY', expected, remedy: 'Leave the record out, or fill it in.' },
      'readings',
      kind,
      undefined,
    )
  }
  if (view.issues.length > 0) return undefined
  // A text without its own time was taken when the record says, as long as the record has one reading only.
  const shared = readings.length === 1 ? session.get('takenAt') : undefined
  const moments = readings.map((reading) => momentOf((reading.get('takenAt') ?? shared)?.value))
  return { source: view.record, kind, subject: String(subject?.value), session, readings, moments }
}

function readingsOf(kind: Kind, view: RecordView): FilledPlaces[] {
  if ('each' in kind.readings) {
    const { each, rules } = kind.readings
    const items = view.find(each)
    const most = mostReadings('ambulatory')
    if (items.length > most) {
      const told = {
        code: 'TOO_MANY',
        expected: `at most ${most} readings in one record`,
        remedy: 'Send one record for each sitting.',
      } as const
      view.tell(told, 'readings', kind, view.placeOfNothing(each))
      return []
    }
    const filled = items.map((item, index) => {
      view.turnTo(item)
      return fill(rules, view, `readings[${index}].`)
    })
    view.turnTo(undefined)
    return filled
  }
  const { sets, leavesOutEmpty } = kind.readings
  const readings: FilledPlaces[] = []
  for (const rules of sets) {
    if (leavesOutEmpty && !hasPressure(rules, view)) continue
    readings.push(fill(rules, view, `readings[${readings.length}].`))
  }
  return readings
}

/** Asked before the other rules: a set of columns nobody filled may share the date with one that is filled. */
function hasPressure(rules: readonly Rule[], view: RecordView): boolean {
  return rules.some((rule) => PRESSURES.has(rule.target.place) && hasSource(rule, view))
}

const PRESSURES: ReadonlySet<string> = new Set(['systolic', 'diastolic'])

function fill(rules: readonly Rule[], view: RecordView, before: string): FilledPlaces {
  const places: FilledPlaces = new Map()
  for (const rule of rules) {
    const filled = applyRule(rule, view, `${before}${rule.target.place}`)
    if (filled !== undefined) places.set(rule.target.place, filled)
  }
  return places
}
