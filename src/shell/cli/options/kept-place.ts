import { InvalidArgumentError } from 'commander'
import { type ChainPlace, readPlace } from '../../../core/audit/chain.ts'

/** The value of an option that is a place of the audit trail, as `audit verify` told it. */
export function keptPlace(text: string): ChainPlace {
  const place = readPlace(text)
  if (place !== undefined) return place
  throw new InvalidArgumentError('Give it as audit verify told it: the number of a row, a colon, its hash.')
}
