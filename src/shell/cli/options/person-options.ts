import { type Command, InvalidArgumentError } from 'commander'
import { isTimeZone } from '../../../core/basics/local-day.ts'
import { DEFAULT_CANONICAL_BASE } from '../../../core/fhir/canonical-base.ts'
import type { KnownPerson } from '../../../flow/check/read-record.ts'
import { armCentimetres } from './arm-centimetres.ts'

/** Options of the offline commands that stand in for an enrolment. */
export interface PersonOptions {
  readonly zone?: string
  readonly armCm?: number
  readonly canonicalBase: string
}

export function personOptions(command: Command): Command {
  return command
    .option('--zone <iana>', 'time zone the person lives in, such as Europe/Lisbon', timeZone)
    .option(
      '--arm-cm <number>',
      'mid-upper-arm circumference in centimetres, to check the cuff',
      armCentimetres,
    )
    .option('--canonical-base <url>', 'base of our own identifiers and canonicals', DEFAULT_CANONICAL_BASE)
}

export function readPerson({ zone, armCm }: PersonOptions): KnownPerson {
  return {
    ...(zone === undefined ? {} : { zone }),
    ...(armCm === undefined ? {} : { armCircumferenceCm: armCm }),
  }
}

function timeZone(text: string): string {
  if (!isTimeZone(text)) throw new InvalidArgumentError('Give an IANA zone such as Europe/Lisbon.')
  return text
}
