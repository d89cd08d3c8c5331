import type { CodeableConcept, Observation, ObservationComponent, Period } from 'fhir/r4.js'
import { type ExactMean, roundedMmHg } from '../../basics/exact-mean.ts'
import { addDays, startOfDay } from '../../basics/local-day.ts'
import { type RecordingAverage, readingsOf, type Span } from '../../clinical/ambulatory/recording-average.ts'
import { bodySite } from '../body-site.ts'
import { ABSENT_NOT_PERFORMED, VITAL_SIGNS } from '../codes.ts'
import { recordingUuid } from '../identifiers.ts'
import { instantInZone } from '../instant-in-zone.ts'
import { narrativeText } from '../narrative-text.ts'
import { ownUrls } from '../own-urls.ts'
import { placedReadingReference } from '../placed-reading-reference.ts'
import { mmHgQuantity } from '../pressure-quantity.ts'
import { spanCodes } from './recording-codes.ts'
import type { RecordingContext } from './recording-context.ts'
import { recordingExtensions } from './recording-extensions.ts'

/**
 * The means of a recording as Observations, one for each mean its rule works out: 24 hours, day, night. Each derives
 * from exactly the readings averaged in it, and all span the recording from its first reading to its last; the code
 * says which part of it is meant. A later revision is the same Observation, amended, and says so.
 *
 * They claim no profile: vs-1 of the R4 vitalsigns profile refuses a Period. Means are rounded once, here. A mean
 * without readings is absent with a reason, and the notes say why. A position is not written: who wears a recorder
 * sits, stands and lies. Source: FHIR R4 4.0.1 observation.html and profile vitalsigns.
 */
export function recordingObservations(
  average: RecordingAverage,
  context: RecordingContext,
): readonly Observation[] {
  return average.plan.rule.averaged.map((span) => recordingObservation(average, span, context))
}

function recordingObservation(average: RecordingAverage, span: Span, context: RecordingContext): Observation {
  const uuid = recordingUuid(context.period, span)
  const codes = spanCodes(span, context.canonicalBase)
  const sentences = context.revision === 1 ? context.narrative : [AMENDED, ...context.narrative]
  const mean = average.means.find((one) => one.span === span)?.mean
  const observation: Observation = {
    resourceType: 'Observation',
    ...(context.withIds === true ? { id: uuid } : {}),
    text: narrativeText(sentences),
    extension: recordingExtensions(average, span, mean, context),
    identifier: [{ system: ownUrls(context.canonicalBase).identifier.recording, value: uuid }],
    status: context.revision === 1 ? 'final' : 'amended',
    category: VITAL_SIGNS,
    code: codes.panel,
    subject: context.subject,
    effectivePeriod: effectivePeriod(average),
    issued: context.issued,
    performer: [context.subject],
    note: sentences.map((text) => ({ text })),
    component: [
      component(codes.systolic, mean?.systolic, context.decimals),
      component(codes.diastolic, mean?.diastolic, context.decimals),
    ],
  }
  const where = bodySite(average.arm, average.site, context.snomed)
  if (where !== undefined) observation.bodySite = where
  const averaged = readingsOf(span, average.used)
  if (averaged.length > 0) {
    observation.derivedFrom = averaged.map((placed) => placedReadingReference(placed, context))
  }
  return observation
}

const AMENDED =
  'Amended: this replaces the mean issued before, because readings came late, were corrected or were taken back.'

/** From the first reading to the last; the days that were asked for when there is no recording. */
function effectivePeriod({ plan, recording }: RecordingAverage): Period {
  const { zone, firstDay, lastDay } = plan
  const fromMs = recording?.fromMs ?? startOfDay(firstDay, zone)
  const toMs = recording?.toMs ?? startOfDay(addDays(lastDay, 1), zone) - 1000
  return { start: instantInZone(fromMs, zone), end: instantInZone(toMs, zone) }
}

function component(
  code: CodeableConcept,
  mean: ExactMean | undefined,
  decimals: number,
): ObservationComponent {
  return mean === undefined
    ? { code, dataAbsentReason: ABSENT_NOT_PERFORMED }
    : { code, valueQuantity: mmHgQuantity(roundedMmHg(mean, decimals)) }
}
