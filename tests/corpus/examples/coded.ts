/** Code systems by their URIs. Source: FHIR R4 4.0.1, terminologies-systems.html. */
export const LOINC = 'http://loinc.org'
export const SNOMED = 'http://snomed.info/sct'
export const UCUM = 'http://unitsofmeasure.org'
export const MDC = 'urn:iso:std:iso:11073:10101'
export const CATEGORY = 'http://terminology.hl7.org/CodeSystem/observation-category'
export const ABSENT = 'http://terminology.hl7.org/CodeSystem/data-absent-reason'
export const INTERPRETATION = 'http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation'
export const R4_PROFILE = 'http://hl7.org/fhir/StructureDefinition/'
export const US_CORE_PROFILE = 'http://hl7.org/fhir/us/core/StructureDefinition/'

/** A CodeableConcept of one coding. */
export const concept = (system: string, code: string, display?: string) => ({
  coding: [{ system, code, ...(display === undefined ? {} : { display }) }],
})
export const loinc = (code: string, display?: string) => concept(LOINC, code, display)

export const quantity = (value: number, code: string, unit = code) => ({ value, unit, system: UCUM, code })
export const mmHg = (value: number) => quantity(value, 'mm[Hg]', 'mmHg')

export const vitalSigns = () => [concept(CATEGORY, 'vital-signs', 'Vital Signs')]

export const div = (inside: string) => `<div xmlns="http://www.w3.org/1999/xhtml">${inside}</div>`
