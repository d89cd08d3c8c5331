import type { Extension } from 'fhir/r4.js'
import { rounded, roundedMmHg } from '../../basics/exact-mean.ts'
import type { InterArm, Label, LeftOut, MeanPressure } from '../../clinical/averaging/period-average.ts'
import { CITATIONS } from '../../clinical/citations.ts'
import { leftOutInShort } from '../../clinical/report/left-out-summary.ts'
import type { AverageContext } from '../average-context.ts'
import { leftOutCoding } from '../left-out-coding.ts'
import { placedReadingReference } from '../placed-reading-reference.ts'
import { mmHgQuantity, perMinuteQuantity } from '../pressure-quantity.ts'

/** A mean of some of the readings, in the parts of an extension; rounded here. */
export function meanParts(mean: MeanPressure, decimals: 0 | 1): Extension[] {
  const parts: Extension[] = [
    { url: 'systolic', valueQuantity: mmHgQuantity(roundedMmHg(mean.systolic, decimals)) },
    { url: 'diastolic', valueQuantity: mmHgQuantity(roundedMmHg(mean.diastolic, decimals)) },
  ]
  if (mean.pulse !== undefined) {
    parts.push({ url: 'pulse', valueQuantity: perMinuteQuantity(rounded(mean.pulse, decimals)) })
  }
  parts.push({ url: 'readings', valueInteger: mean.readings })
  if (mean.diastolicReadings !== mean.readings) {
    parts.push({ url: 'diastolicReadings', valueInteger: mean.diastolicReadings })
  }
  return parts
}

export function labelParts({ thresholdSet, title, label, window }: Label): Extension[] {
  return [
    { url: 'thresholdSet', valueString: thresholdSet },
    { url: 'title', valueString: title },
    { url: 'label', valueString: label },
    ...(window === undefined ? [] : [{ url: 'window', valueString: window }]),
  ]
}

export function interArmParts(interArm: InterArm, decimals: 0 | 1): Extension[] {
  return [
    { url: 'leftReadings', valueInteger: interArm.leftReadings },
    { url: 'rightReadings', valueInteger: interArm.rightReadings },
    { url: 'basis', valueCode: interArm.basis },
    { url: 'pairs', valueInteger: interArm.pairs },
    { url: 'systolic', valueQuantity: mmHgQuantity(roundedMmHg(interArm.systolic, decimals)) },
    { url: 'diastolic', valueQuantity: mmHgQuantity(roundedMmHg(interArm.diastolic, decimals)) },
    ...(interArm.armUsed === undefined ? [] : [{ url: 'armUsed', valueCode: interArm.armUsed }]),
    { url: 'higherArm', valueCode: interArm.higherArm },
    ...interArm.limits.map(({ citation, limitMmHg, systolicOnly, above }) => ({
      url: 'limit',
      extension: [
        { url: 'source', valueString: CITATIONS[citation].text },
        { url: 'value', valueQuantity: mmHgQuantity(limitMmHg) },
        { url: 'systolicOnly', valueBoolean: systolicOnly },
        { url: 'above', valueBoolean: above },
      ],
    })),
  ]
}

/** The rule behind a reason and its source are in the notes, once. */
export function exclusionParts(
  leftOut: LeftOut,
  context: Pick<AverageContext, 'canonicalBase' | 'source' | 'withIds' | 'readingsStay'>,
): Extension[] {
  const { placed, reason } = leftOut
  return [
    { url: 'reading', valueReference: placedReadingReference(placed, context) },
    { url: 'reason', valueCoding: leftOutCoding(reason, context.canonicalBase) },
    { url: 'text', valueString: leftOutInShort(leftOut) },
  ]
}
