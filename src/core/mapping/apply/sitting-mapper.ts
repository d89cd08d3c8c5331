import type { Mapping } from '../mapping.ts'
import type { MappedOutcome } from './mapped-sitting.ts'
import type { SourceRecord } from './source-record.ts'

/**
 * Turns source records, one by one, into sittings. Each record comes back in exactly one outcome, at the latest from
 * `end`. Never throws for any JSON value; holds the records of one sitting at most.
 */
export class SittingMapper {
  readonly #mapping: Mapping

  constructor(mapping: Mapping) {
    this.#mapping = mapping
  }

  take(_record: SourceRecord): readonly MappedOutcome[] {
    throw new Error(`mapping ${this.#mapping.name} cannot be applied yet`)
  }

  /** What is still open, at the end of the input. */
  end(): readonly MappedOutcome[] {
    return []
  }
}
