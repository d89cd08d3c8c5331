import type { Issue } from '../../core/basics/issue.ts'
import type { NonEmpty, Result } from '../../core/basics/result.ts'
import { DEFAULT_JSON_LIMITS, readJson, withoutByteOrderMark } from '../../core/json-text/read-json.ts'
import type { MappedSitting, Withdrawal } from '../../core/mapping/apply/mapped-sitting.ts'
import { translateIssues } from '../../core/mapping/apply/translate-issue.ts'
import type { MappedFrom } from '../ports/ports.ts'

/**
 * One record as it came in: our own, made by a mapping, refused before it could be one, left out knowingly, or the word
 * that a session is taken back.
 */
export type Incoming = SentRecord | MappedRecord | UnreadRecord | SkippedRecord | WithdrawalRecord

export interface SentRecord {
  /** JSON text of one session record. */
  readonly text: string
  /** 1-based line of a stream, named in issues. */
  readonly line?: number
  /** Whether it is to take the place of other content under its id; without it such a record is refused. */
  readonly corrects?: boolean
}

export interface MappedRecord {
  readonly sitting: MappedSitting
  readonly mappingSha256: string
  /** Whether it is to take the place of other content under its id; without it such a record is refused. */
  readonly corrects?: boolean
  /** Of a sitting whose readings have a record each: of how many they speak. It corrects none that holds more. */
  readonly speaksOf?: number
}

export interface UnreadRecord {
  readonly issues: NonEmpty<Issue>
}

export interface SkippedRecord {
  /** Why, as a clause. */
  readonly skipped: string
}

export interface WithdrawalRecord {
  readonly withdrawal: Withdrawal
}

/** A record on its way to being read. */
export interface OpenedRecord {
  readonly value: Result<unknown>
  /** As it is to be kept. */
  readonly text: string
  readonly mappedFrom?: MappedFrom
  /** Whether it is to take the place of other content under its id. */
  readonly corrects: boolean
  /** Of how many readings of its sitting it speaks; infinite where it speaks of all, whatever is held. */
  readonly speaksOf: number
  /** Issues with the record, told where whoever sent it can find them. */
  readonly atItsSource: (issues: NonEmpty<Issue>) => NonEmpty<Issue>
}

const ALL = Number.POSITIVE_INFINITY

export function openRecord(one: SentRecord | MappedRecord | UnreadRecord): OpenedRecord {
  if ('sitting' in one) return openMapped(one)
  if ('issues' in one)
    return {
      value: { ok: false, issues: one.issues },
      text: '',
      corrects: false,
      speaksOf: ALL,
      atItsSource: asTheyAre,
    }
  const { text, line, corrects = false } = one
  return {
    value: readJson(text, DEFAULT_JSON_LIMITS),
    text: withoutByteOrderMark(text),
    corrects,
    speaksOf: ALL,
    atItsSource: line === undefined ? asTheyAre : (issues) => onLine(issues, line),
  }
}

function openMapped({
  sitting,
  mappingSha256,
  corrects = false,
  speaksOf = ALL,
}: MappedRecord): OpenedRecord {
  const { record, text, mapping, sources } = sitting
  return {
    value: { ok: true, value: record },
    text,
    mappedFrom: {
      mapping,
      mappingSha256,
      sent: sources.map((source) => `${source.text}\n`).join(''),
    },
    corrects,
    speaksOf,
    atItsSource: (issues) => translateIssues(issues, sitting),
  }
}

function asTheyAre(issues: NonEmpty<Issue>): NonEmpty<Issue> {
  return issues
}

function onLine([first, ...others]: NonEmpty<Issue>, line: number): NonEmpty<Issue> {
  return [{ ...first, line }, ...others.map((issue) => ({ ...issue, line }))]
}
