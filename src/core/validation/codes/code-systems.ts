/** Code system URIs the rules look for. Source: FHIR R4 4.0.1, terminologies-systems.html. */
export const LOINC = 'http://loinc.org'
export const SNOMED_CT = 'http://snomed.info/sct'
export const UCUM = 'http://unitsofmeasure.org'
export const LANGUAGES = 'urn:ietf:bcp:47'
export const OBSERVATION_CATEGORY = 'http://terminology.hl7.org/CodeSystem/observation-category'
export const OBSERVATION_INTERPRETATION = 'http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation'
export const PARTICIPANT_TYPE = 'http://terminology.hl7.org/CodeSystem/provenance-participant-type'
