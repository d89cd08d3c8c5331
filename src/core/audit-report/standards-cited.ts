import type { StandardCited } from './audit-report.ts'

/** The published standards every resource is judged by, whatever a report is about. */
export const STANDARDS_CITED: readonly StandardCited[] = [
  {
    title: 'HL7 FHIR R4, 4.0.1',
    usedFor: 'JSON format, data types, cardinalities, invariants, references, bundles',
    url: 'http://hl7.org/fhir/R4/',
  },
  {
    title: 'HL7 FHIR R4, vital signs profiles: vitalsigns, bp, heartrate',
    usedFor: 'what a blood pressure and a pulse must hold, by their codes',
    url: 'http://hl7.org/fhir/R4/observation-vitalsigns.html',
  },
  {
    title: 'HL7 US Core',
    usedFor: 'blood pressure and average blood pressure, where a resource claims them or they are asked for',
    url: 'http://hl7.org/fhir/us/core/',
  },
  {
    title: 'LOINC',
    usedFor: 'the codes of blood pressure, pulse, position and averages, and their check digits',
    url: 'https://loinc.org/',
  },
  {
    title: 'SNOMED CT',
    usedFor: 'the form and check digits of its identifiers',
    url: 'https://www.snomed.org/',
  },
  { title: 'UCUM', usedFor: 'units of measure', url: 'https://ucum.org/ucum' },
  {
    title: 'RFC 8259, the JSON data interchange format',
    usedFor: 'the text itself, with each key once in an object',
    url: 'https://www.rfc-editor.org/rfc/rfc8259',
  },
]
