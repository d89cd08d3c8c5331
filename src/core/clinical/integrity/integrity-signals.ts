import type { PeriodAverage } from '../averaging/period-average.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { homeReadings } from '../statistics/measured-readings.ts'
import { crowdingUnderThreshold } from './crowding-under-threshold.ts'
import { daysWithoutReadings } from './days-without-readings.ts'
import { endDigitPreference } from './end-digit-preference.ts'
import { enteredInOneGo } from './entered-in-one-go.ts'
import { heldSittings } from './held-sitting.ts'
import type { IntegritySignal } from './integrity-signal.ts'
import { mostlyTyped } from './mostly-typed.ts'
import { sameNumbersAgain } from './same-numbers-again.ts'
import { twoSittingsAtOnce } from './two-sittings-at-once.ts'

/**
 * What a person may want to look at in how the home readings of a period came in, in the order of `INTEGRITY_CODES`;
 * mostly nothing. All complete home readings of the period count, averaged or not, each once. Of the threshold sets
 * given, those that the protocol names are looked at. No signal changes an average.
 */
export function integritySignals(
  average: PeriodAverage,
  thresholdSets: readonly ThresholdSet[],
): readonly IntegritySignal[] {
  const readings = homeReadings(average)
  const sittings = heldSittings(readings)
  const named = thresholdSets.filter(({ id }) => average.plan.protocol.thresholdSets.includes(id))
  return [
    ...mostlyTyped(sittings),
    ...endDigitPreference(readings),
    ...sameNumbersAgain(readings),
    ...crowdingUnderThreshold(readings, named),
    ...twoSittingsAtOnce(sittings),
    ...enteredInOneGo(sittings),
    ...daysWithoutReadings(average),
  ]
}
