import type { Extension } from 'fhir/r4.js'
import { rounded, roundedMmHg } from '../basics/exact-mean.ts'
import type {
  InterArm,
  Label,
  LeftOut,
  MeanPressure,
  PeriodAverage,
  Sufficiency,
} from '../clinical/averaging/period-average.ts'
import type { AverageContext } from './average-context.ts'
import { observationReference } from './conversion-context.ts'
import { readingUuid, sessionUuid } from './identifiers.ts'
import { ownUrls } from './own-urls.ts'
import { mmHgQuantity, perMinuteQuantity } from './pressure-quantity.ts'

/**
 * What neither R4 nor a published average profile has a place for, as our own extensions: the plan, what was received
 * and left out, whether it was enough, labels, and the means of parts. With them a bundle alone lets anyone recompute
 * the average. There is no LOINC code for the mean of a part of the day, so none is used.
 */
export function ownAverageExtensions(average: PeriodAverage, context: AverageContext): Extension[] {
  const url = ownUrls(context.canonicalBase).extension
  const { plan, mean, sensitivity } = average
  const extensions: Extension[] = [
    {
      url: url.measurementPeriod,
      extension: [
        { url: 'protocol', valueString: plan.protocol.id },
        { url: 'firstDay', valueDate: plan.firstDay },
        { url: 'lastDay', valueDate: plan.lastDay },
        { url: 'zone', valueString: plan.zone },
        ...(plan.arm === undefined ? [] : [{ url: 'arm', valueCode: plan.arm }]),
      ],
    },
    { url: url.readingsReceived, valueInteger: average.received },
    { url: url.sufficiency, extension: sufficiencyParts(average.sufficiency) },
  ]
  if (mean?.pulse !== undefined) {
    extensions.push({
      url: url.meanPulse,
      valueQuantity: perMinuteQuantity(rounded(mean.pulse, context.decimals)),
    })
  }
  for (const label of average.labels) extensions.push({ url: url.averageLabel, extension: labelParts(label) })
  for (const part of average.byWindow) {
    extensions.push({
      url: url.windowMean,
      extension: [{ url: 'window', valueString: part.window }, ...meanParts(part.mean, context)],
    })
  }
  if (sensitivity.flaggedReadings > 0) {
    extensions.push({
      url: url.sensitivity,
      extension: [
        { url: 'flaggedReadings', valueInteger: sensitivity.flaggedReadings },
        ...(sensitivity.mean === undefined ? [] : meanParts(sensitivity.mean, context)),
        ...sensitivity.labels.map((label) => ({ url: 'label', extension: labelParts(label) })),
      ],
    })
  }
  if (average.interArm !== undefined) {
    extensions.push({
      url: url.interArmDifference,
      extension: interArmParts(average.interArm, context.decimals),
    })
  }
  for (const leftOut of average.leftOut) {
    extensions.push({ url: url.exclusion, extension: exclusionParts(leftOut, context) })
  }
  return extensions
}

function meanParts(mean: MeanPressure, { decimals }: AverageContext): Extension[] {
  const parts: Extension[] = [
    { url: 'systolic', valueQuantity: mmHgQuantity(roundedMmHg(mean.systolic, decimals)) },
    { url: 'diastolic', valueQuantity: mmHgQuantity(roundedMmHg(mean.diastolic, decimals)) },
  ]
  if (mean.pulse !== undefined) {
    parts.push({ url: 'pulse', valueQuantity: perMinuteQuantity(rounded(mean.pulse, decimals)) })
  }
  parts.push({ url: 'readings', valueInteger: mean.readings })
  return parts
}

function sufficiencyParts(sufficiency: Sufficiency): Extension[] {
  const { leastReadings } = sufficiency
  return [
    { url: 'daysUsed', valueInteger: sufficiency.daysUsed },
    { url: 'daysMeasured', valueInteger: sufficiency.daysMeasured },
    { url: 'leastDays', valueInteger: sufficiency.leastDays },
    { url: 'enoughDays', valueBoolean: sufficiency.enoughDays },
    { url: 'readingsUsed', valueInteger: sufficiency.readingsUsed },
    ...(leastReadings === undefined ? [] : [{ url: 'leastReadings', valueInteger: leastReadings }]),
    { url: 'enoughReadings', valueBoolean: sufficiency.enoughReadings },
  ]
}

function labelParts({ thresholdSet, title, label }: Label): Extension[] {
  return [
    { url: 'thresholdSet', valueString: thresholdSet },
    { url: 'title', valueString: title },
    { url: 'label', valueString: label },
  ]
}

function interArmParts(interArm: InterArm, decimals: number): Extension[] {
  return [
    { url: 'leftReadings', valueInteger: interArm.leftReadings },
    { url: 'rightReadings', valueInteger: interArm.rightReadings },
    { url: 'systolic', valueQuantity: mmHgQuantity(roundedMmHg(interArm.systolic, decimals)) },
    { url: 'diastolic', valueQuantity: mmHgQuantity(roundedMmHg(interArm.diastolic, decimals)) },
    { url: 'limit', valueQuantity: mmHgQuantity(interArm.limitMmHg) },
    { url: 'aboveLimit', valueBoolean: interArm.aboveLimit },
  ]
}

function exclusionParts({ placed, reason, text }: LeftOut, context: AverageContext): Extension[] {
  const uuid = readingUuid(sessionUuid(context.source, placed.session.id), placed.reading.ordinal)
  return [
    { url: 'reading', valueReference: observationReference(uuid, context) },
    { url: 'reason', valueCode: reason },
    { url: 'text', valueString: text },
  ]
}
