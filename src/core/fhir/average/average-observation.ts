import type { Extension, Observation, ObservationComponent } from 'fhir/r4.js'
import { type ExactMean, roundedMmHg } from '../../basics/exact-mean.ts'
import { frozen } from '../../basics/frozen.ts'
import { addDays, startOfDay } from '../../basics/local-day.ts'
import type { PeriodAverage } from '../../clinical/averaging/period-average.ts'
import type { PeriodReport } from '../../clinical/report/period-report.ts'
import type { AverageContext } from '../average-context.ts'
import { writtenPosition } from '../body-position.ts'
import { bodySite } from '../body-site.ts'
import {
  ABSENT_NOT_PERFORMED,
  type Code,
  EXTENSION,
  LOINC,
  loincConcept,
  PROFILE,
  SNOMED,
  SYSTEM,
  UCUM,
  VITAL_SIGNS,
} from '../codes.ts'
import { averageUuid } from '../identifiers.ts'
import { instantInZone } from '../instant-in-zone.ts'
import { narrativeText } from '../narrative-text.ts'
import { ownUrls } from '../own-urls.ts'
import { placedReadingReference } from '../placed-reading-reference.ts'
import { mmHgQuantity } from '../pressure-quantity.ts'
import { ownAverageExtensions } from './average-extensions.ts'

/** The published average profiles that one average meets at once. */
export const AVERAGE_PROFILES: readonly string[] = [
  PROFILE.usCoreAverage,
  PROFILE.cardxAverage,
  PROFILE.cimiAverage,
]

/** CardX takes no average that is `amended`. Source: CardX Hypertension Management 1.0.0, average-smbp, status. */
const AMENDED_AVERAGE_PROFILES: readonly string[] = AVERAGE_PROFILES.filter(
  (profile) => profile !== PROFILE.cardxAverage,
)

/**
 * A period average as an Observation: 96607-7 with both means, the period in the patient's own days, exactly the
 * readings averaged in `derivedFrom`, their number both as US Core and as CardX write it, and the protocol.
 *
 * It is computed from its readings, hence derivedFrom and not hasMember; and it is not of the R4 vitalsigns profile,
 * whose vs-1 refuses a Period. Means are rounded once, here. With no reading that counts both means are absent with a
 * reason, and the notes say why. A later revision is the same Observation, amended, and says so.
 * Sources: US Core 7.0.0 and later, CardX Hypertension Management 1.0.0, Vital Signs with Qualifying Elements 1.0.0,
 * their average blood pressure profiles; FHIR R4 4.0.1 observation.html.
 */
export function averageObservation(report: PeriodReport, context: AverageContext): Observation {
  const { average } = report
  const { mean, used } = average
  const sentences = context.revision === 1 ? context.narrative : [AMENDED, ...context.narrative]
  const uuid = averageUuid(context.period)
  const profiles = context.profiles ?? (context.revision === 1 ? AVERAGE_PROFILES : AMENDED_AVERAGE_PROFILES)
  const observation: Observation = {
    resourceType: 'Observation',
    ...(context.withIds === true ? { id: uuid } : {}),
    ...(profiles.length === 0 ? {} : { meta: { profile: [...profiles] } }),
    text: narrativeText(sentences),
    extension: [...publishedExtensions(average, context), ...ownAverageExtensions(report, context)],
    identifier: [{ system: ownUrls(context.canonicalBase).identifier.average, value: uuid }],
    status: context.revision === 1 ? 'final' : 'amended',
    category: VITAL_SIGNS,
    code: loincConcept(LOINC.meanPanel),
    subject: context.subject,
    effectivePeriod: effectivePeriod(average),
    issued: context.issued,
    performer: [context.subject],
    note: sentences.map((text) => ({ text })),
    component: [
      meanComponent(LOINC.meanSystolic, mean?.systolic, context.decimals),
      meanComponent(LOINC.meanDiastolic, mean?.diastolic, context.decimals),
      countComponent(used.length),
    ],
  }
  const where = bodySite(average.arm, average.site, context.snomed)
  if (where !== undefined) observation.bodySite = where
  if (used.length > 0) {
    observation.derivedFrom = used.map((placed) => placedReadingReference(placed, context))
  }
  return observation
}

const AMENDED =
  'Amended: this replaces the average issued before, because readings came late, were corrected or were taken back.'

/** From the first instant of the first local day to the last second of the last, each with its own offset. */
function effectivePeriod({ plan }: PeriodAverage): { start: string; end: string } {
  const { zone, firstDay, lastDay } = plan
  return {
    start: instantInZone(startOfDay(firstDay, zone), zone),
    end: instantInZone(startOfDay(addDays(lastDay, 1), zone) - 1000, zone),
  }
}

/**
 * A position on an average asserts it for every reading averaged, so it is written only when all share it.
 * Source: Vital Signs with Qualifying Elements 1.0.0, average blood pressure.
 */
function publishedExtensions({ plan, used }: PeriodAverage, context: AverageContext): Extension[] {
  const extensions: Extension[] = [
    { url: EXTENSION.numberOfMeasurements, valueInteger: used.length },
    { url: EXTENSION.adheresTo, valueUri: `${context.canonicalBase}/protocol/${plan.protocol.id}` },
  ]
  const position = used[0]?.session.position
  if (position !== undefined && used.every(({ session }) => session.position === position)) {
    extensions.push(writtenPosition(position, context.snomed).extension)
  }
  return extensions
}

function meanComponent(code: Code, mean: ExactMean | undefined, decimals: number): ObservationComponent {
  return mean === undefined
    ? { code: loincConcept(code), dataAbsentReason: ABSENT_NOT_PERFORMED }
    : { code: loincConcept(code), valueQuantity: mmHgQuantity(roundedMmHg(mean, decimals)) }
}

const COUNT = frozen({
  coding: [{ system: SYSTEM.snomed, code: SNOMED.numberOfOccurrences }],
  text: 'Number of readings averaged',
})

/** US Core asks for the number under this one SNOMED CT code, so it is written for every destination. */
function countComponent(readings: number): ObservationComponent {
  const { unit, code } = UCUM.count
  return { code: COUNT, valueQuantity: { value: readings, unit, system: SYSTEM.ucum, code } }
}
