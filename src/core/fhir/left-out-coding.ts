import type { Coding } from 'fhir/r4.js'
import type { RecordingLeftOutReason } from '../clinical/ambulatory/recording-average.ts'
import type { LeftOutReason } from '../clinical/averaging/period-average.ts'
import { ownUrls } from './own-urls.ts'

/**
 * Why a reading is left out, by our own code system, `profiles/code-systems/home-bp-gateway.json`. What it says to a
 * person stands beside it.
 */
export function leftOutCoding(reason: LeftOutReason | RecordingLeftOutReason, canonicalBase: string): Coding {
  return { system: ownUrls(canonicalBase).codeSystem, code: reason }
}
