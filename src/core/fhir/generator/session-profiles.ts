import type { ElementDefinition, StructureDefinition } from 'fhir/r4.js'
import { EXTENSION, LOINC, MDC, PROFILE, STATUS_BITS, SYSTEM } from '../codes.ts'
import type { OwnUrls } from '../own-urls.ts'
import { baseType, conceptWith, element, referenceTo, slicedBy } from './element.ts'
import {
  EXTENSIONS_BY_URL,
  ONE_PATIENT,
  ownExtension,
  ownIdentifier,
  publishedExtension,
} from './parts-of-observations.ts'
import { profileDefinition } from './profile-definition.ts'

/** What one session comes to: its readings, their pulses, what the monitor said, and the monitor. */
export function sessionProfiles(own: OwnUrls): readonly StructureDefinition[] {
  return [homeReading(own), homePulse(own), monitorStatus(own), homeMonitor(own)]
}

function homeReading(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.homeReading,
    title: 'Home blood pressure reading',
    description:
      'One reading taken at home, as it was measured: who vouches for the numbers, the place of the cuff, the body ' +
      'position, the setting, the monitor, and what was noticed about how it was taken. No value is altered.',
    type: 'Observation',
    base: PROFILE.bloodPressure,
    elements: [
      ...VOUCHED_FOR,
      EXTENSIONS_BY_URL,
      ...publishedExtension('bodyPosition', EXTENSION.bodyPosition, 'CodeableConcept', 0, true),
      ownExtension('measurementSetting', own.extension, 1, '1'),
      ...ownIdentifier('Observation', own.identifier.reading),
      ...frame(),
      element('Observation.note', {
        short: 'Findings, one each, then the patient’s words',
        mustSupport: true,
      }),
      element('Observation.bodySite', {
        short: 'Where the cuff was, as far as the source stated it',
        mustSupport: true,
      }),
      DEVICE,
      element('Observation.component', slicedBy('value', 'code.coding.code', 'code.coding.system')),
      ...pressure('SystolicBP', own),
      ...pressure('DiastolicBP', own),
      ...positionComponent(),
    ],
  })
}

function pressure(slice: string, own: OwnUrls): readonly ElementDefinition[] {
  const id = `Observation.component:${slice}`
  return [
    element(id, { mustSupport: true }),
    element(`${id}.value[x]`, { type: [{ code: 'Quantity' }], mustSupport: true }),
    element(`${id}.value[x].extension`, slicedBy('value', 'url')),
    element(`${id}.value[x].extension:measuredQuantity`, {
      short: 'As it was measured, where the unit was not mm[Hg]',
      max: '1',
      type: [{ code: 'Extension', profile: [own.extension.measuredQuantity] }],
    }),
  ]
}

/** The position once more for clinics that read components; which of the two is written is a setting. */
function positionComponent(): readonly ElementDefinition[] {
  const id = 'Observation.component:bodyPosition'
  return [
    element(id, { short: 'The body position, for clinics that read components', max: '1' }),
    element(`${id}.code`, { min: 1 }),
    element(`${id}.code.coding`, { min: 1 }),
    element(`${id}.code.coding.system`, { min: 1, fixedUri: SYSTEM.loinc }),
    element(`${id}.code.coding.code`, { min: 1, fixedCode: LOINC.bodyPosition.code }),
    element(`${id}.value[x]`, { min: 1, type: [{ code: 'CodeableConcept' }] }),
  ]
}

function homePulse(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.homePulse,
    title: 'Home pulse',
    description: 'The pulse that a monitor counted with a reading.',
    type: 'Observation',
    base: PROFILE.heartRate,
    elements: [
      ...VOUCHED_FOR,
      ...ownIdentifier('Observation', own.identifier.pulse),
      ...frame(),
      element('Observation.value[x]', { min: 1, type: [{ code: 'Quantity' }], mustSupport: true }),
      DEVICE,
    ],
  })
}

function monitorStatus(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.monitorStatus,
    title: 'Status of a blood pressure monitor',
    description:
      'What the monitor itself reported with a reading: movement, a loose cuff, an irregular pulse, a wrong position. ' +
      'Only what it reported is there, true or false.',
    type: 'Observation',
    base: baseType('Observation'),
    elements: [
      ...VOUCHED_FOR,
      ...ownIdentifier('Observation', own.identifier.monitorStatus),
      element('Observation.status', { mustSupport: true }),
      element('Observation.category', { ...slicedBy('pattern', '$this'), min: 1, mustSupport: true }),
      element('Observation.category:phd', {
        min: 1,
        max: '1',
        ...conceptWith(SYSTEM.personalHealthDeviceCategory, 'phd'),
      }),
      element('Observation.code', {
        ...conceptWith(SYSTEM.mdc, MDC.bloodPressureStatus.code),
        mustSupport: true,
      }),
      ...frame(),
      element('Observation.value[x]', { max: '0' }),
      DEVICE,
      element('Observation.derivedFrom', {
        short: 'The reading',
        min: 1,
        max: '1',
        ...referenceTo(own.profile.homeReading),
        mustSupport: true,
      }),
      element('Observation.component', { ...slicedBy('pattern', 'code'), min: 1, mustSupport: true }),
      ...Object.entries(STATUS_BITS).flatMap(([slice, { code, display }]) => [
        element(`Observation.component:${slice}`, { short: display, max: '1' }),
        element(`Observation.component:${slice}.code`, conceptWith(SYSTEM.asn1Bits, code)),
        element(`Observation.component:${slice}.value[x]`, { min: 1, type: [{ code: 'boolean' }] }),
      ]),
    ],
  })
}

function homeMonitor(own: OwnUrls): StructureDefinition {
  return profileDefinition({
    url: own.profile.homeMonitor,
    title: 'Home blood pressure monitor',
    description: 'The cuff, never the phone or the gateway, as far as its source describes it.',
    type: 'Device',
    base: baseType('Device'),
    elements: [
      ...ownIdentifier('Device', own.identifier.device),
      element('Device.manufacturer', { mustSupport: true }),
      element('Device.serialNumber', { mustSupport: true }),
      element('Device.modelNumber', { mustSupport: true }),
      element('Device.type', { min: 1, mustSupport: true }),
    ],
  })
}

/** In the order of the elements of Observation, as every differential is. */
function frame(): readonly ElementDefinition[] {
  return [
    element('Observation.subject', ONE_PATIENT),
    element('Observation.effective[x]', { min: 1, type: [{ code: 'dateTime' }], mustSupport: true }),
    element('Observation.issued', { short: 'When the gateway received it', mustSupport: true }),
    element('Observation.performer', { ...ONE_PATIENT, max: '1' }),
  ]
}

const DEVICE = element('Observation.device', {
  short: 'The cuff',
  ...referenceTo(baseType('Device')),
  mustSupport: true,
})

const VOUCHED_FOR: readonly ElementDefinition[] = [
  element('Observation.meta', { min: 1 }),
  element('Observation.meta.security', {
    short: 'Who vouches for the numbers: the monitor, or the patient who typed them',
    min: 1,
    mustSupport: true,
  }),
]
