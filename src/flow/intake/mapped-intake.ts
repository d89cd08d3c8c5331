import type { Issue } from '../../core/basics/issue.ts'
import { isNonEmpty, type NonEmpty } from '../../core/basics/result.ts'
import type { SourceRecord } from '../../core/basics/source-record.ts'
import type { MappedOutcome } from '../../core/mapping/apply/mapped-sitting.ts'
import { SittingMapper } from '../../core/mapping/apply/sitting-mapper.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'
import type { Incoming } from '../receive/incoming.ts'
import { DECODERS } from './decode-record.ts'

/** What became of source records on the way to being received. */
export interface MappedArrival {
  readonly incoming: Incoming
  /** The records it was made of, in the order they came. */
  readonly sources: readonly SourceRecord[]
  /** What was passed over or read with a tolerance; nothing that stops it. */
  readonly remarks: readonly Issue[]
}

export interface MappedIntakeOptions {
  /**
   * Whether what comes out may take the place of other content under its id; without it only where a source record says
   * that it does, and refused otherwise.
   */
  readonly corrects?: boolean
  /** Whose records they are, where the mapping leaves that to the sender. */
  readonly subject?: string
}

/**
 * Takes source records through the decoder of their format and the rules of a mapping, in order. Holds the records of
 * one sitting at most.
 */
export class MappedIntake {
  readonly #mapping: Mapping
  readonly #corrects: boolean
  readonly #mapper: SittingMapper
  /** What decoders remarked on records whose sitting is still open. */
  readonly #remarks = new Map<SourceRecord, readonly Issue[]>()

  constructor(mapping: Mapping, { corrects = false, ...bySender }: MappedIntakeOptions = {}) {
    this.#mapping = mapping
    this.#corrects = corrects
    this.#mapper = new SittingMapper(mapping, bySender)
  }

  /** Takes one record, and gives what it completes. */
  take(record: SourceRecord): readonly MappedArrival[] {
    const decoded = DECODERS[this.#mapping.input.format](record)
    if (!decoded.ok) return [refusal(decoded.issues, record)]
    return decoded.value.flatMap((one) => {
      if ('issues' in one) return [refusal(one.issues, one.record)]
      if (one.remarks.length > 0) this.#remarks.set(one.record, one.remarks)
      return this.#arrivals(this.#mapper.take(one.record))
    })
  }

  /** A record that could not be read at all takes its place among the others. */
  refuse(issues: NonEmpty<Issue>, record: SourceRecord): readonly MappedArrival[] {
    return [refusal(issues, record)]
  }

  /** What is still open, at the end of the input. */
  end(): readonly MappedArrival[] {
    return this.#arrivals(this.#mapper.end())
  }

  #arrivals(outcomes: readonly MappedOutcome[]): readonly MappedArrival[] {
    return outcomes.map((outcome) => {
      const { sources } = outcome.kind === 'sitting' ? outcome.sitting : outcome
      const decoded = sources.flatMap((source) => this.#taken(source))
      const remarks = outcome.kind === 'sitting' ? [...decoded, ...outcome.sitting.remarks] : decoded
      return { incoming: this.#incoming(outcome), sources, remarks }
    })
  }

  #incoming(outcome: MappedOutcome): Incoming {
    switch (outcome.kind) {
      case 'skipped':
        return { skipped: outcome.because }
      case 'refused':
        return { issues: outcome.issues }
      case 'withdrawal':
        return { withdrawal: outcome }
      case 'sitting': {
        const { sitting } = outcome
        const corrects = this.#corrects || sitting.corrects
        const arrived = { sitting, mappingSha256: this.#mapping.sha256, corrects }
        // Whoever sends corrections as such, or a sitting in one record, says what it holds as a whole.
        const isWhole = this.#corrects || this.#mapping.gapMs === undefined
        return isWhole ? arrived : { ...arrived, speaksOf: sitting.speaksOf }
      }
    }
  }

  #taken(source: SourceRecord): readonly Issue[] {
    const remarks = this.#remarks.get(source) ?? []
    this.#remarks.delete(source)
    return remarks.map((remark) => (source.line === undefined ? remark : { ...remark, line: source.line }))
  }
}

function refusal(issues: readonly Issue[], { line, ...rest }: SourceRecord): MappedArrival {
  const placed = line === undefined ? issues : issues.map((issue) => ({ ...issue, line: issue.line ?? line }))
  if (!isNonEmpty(placed)) throw new Error('a record was refused for no reason that could be told')
  return {
    incoming: { issues: placed },
    sources: [line === undefined ? rest : { ...rest, line }],
    remarks: [],
  }
}

/** Where the records of an arrival stand. */
export interface ArrivalPlaces {
  /** 1-based lines. */
  readonly lines?: readonly number[]
  /** Places in their document, as RFC 9535 normalized paths. */
  readonly paths?: readonly string[]
}

/** Lines and paths of the records an arrival was made of, without those that have none. */
export function placesOf({ sources }: Pick<MappedArrival, 'sources'>): ArrivalPlaces {
  const lines = sources.flatMap(({ line }) => (line === undefined ? [] : [line]))
  const paths = sources.flatMap(({ path }) => (path === undefined ? [] : [path]))
  return { ...(lines.length === 0 ? {} : { lines }), ...(paths.length === 0 ? {} : { paths }) }
}
