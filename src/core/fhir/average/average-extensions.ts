import type { Extension } from 'fhir/r4.js'
import { rounded } from '../../basics/exact-mean.ts'
import type { Adherence, PeriodAverage, Sufficiency } from '../../clinical/averaging/period-average.ts'
import type { PeriodReport } from '../../clinical/report/period-report.ts'
import type { AverageContext } from '../average-context.ts'
import { ownUrls } from '../own-urls.ts'
import { perMinuteQuantity } from '../pressure-quantity.ts'
import { exclusionParts, interArmParts, labelParts, meanParts } from './average-parts.ts'
import { statisticsParts } from './statistics-parts.ts'

/**
 * What neither R4 nor a published average profile has a place for, as our own extensions: the plan, what was received
 * and left out, whether it was enough and the schedule kept, labels, the means of parts, and how the readings vary. With
 * them a bundle alone lets anyone recompute the average. There is no LOINC code for the mean of a part of the day, so
 * none is used. What only a person can weigh stands in the notes.
 */
export function ownAverageExtensions(
  report: Pick<PeriodReport, 'average' | 'statistics'>,
  context: Pick<AverageContext, 'canonicalBase' | 'source' | 'decimals' | 'withIds' | 'readingsStay'>,
): Extension[] {
  const url = ownUrls(context.canonicalBase).extension
  const { average, statistics } = report
  const { mean, sensitivity } = average
  const extensions: Extension[] = [
    { url: url.measurementPeriod, extension: planParts(average) },
    { url: url.readingsReceived, valueInteger: average.received },
    { url: url.sufficiency, extension: sufficiencyParts(average.sufficiency) },
    { url: url.adherence, extension: adherenceParts(average.adherence) },
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
      extension: [{ url: 'window', valueString: part.window }, ...meanParts(part.mean, context.decimals)],
    })
  }
  extensions.push({
    url: url.sensitivity,
    extension: [
      { url: 'flaggedReadings', valueInteger: sensitivity.flaggedReadings },
      ...(sensitivity.mean === undefined ? [] : meanParts(sensitivity.mean, context.decimals)),
      ...sensitivity.labels.map((label) => ({ url: 'label', extension: labelParts(label) })),
    ],
  })
  if (average.interArm !== undefined) {
    extensions.push({
      url: url.interArmDifference,
      extension: interArmParts(average.interArm, context.decimals),
    })
  }
  // One reading does not vary: it has statistics without a single figure.
  const figures = statistics === undefined ? [] : statisticsParts(statistics)
  if (figures.length > 0) extensions.push({ url: url.averageStatistics, extension: figures })
  for (const leftOut of average.leftOut) {
    extensions.push({ url: url.exclusion, extension: exclusionParts(leftOut, context) })
  }
  return extensions
}

function planParts({ plan }: PeriodAverage): Extension[] {
  return [
    { url: 'protocol', valueString: plan.protocol.id },
    { url: 'firstDay', valueDate: plan.firstDay },
    { url: 'lastDay', valueDate: plan.lastDay },
    { url: 'zone', valueString: plan.zone },
    ...(plan.arm === undefined ? [] : [{ url: 'arm', valueCode: plan.arm }]),
  ]
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

function adherenceParts({ sittingsAsked, sittingsHeld, sittingsShort, daysWithout }: Adherence): Extension[] {
  return [
    { url: 'sittingsAsked', valueInteger: sittingsAsked },
    { url: 'sittingsHeld', valueInteger: sittingsHeld },
    { url: 'sittingsShort', valueInteger: sittingsShort },
    ...daysWithout.map((day) => ({ url: 'dayWithout', valueDate: day })),
  ]
}
