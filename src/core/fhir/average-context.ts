import type { ConversionContext } from './conversion-context.ts'

/** What an average is written with, beside the average itself. */
export interface AverageContext
  extends Pick<
    ConversionContext,
    'source' | 'canonicalBase' | 'subject' | 'positionAs' | 'snomed' | 'withIds' | 'readingsStay'
  > {
  /** UUID of the period, see `identifiers.ts`. */
  readonly period: string
  /** 1 for the first average of the period; a later one amends it, under the same identifier. */
  readonly revision: number
  /** When the average was made available, RFC 3339 text. */
  readonly issued: string
  /** The average in sentences; becomes the narrative and the notes. */
  readonly narrative: readonly string[]
  /** Digits after the point of every mean written. */
  readonly decimals: 0 | 1
  /** Profiles to claim, for servers that refuse what they do not know. Default: all that are met. */
  readonly profiles?: readonly string[]
}
