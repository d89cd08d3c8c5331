import { isNonEmpty } from '../../basics/result.ts'
import type { SourceRecord } from '../../basics/source-record.ts'
import type { Kind, PlaceInMapping } from '../compiled-kind.ts'
import type { Mapping } from '../mapping.ts'
import type { Filled } from './apply-rule.ts'
import { chooseKind, holds, placeAsked } from './choose-kind.ts'
import { composeSitting } from './compose-sitting.ts'
import { unreadSteps } from './ignored-of.ts'
import type { MappedOutcome, Origin } from './mapped-sitting.ts'
import { OpenSitting } from './open-sitting.ts'
import { type Piece, pieceOf } from './piece.ts'
import { RecordView } from './record-view.ts'
import type { Told } from './source-issue.ts'
import { standingOf } from './standing.ts'

/** Records that wait for the reading they complete. */
const MOST_WAITING = 50

/**
 * Turns source records, one by one, into sittings. Each record comes back in exactly one outcome, at the latest from
 * `end`. Never throws for any JSON value; holds the records of one sitting at most, and a few that wait for a reading.
 */
export class SittingMapper {
  readonly #mapping: Mapping
  /** Whether a record can belong to the one before it. */
  readonly #gathers: boolean
  /** The subject, where no rule reads it. */
  readonly #bySender: Filled | undefined
  #open: OpenSitting | undefined
  #waiting: Piece[] = []

  /** @param options.subject whose records they are, where the mapping leaves that to the sender. */
  constructor(mapping: Mapping, { subject }: { readonly subject?: string } = {}) {
    this.#mapping = mapping
    this.#bySender =
      mapping.subjectBySender === undefined ? undefined : named(subject, mapping.subjectBySender)
    this.#gathers = mapping.gapMs !== undefined || mapping.kinds.some(({ completes }) => completes)
  }

  take(record: SourceRecord): readonly MappedOutcome[] {
    const view = new RecordView(record, this.#mapping)
    const kind = chooseKind(this.#mapping, view)
    if (kind?.skip === true) {
      return [
        {
          kind: 'skipped',
          sources: [record],
          because: `the mapping leaves out records of the kind ${kind.name}`,
        },
      ]
    }
    const piece = kind === undefined ? undefined : this.#pieceOf(kind, view)
    if (piece === undefined) return [refusedBy(view)]
    const outcomes = this.#turnTo(piece.subject)
    outcomes.push(...(piece.kind.completes ? this.#complete(piece) : this.#gather(piece)))
    return outcomes
  }

  /** What is still open, at the end of the input. */
  end(): readonly MappedOutcome[] {
    const outcomes = [...this.#close(), ...this.#waiting.map((piece) => this.#refused(piece, NOT_NEXT_TO_IT))]
    this.#waiting = []
    return outcomes
  }

  #pieceOf(kind: Kind, view: RecordView): Piece | undefined {
    for (const { steps, expected } of kind.recordSchema?.(view.record.value) ?? []) {
      const told = { code: 'RECORD_SCHEMA', expected, remedy: 'Correct it at the source.' } as const
      view.tell(told, '', kind, view.below(steps))
    }
    const standing = standingOf(kind, view)
    for (const { condition, because } of standing === 'withdrawn' ? [] : kind.refuse) {
      if (!holds(condition, view)) continue
      const expected = `no such record, because ${because}`
      const told = {
        code: 'REFUSED_BY_MAPPING',
        expected,
        remedy: 'Leave it out, or send single readings.',
      } as const
      view.tell(told, '', condition, placeAsked(condition.path, view))
    }
    if (this.#mapping.refusesUnlisted) {
      for (const steps of unreadSteps(kind, view)) view.tell(UNLISTED, '', kind, view.below(steps))
    }
    return pieceOf(kind, view, standing, this.#bySender)
  }

  #gather(piece: Piece): readonly MappedOutcome[] {
    const outcomes: MappedOutcome[] = []
    const { gapMs } = this.#mapping
    if (this.#open !== undefined && (gapMs === undefined || !this.#open.joins(piece, gapMs))) {
      outcomes.push(...this.#close())
    }
    if (this.#open === undefined) {
      this.#open = new OpenSitting(piece)
    } else {
      const same = this.#open.sameAs(piece)
      if (same !== undefined) this.#open.addRepetition(same, piece.source)
      else if (this.#open.room < piece.readings.length) return [...outcomes, this.#refused(piece, FULL)]
      else this.#open.add(piece)
    }
    outcomes.push(...this.#completeByWaiting(this.#open))
    return this.#gathers ? outcomes : [...outcomes, ...this.#close()]
  }

  #complete(piece: Piece): readonly MappedOutcome[] {
    const done = this.#open?.complete(piece) ?? 'none'
    if (done === 'done') return []
    if (done !== 'none') return [this.#refused(piece, NOT_COMPLETED[done])]
    this.#waiting.push(piece)
    const oldest = this.#waiting.length > MOST_WAITING ? this.#waiting.shift() : undefined
    return oldest === undefined ? [] : [this.#refused(oldest, NOT_NEXT_TO_IT)]
  }

  #completeByWaiting(open: OpenSitting): readonly MappedOutcome[] {
    const outcomes: MappedOutcome[] = []
    this.#waiting = this.#waiting.filter((piece) => {
      const done = open.complete(piece)
      if (done === 'several' || done === 'taken') outcomes.push(this.#refused(piece, NOT_COMPLETED[done]))
      return done === 'none'
    })
    return outcomes
  }

  /** Nothing is kept open for one subject when another comes. */
  #turnTo(subject: string): MappedOutcome[] {
    const outcomes: MappedOutcome[] = []
    if (this.#open !== undefined && this.#open.subject !== subject) outcomes.push(...this.#close())
    if (this.#waiting[0] !== undefined && this.#waiting[0].subject !== subject) {
      outcomes.push(...this.#waiting.map((piece) => this.#refused(piece, NOT_NEXT_TO_IT)))
      this.#waiting = []
    }
    return outcomes
  }

  #close(): readonly MappedOutcome[] {
    if (this.#open === undefined) return []
    const outcome = composeSitting(this.#open, this.#mapping.name)
    this.#open = undefined
    return [outcome]
  }

  #refused({ source, kind }: Piece, told: Told): MappedOutcome {
    const view = new RecordView(source, this.#mapping)
    view.tell(told, 'readings', kind, undefined)
    return refusedBy(view)
  }
}

function named(subject: string | undefined, { pointer: rule, line }: PlaceInMapping): Filled {
  const origin: Origin = { rule, line, how: 'constant', from: [] }
  return subject === undefined ? { origin } : { value: subject, origin }
}

function refusedBy({ record, issues }: RecordView): MappedOutcome {
  if (!isNonEmpty(issues)) throw new Error('a record was refused for no reason that could be told')
  return { kind: 'refused', sources: [record], issues }
}

const UNLISTED: Told = {
  code: 'UNKNOWN_KEY',
  expected: 'only values that rules of the mapping read',
  remedy: 'Leave it out, or add a rule for it to the mapping.',
}

const FULL: Told = {
  code: 'TOO_MANY',
  expected: 'no more readings in one sitting than a session record holds',
  remedy: 'Lessen gapMinutes in the mapping, or send a 24-hour recording with the setting ambulatory.',
}

const NEXT_TO_IT = 'Send it next to the reading it belongs to.'

const NOT_NEXT_TO_IT: Told = {
  code: 'NOTHING_TO_COMPLETE',
  expected: 'a reading of the same subject at the same moment, next to this record',
  remedy: NEXT_TO_IT,
}

const NOT_COMPLETED: Readonly<Record<'several' | 'taken', Told>> = {
  several: {
    code: 'NOTHING_TO_COMPLETE',
    expected: 'only one reading at the same moment: which of several is meant cannot be told',
    remedy: NEXT_TO_IT,
  },
  taken: {
    code: 'NOTHING_TO_COMPLETE',
    expected: 'a reading at the same moment that does not have another value already',
    remedy: 'Check at the source which of the two is right.',
  },
}
