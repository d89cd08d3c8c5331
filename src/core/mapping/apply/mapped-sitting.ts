import type { Issue } from '../../basics/issue.ts'
import type { JsonObject } from '../../basics/json-object.ts'
import type { NonEmpty } from '../../basics/result.ts'
import type { SourceRecord } from '../../basics/source-record.ts'

/** One sitting as a native session record, and where each of its values came from. */
export interface MappedSitting {
  /** Name of the mapping that made it. */
  readonly mapping: string
  /** The native session record. It is a record's shape only: `readSession` judges it as any other. */
  readonly record: JsonObject
  /** JSON of the record, as it is kept. */
  readonly text: string
  /** Whether a source record says that it takes the place of, or takes back, what was sent before. */
  readonly corrects: boolean
  /** How many readings its source records speak of, those they take back too. */
  readonly speaksOf: number
  /** The source records it was made of, in the order they came. */
  readonly sources: NonEmpty<SourceRecord>
  /** Native place, such as `readings[0].systolic`, to where its value came from. */
  readonly origins: ReadonlyMap<string, Origin>
  /** Native places that rules could fill and did not, because the source has nothing there. */
  readonly unfilled: ReadonlyMap<string, Origin>
  /** What was noticed on the way; nothing that stops the sitting. */
  readonly remarks: readonly Issue[]
}

/** By which rule a value came, and from where. */
export interface Origin {
  /** JSON pointer of the rule in the mapping (RFC 6901). */
  readonly rule: string
  /** 1-based line of the rule in the mapping's file. */
  readonly line: number
  readonly how: HowMade
  /** Places in the source, in the order they were read; none for a constant or what was made. */
  readonly from: readonly SourcePlace[]
}

/** `as-is`: the source's own value; `made`: worked out here, such as an id the source does not have. */
export type HowMade = 'as-is' | 'number' | 'time' | 'code-table' | 'constant' | 'made'

export interface SourcePlace {
  /** 1-based line of the source record it was read in, where the source came in lines. */
  readonly line?: number
  /** A column, or an RFC 9535 normalized path within the source's document. */
  readonly path: string
}

/** A sitting all of whose readings its source takes back. */
export interface Withdrawal {
  readonly kind: 'withdrawal'
  /** Name of the mapping that says so. */
  readonly mapping: string
  /** Id of the sitting, the source's or made as it was made when the readings were sent. */
  readonly id: string
  /** How many readings are taken back. */
  readonly readings: number
  readonly sources: NonEmpty<SourceRecord>
}

/** What became of source records. Every record that is taken comes back in exactly one outcome. */
export type MappedOutcome =
  | { readonly kind: 'sitting'; readonly sitting: MappedSitting }
  | Withdrawal
  | {
      readonly kind: 'refused'
      readonly sources: NonEmpty<SourceRecord>
      readonly issues: NonEmpty<Issue>
    }
  | {
      readonly kind: 'skipped'
      readonly sources: NonEmpty<SourceRecord>
      /** Why, as a clause from the mapping. */
      readonly because: string
    }
