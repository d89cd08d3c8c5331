import type { UseExample } from './use-example.ts'

const FHIR_JSON = 'application/fhir+json'

const OBSERVATION = {
  resourceType: 'Observation',
  id: 'pulse-1',
  status: 'final',
  code: { coding: [{ system: 'http://loinc.org', code: '8867-4', display: 'Heart rate' }] },
  subject: { reference: 'Patient/1' },
  effectiveDateTime: '2026-03-02',
  valueQuantity: { value: 72, unit: 'beats/minute', system: 'http://unitsofmeasure.org', code: '/min' },
}

const open = (name: string, summary: string): readonly UseExample[] => [{ name, summary }]

/** The FHIR endpoint, and what the service tells of itself. */
export const OTHER_EXAMPLES: Readonly<Record<string, readonly UseExample[]>> = {
  readCapabilities: open('all', 'What the endpoint can do'),
  validateResource: [
    { name: 'pulse', summary: 'A heart rate', body: { type: FHIR_JSON, value: OBSERVATION } },
    {
      name: 'wrong',
      summary: 'A status that R4 does not have: still 200',
      body: { type: FHIR_JSON, value: { ...OBSERVATION, status: 'done' } },
    },
  ],
  validateType: [
    {
      name: 'pulse',
      summary: 'A heart rate',
      parameters: { type: 'Observation' },
      body: { type: FHIR_JSON, value: OBSERVATION },
    },
  ],
  validateInstance: [
    {
      name: 'pulse',
      summary: 'What would replace it',
      parameters: { type: 'Observation', id: 'pulse-1', mode: 'update' },
      body: { type: FHIR_JSON, value: OBSERVATION },
    },
  ],
  readLiveness: open('live', 'It runs'),
  readReadiness: open('ready', 'The store answers and takes writes'),
  readMetrics: open('all', 'The counts'),
  readDescription: open('all', 'This document'),
  readKeySet: open('empty', 'No key was made'),
  readProblem: [
    { name: 'one', summary: 'A code', parameters: { code: 'UNKNOWN_SOURCE' } },
    { name: 'unknown', refused: true, summary: 'No code of ours', parameters: { code: 'NO_SUCH_CODE' } },
  ],
  readDocumentation: open('page', 'The page'),
  readDocumentationFile: [{ name: 'style', summary: 'A style sheet', parameters: { file: 'page.css' } }],
  listCapabilityStatements: open('all', 'All of ours'),
  listCodeSystems: open('all', 'All of ours'),
  listStructureDefinitions: open('all', 'All of ours'),
  listValueSets: open('all', 'All of ours'),
  readCapabilityStatement: [{ name: 'one', summary: 'One', parameters: { id: 'home-bp-gateway' } }],
  readCodeSystem: [{ name: 'one', summary: 'One', parameters: { id: 'home-bp-findings' } }],
  readStructureDefinition: [{ name: 'one', summary: 'One', parameters: { id: 'measurement-setting' } }],
  readValueSet: [{ name: 'one', summary: 'One', parameters: { id: 'arms' } }],
}
