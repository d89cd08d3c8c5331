/** Where R4 publishes its types and profiles. */
export const R4_BASE = 'http://hl7.org/fhir/StructureDefinition/'
