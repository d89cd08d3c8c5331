import type { ElementDefinition, StructureDefinition } from 'fhir/r4.js'
import { EXTENSION, LOINC, SNOMED, SYSTEM, UCUM } from '../codes.ts'
import type { OwnUrls } from '../own-urls.ts'
import { baseType, conceptWith, element, invariant, quantityIn, referenceTo, slicedBy } from './element.ts'
import {
  EXTENSIONS_BY_URL,
  ONE_PATIENT,
  ownExtension,
  ownIdentifier,
  publishedExtension,
  VITAL_SIGNS_CATEGORY,
  WHOLE_PERIOD,
} from './parts-of-observations.ts'
import { profileDefinition } from './profile-definition.ts'

/** The average of a measurement period at home, and the means of a 24-hour recording. */
export function meanProfiles(own: OwnUrls): readonly StructureDefinition[] {
  return [periodAverage(own), recordingAverage(own)]
}

const VALUE_OR_REASON = invariant(
  'hbp-1',
  'A mean has a value, or the reason why it has none.',
  'value.exists() or dataAbsentReason.exists()',
)

/** Both say exactly which readings were averaged, so that a reader need not believe the number beside them. */
const COUNTED = invariant(
  'hbp-2',
  'The number of readings averaged is the number of readings it derives from.',
  `extension.where(url = '${EXTENSION.numberOfMeasurements}').value = derivedFrom.count()`,
)

function periodAverage(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.periodAverage,
    title: 'Average blood pressure of a measurement period at home',
    description:
      'The mean of the readings that a protocol lets count, with all that is needed to work it out again: the plan, ' +
      'the readings averaged, those left out with their reasons, and whether there were enough. It is written so that ' +
      'it also meets the average profile of US Core. Not a diagnosis.',
    type: 'Observation',
    base: baseType('Observation'),
    constraint: COUNTED,
    elements: [
      element('Observation.text', { min: 1, mustSupport: true }),
      EXTENSIONS_BY_URL,
      ...publishedExtension('numberOfMeasurements', EXTENSION.numberOfMeasurements, 'integer', 1),
      ...publishedExtension('adheresTo', EXTENSION.adheresTo, 'uri', 1),
      ...publishedExtension('bodyPosition', EXTENSION.bodyPosition, 'CodeableConcept', 0),
      ownExtension('measurementPeriod', own.extension, 1, '1'),
      ownExtension('readingsReceived', own.extension, 1, '1'),
      ownExtension('sufficiency', own.extension, 1, '1'),
      ownExtension('adherence', own.extension, 1, '1'),
      ownExtension('meanPulse', own.extension, 0, '1'),
      ownExtension('averageLabel', own.extension, 0, '*'),
      ownExtension('windowMean', own.extension, 0, '*'),
      ownExtension('sensitivity', own.extension, 1, '1'),
      ownExtension('interArmDifference', own.extension, 0, '1'),
      ownExtension('averageStatistics', own.extension, 0, '1'),
      ownExtension('exclusion', own.extension, 0, '*'),
      ...ownIdentifier('Observation', own.identifier.average),
      element('Observation.status', { mustSupport: true }),
      ...VITAL_SIGNS_CATEGORY,
      element('Observation.code', { ...conceptWith(SYSTEM.loinc, LOINC.meanPanel.code), mustSupport: true }),
      ...aboutAndWhen(),
      ...noteAndSource(own),
      element('Observation.component', {
        ...slicedBy('pattern', 'code'),
        min: 3,
        constraint: [VALUE_OR_REASON],
        mustSupport: true,
      }),
      ...mean('systolic', LOINC.meanSystolic.code),
      ...mean('diastolic', LOINC.meanDiastolic.code),
      ...count(),
    ],
  })
}

function mean(slice: string, code: string): readonly ElementDefinition[] {
  const id = `Observation.component:${slice}`
  return [
    element(id, { min: 1, max: '1', mustSupport: true }),
    element(`${id}.code`, conceptWith(SYSTEM.loinc, code)),
    ...quantityIn(`${id}.value[x]`, SYSTEM.ucum, UCUM.mmHg.code),
  ]
}

function count(): readonly ElementDefinition[] {
  const id = 'Observation.component:count'
  return [
    element(id, { short: 'Number of readings averaged', min: 1, max: '1', mustSupport: true }),
    element(`${id}.code`, conceptWith(SYSTEM.snomed, SNOMED.numberOfOccurrences)),
    ...quantityIn(`${id}.value[x]`, SYSTEM.ucum, UCUM.count.code),
  ]
}

function recordingAverage(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.recordingAverage,
    title: 'Mean blood pressure of a 24-hour recording',
    description:
      'The mean of 24 hours, of the day or of the night of a worn monitor’s recording, by the rule of one named source, ' +
      'with the readings averaged and those left out. Not a diagnosis.',
    type: 'Observation',
    base: baseType('Observation'),
    elements: [
      element('Observation.text', { min: 1, mustSupport: true }),
      EXTENSIONS_BY_URL,
      ...publishedExtension('adheresTo', EXTENSION.adheresTo, 'uri', 1),
      ownExtension('measurementPeriod', own.extension, 1, '1'),
      ownExtension('readingsReceived', own.extension, 1, '1'),
      ownExtension('meanPulse', own.extension, 0, '1'),
      ownExtension('averageLabel', own.extension, 0, '*'),
      ownExtension('exclusion', own.extension, 0, '*'),
      ...ownIdentifier('Observation', own.identifier.recording),
      element('Observation.status', { mustSupport: true }),
      ...VITAL_SIGNS_CATEGORY,
      element('Observation.code', {
        mustSupport: true,
        binding: { strength: 'required', valueSet: own.valueSet.recordingMeans },
      }),
      ...aboutAndWhen(),
      ...noteAndSource(own),
      element('Observation.component', {
        short: 'The systolic and the diastolic mean',
        min: 2,
        max: '2',
        constraint: [VALUE_OR_REASON],
        mustSupport: true,
      }),
      element('Observation.component.code', {
        binding: { strength: 'required', valueSet: own.valueSet.recordingComponents },
      }),
      ...quantityIn('Observation.component.value[x]', SYSTEM.ucum, UCUM.mmHg.code),
    ],
  })
}

function aboutAndWhen(): readonly ElementDefinition[] {
  return [
    element('Observation.subject', ONE_PATIENT),
    ...WHOLE_PERIOD,
    element('Observation.issued', { min: 1, mustSupport: true }),
    element('Observation.performer', { ...ONE_PATIENT, max: '1' }),
    element('Observation.value[x]', { max: '0' }),
  ]
}

function noteAndSource(own: OwnUrls): readonly ElementDefinition[] {
  return [
    element('Observation.note', { short: 'All of it in sentences', min: 1, mustSupport: true }),
    element('Observation.bodySite', { mustSupport: true }),
    element('Observation.derivedFrom', {
      short: 'Exactly the readings averaged',
      ...referenceTo(own.profile.homeReading),
      mustSupport: true,
    }),
  ]
}
