import type { CodeableConcept, Coding } from 'fhir/r4.js'
import { frozen } from '../basics/frozen.ts'

/** Every published code this gateway writes, with its source. Nothing here is guessed; tests compute the check digits. */

export const SYSTEM = {
  loinc: 'http://loinc.org',
  snomed: 'http://snomed.info/sct',
  ucum: 'http://unitsofmeasure.org',
  /** ISO/IEEE 11073-10101 nomenclature. Source: HL7 Personal Health Device guide 2.0.0. */
  mdc: 'urn:iso:std:iso:11073:10101',
  /** Bits of 11073 status words. Source: HL7 Personal Health Device guide 2.0.0, BITs enumerations. */
  asn1Bits: 'http://terminology.hl7.org/CodeSystem/ASN1ToHL7',
  /** Source: HL7 US Core 8.0.0 and later, guidance on vital signs: patient-supplied data. */
  usCoreTags: 'http://hl7.org/fhir/us/core/CodeSystem/us-core-tags',
  observationCategory: 'http://terminology.hl7.org/CodeSystem/observation-category',
  personalHealthDeviceCategory: 'http://hl7.org/fhir/uv/phd/CodeSystem/PhdObservationCategories',
  dataAbsentReason: 'http://terminology.hl7.org/CodeSystem/data-absent-reason',
  interpretation: 'http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation',
  observationValue: 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue',
  dataOperation: 'http://terminology.hl7.org/CodeSystem/v3-DataOperation',
  provenanceParticipant: 'http://terminology.hl7.org/CodeSystem/provenance-participant-type',
} as const

export interface Code {
  readonly code: string
  readonly display: string
}

/**
 * LOINC. Sources: FHIR R4 4.0.1 profiles bp and heartrate (85354-9, 8480-6, 8462-4, 8867-4); loinc.org/96607-7 (the
 * mean panel and its two parts); HL7 Vital Signs with Qualifying Elements 2.0.0 (97844-5 and its two parts, for 24-hour
 * recordings alone); HL7 Structured Data Capture weight and height panel with LOINC 2.81 (8361-8 and its answers).
 * There is no LOINC code for a morning, evening, day or night mean; none is made up here.
 */
export const LOINC = {
  bloodPressurePanel: { code: '85354-9', display: 'Blood pressure panel with all children optional' },
  systolic: { code: '8480-6', display: 'Systolic blood pressure' },
  diastolic: { code: '8462-4', display: 'Diastolic blood pressure' },
  heartRate: { code: '8867-4', display: 'Heart rate' },
  meanPanel: { code: '96607-7', display: 'Blood pressure panel mean systolic and mean diastolic' },
  meanSystolic: { code: '96608-5', display: 'Systolic blood pressure mean' },
  meanDiastolic: { code: '96609-3', display: 'Diastolic blood pressure mean' },
  twentyFourHourPanel: { code: '97844-5', display: 'Blood pressure panel 24 hour mean' },
  twentyFourHourSystolic: { code: '8490-5', display: 'Systolic blood pressure 24 hour mean' },
  twentyFourHourDiastolic: { code: '8472-3', display: 'Diastolic blood pressure 24 hour mean' },
  bodyPosition: { code: '8361-8', display: 'Body position with respect to gravity' },
  answerSitting: { code: 'LA11868-9', display: 'Sitting' },
  answerLying: { code: 'LA11869-7', display: 'Lying' },
  answerStanding: { code: 'LA11870-5', display: 'Standing' },
} as const satisfies Record<string, Code>

/**
 * SNOMED CT concept ids, written without display because a deployer's edition decides it; the text beside them is
 * ours. All but `numberOfOccurrences` are written only for destinations that ask for SNOMED CT (licence).
 * Sources: HL7 Vital Signs with Qualifying Elements 2.0.0, value sets of body position, measurement body location and
 * measurement device. That guide locates a cuff by its artery.
 */
export const SNOMED = {
  sitting: '33586001',
  standing: '10904000',
  /** Lying, which way not said. */
  recumbent: '102538003',
  leftBrachialArtery: '723961002',
  rightBrachialArtery: '723962009',
  leftRadialArtery: '368504007',
  rightRadialArtery: '368503001',
  automaticSphygmomanometer: '466086009',
  /**
   * The one code US Core names for the number of readings averaged. Source: US Core 7.0.0 and later, average blood
   * pressure.
   */
  numberOfOccurrences: '246432004',
} as const

/** ISO/IEEE 11073-10101 term of a cuff's status word. Source: HL7 Personal Health Device guide 2.0.0. */
export const MDC = {
  bloodPressureStatus: { code: '8410608', display: 'MDC_BLOOD_PRESSURE_MEASUREMENT_STATUS' },
} as const satisfies Record<string, Code>

/**
 * Bits of the status word; each is true or false. Source: HL7 Personal Health Device guide 2.0.0, code system ASN1ToHL7.
 */
export const STATUS_BITS = {
  bodyMovement: { code: '8410608.0', display: 'body-movement' },
  cuffTooLoose: { code: '8410608.1', display: 'cuff-too-loose' },
  irregularPulse: { code: '8410608.2', display: 'irregular-pulse' },
  improperPosition: { code: '8410608.5', display: 'improper-body-position' },
} as const satisfies Record<string, Code>

/** UCUM. Source: ucum.org; `mmHg` and `#` are not UCUM. `unit` is what a person reads. */
export const UCUM = {
  mmHg: { code: 'mm[Hg]', unit: 'mmHg' },
  kPa: { code: 'kPa', unit: 'kPa' },
  perMinute: { code: '/min', unit: 'beats/minute' },
  count: { code: '{#}', unit: '{#}' },
  percent: { code: '%', unit: '%' },
  mmHgPerDay: { code: 'mm[Hg]/d', unit: 'mmHg/day' },
} as const

/**
 * Profiles of others. Always claimed in `meta.profile` are bp and heartrate, which are part of R4 itself, and the three
 * that an average meets at once; a destination may ask for more, see `adorned-resource.ts`. Sources: FHIR R4 4.0.1; US Core
 * 7.0.0 and later; CardX Hypertension Management 1.0.0; Vital Signs with Qualifying Elements 1.0.0.
 */
export const PROFILE = {
  vitalSigns: 'http://hl7.org/fhir/StructureDefinition/vitalsigns',
  bloodPressure: 'http://hl7.org/fhir/StructureDefinition/bp',
  heartRate: 'http://hl7.org/fhir/StructureDefinition/heartrate',
  usCoreVitalSigns: 'http://hl7.org/fhir/us/core/StructureDefinition/us-core-vital-signs',
  usCoreBloodPressure: 'http://hl7.org/fhir/us/core/StructureDefinition/us-core-blood-pressure',
  usCoreHeartRate: 'http://hl7.org/fhir/us/core/StructureDefinition/us-core-heart-rate',
  usCoreAverage: 'http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure',
  cardxAverage: 'http://hl7.org/fhir/uv/cardx-htn-mng/StructureDefinition/average-smbp',
  cimiAverage: 'http://hl7.org/fhir/us/vitals/StructureDefinition/average-blood-pressure',
} as const

/** Extensions others published. Our own are in `own-urls.ts`. */
export const EXTENSION = {
  /** CodeableConcept on Observation. Source: FHIR R4 4.0.1. */
  bodyPosition: 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition',
  /** canonical, uri or Reference. Source: HL7 FHIR Extensions Pack; named by US Core for the protocol of an average. */
  adheresTo: 'http://hl7.org/fhir/StructureDefinition/workflow-adheresTo',
  /** integer, 1..1 on an average. Source: CardX Hypertension Management 1.0.0. */
  numberOfMeasurements: 'http://hl7.org/fhir/uv/cardx-htn-mng/StructureDefinition/NumberOfMeasurementsExt',
} as const

/** Category of every reading, pulse and average. Source: FHIR R4 4.0.1, vitalsigns slice VSCat. */
export const VITAL_SIGNS: CodeableConcept[] = frozen([
  { coding: [{ system: SYSTEM.observationCategory, code: 'vital-signs', display: 'Vital Signs' }] },
])

/**
 * A value that the monitor should have given and did not; why is not known, so the general code is used and not
 * `not-performed` or `error`. Source: FHIR R4 4.0.1, code system data-absent-reason, `unknown`.
 */
export const ABSENT_UNKNOWN: CodeableConcept = frozen({
  coding: [{ system: SYSTEM.dataAbsentReason, code: 'unknown', display: 'Unknown' }],
})

/** A mean that was not worked out, because no reading counts. Source: the same code system, `not-performed`. */
export const ABSENT_NOT_PERFORMED: CodeableConcept = frozen({
  coding: [{ system: SYSTEM.dataAbsentReason, code: 'not-performed', display: 'Not Performed' }],
})

/** Who vouches for the numbers. Source: HL7 v3 ObservationValue, security provenance, as in FHIR R4 4.0.1. */
export const ASSERTED_BY_DEVICE: Coding[] = frozen([
  { system: SYSTEM.observationValue, code: 'DEVAST', display: 'device asserted' },
])
export const REPORTED_BY_PATIENT: Coding[] = frozen([
  { system: SYSTEM.observationValue, code: 'PATRPT', display: 'patient reported' },
])

/** A concept with one LOINC coding and its own name as text. */
export function loincConcept({ code, display }: Code): CodeableConcept {
  return { coding: [{ system: SYSTEM.loinc, code, display }], text: display }
}
