import type { SourceRecord } from '../../basics/source-record.ts'
import { mostReadings } from '../../record/session-record.ts'
import type { Kind, Rule } from '../compiled-kind.ts'
import { applyRule, type Filled, hasSource } from './apply-rule.ts'
import { type Moment, momentOf } from './moment.ts'
import type { RecordView } from './record-view.ts'
import type { Standing } from './standing.ts'

/** Native place, within the record or the reading, to what a rule made of it. */
export type FilledPlaces = Map<string, Filled>

/** What one source record says: of the sitting, and of its readings. */
export interface Piece {
  readonly source: SourceRecord
  readonly kind: Kind
  readonly subject: string
  readonly standing: Standing
  readonly session: FilledPlaces
  readonly readings: FilledPlaces[]
  /** When each reading was taken, as far as that is told. */
  readonly moments: readonly (Moment | undefined)[]
}

/**
 * The piece a record makes by the rules of its kind; undefined when it cannot, which is told, all of it at once. One that
 * is withdrawn is asked only for what finds its sitting: what else it says, wrong or right, is nothing any more.
 *
 * @param bySender the subject, where no rule reads it.
 */
export function pieceOf(
  kind: Kind,
  view: RecordView,
  standing: Standing,
  bySender: Filled | undefined,
): Piece | undefined {
  const session = fill(kind.session, view, '', standing)
  if (bySender !== undefined) session.set('subject', bySender)
  const readings = readingsOf(kind, view, standing)
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
  if (standing === 'withdrawn' && session.get('id')?.value === undefined)
    tellTimeless(session, readings, kind, view)
  if (view.issues.length > 0) return undefined
  // A text without its own time was taken when the record says, as long as the record has one reading only.
  const shared = readings.length === 1 ? session.get('takenAt') : undefined
  const moments = readings.map((reading) => momentOf((reading.get('takenAt') ?? shared)?.value))
  return { source: view.record, kind, subject: String(subject?.value), standing, session, readings, moments }
}

/** What is taken back is found by when it was taken, where the source has no id for it. */
function tellTimeless(
  session: FilledPlaces,
  readings: readonly FilledPlaces[],
  kind: Kind,
  view: RecordView,
): void {
  const shared = session.get('takenAt')?.value
  if (view.issues.length > 0) return
  if (readings.every((reading) => (reading.get('takenAt')?.value ?? shared) !== undefined)) return
  const expected = 'when the reading that is taken back was taken, or the id of its sitting'
  view.tell(
    { code: 'MISSING_KEY', expected, remedy: 'Fill it in at the source.' },
    'takenAt',
    kind,
    undefined,
  )
}

/** Places that find the sitting of a reading that is taken back. */
const OF_SITTING: ReadonlySet<string> = new Set(['id', 'subject', 'takenAt'])

function readingsOf(kind: Kind, view: RecordView, standing: Standing): FilledPlaces[] {
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
      return fill(rules, view, `readings[${index}].`, standing)
    })
    view.turnTo(undefined)
    return filled
  }
  const { sets, leavesOutEmpty } = kind.readings
  const readings: FilledPlaces[] = []
  for (const rules of leavesOutEmpty ? filledSets(sets, view, standing) : sets) {
    readings.push(fill(rules, view, `readings[${readings.length}].`, standing))
  }
  return readings
}

/** Those somebody filled; of a record that is withdrawn and was emptied, the first, for its time. */
function filledSets(
  sets: readonly (readonly Rule[])[],
  view: RecordView,
  standing: Standing,
): readonly (readonly Rule[])[] {
  const filled = sets.filter((rules) => hasPressure(rules, view))
  return standing === 'withdrawn' && filled.length === 0 ? sets.slice(0, 1) : filled
}

/** Asked before the other rules: a set of columns nobody filled may share the date with one that is filled. */
function hasPressure(rules: readonly Rule[], view: RecordView): boolean {
  return rules.some((rule) => PRESSURES.has(rule.target.place) && hasSource(rule, view))
}

const PRESSURES: ReadonlySet<string> = new Set(['systolic', 'diastolic'])

function fill(rules: readonly Rule[], view: RecordView, before: string, standing: Standing): FilledPlaces {
  const places: FilledPlaces = new Map()
  const unasked = standing === 'withdrawn' ? view.aside() : view
  for (const rule of rules) {
    const { place } = rule.target
    const filled = applyRule(rule, OF_SITTING.has(place) ? view : unasked, `${before}${place}`)
    if (filled !== undefined) places.set(place, filled)
  }
  return places
}
