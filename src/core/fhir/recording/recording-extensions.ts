import type { Extension } from 'fhir/r4.js'
import { rounded } from '../../basics/exact-mean.ts'
import type { RecordingAverage, RecordingLeftOut, Span } from '../../clinical/ambulatory/recording-average.ts'
import type { MeanPressure } from '../../clinical/averaging/period-average.ts'
import { labelParts } from '../average/average-parts.ts'
import { EXTENSION } from '../codes.ts'
import { leftOutCoding } from '../left-out-coding.ts'
import { ownUrls } from '../own-urls.ts'
import { placedReadingReference } from '../placed-reading-reference.ts'
import { perMinuteQuantity } from '../pressure-quantity.ts'
import type { RecordingContext } from './recording-context.ts'

/**
 * What R4 has no place for on the mean of a recording, as the extensions that a home average uses too: the rule, the
 * days and the zone, how many readings were received, the pulse, the labels drawn for this mean, and every reading
 * left out with its reason. Whether there was enough is in the notes.
 */
export function recordingExtensions(
  average: RecordingAverage,
  span: Span,
  mean: MeanPressure | undefined,
  context: RecordingContext,
): Extension[] {
  const url = ownUrls(context.canonicalBase).extension
  const { rule, firstDay, lastDay, zone } = average.plan
  const extensions: Extension[] = [
    { url: EXTENSION.adheresTo, valueUri: `${context.canonicalBase}/recording-rule/${rule.id}` },
    {
      url: url.measurementPeriod,
      extension: [
        { url: 'protocol', valueString: rule.id },
        { url: 'firstDay', valueDate: firstDay },
        { url: 'lastDay', valueDate: lastDay },
        { url: 'zone', valueString: zone },
      ],
    },
    { url: url.readingsReceived, valueInteger: average.received },
  ]
  if (mean?.pulse !== undefined) {
    extensions.push({
      url: url.meanPulse,
      valueQuantity: perMinuteQuantity(rounded(mean.pulse, context.decimals)),
    })
  }
  for (const label of average.labels) {
    if (label.span === span) extensions.push({ url: url.averageLabel, extension: labelParts(label) })
  }
  for (const leftOut of average.leftOut) {
    extensions.push({ url: url.exclusion, extension: exclusionParts(leftOut, context) })
  }
  return extensions
}

function exclusionParts({ placed, reason, text }: RecordingLeftOut, context: RecordingContext): Extension[] {
  return [
    { url: 'reading', valueReference: placedReadingReference(placed, context) },
    { url: 'reason', valueCoding: leftOutCoding(reason, context.canonicalBase) },
    { url: 'text', valueString: text },
  ]
}
