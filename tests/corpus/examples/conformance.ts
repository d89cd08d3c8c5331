/** Conformance resources of R4 4.0.1, their shapes as published, their content ours. */

const published = (resourceType: string, id: string) => ({
  resourceType,
  id,
  url: `https://gateway.example/fhir/${resourceType}/${id}`,
  version: '1.0.0',
  name: 'HomeReading',
  title: 'Home reading',
  status: 'active',
  date: '2026-03-02',
})

/** Source: FHIR R4 4.0.1, codesystem-example. */
export function codeSystem() {
  return {
    ...published('CodeSystem', 'exclusion'),
    content: 'complete',
    caseSensitive: true,
    concept: [
      { code: 'first-day', display: 'First day', definition: 'Left out: a reading of the first day.' },
    ],
  }
}

/** Source: FHIR R4 4.0.1, valueset-example. */
export function valueSet() {
  return {
    ...published('ValueSet', 'exclusions'),
    compose: { include: [{ system: 'https://gateway.example/fhir/CodeSystem/exclusion' }] },
  }
}

/** Source: FHIR R4 4.0.1, capabilitystatement-example. */
export function capabilityStatement() {
  return {
    ...published('CapabilityStatement', 'gateway'),
    kind: 'instance',
    implementation: { description: 'A gateway' },
    fhirVersion: '4.0.1',
    format: ['json'],
    rest: [{ mode: 'server', resource: [{ type: 'Observation', interaction: [{ code: 'create' }] }] }],
  }
}

/** Source: FHIR R4 4.0.1, structuredefinition.html: a profile of Observation as a differential. */
export function structureDefinition() {
  return {
    ...published('StructureDefinition', 'home-reading'),
    fhirVersion: '4.0.1',
    kind: 'resource',
    abstract: false,
    type: 'Observation',
    baseDefinition: 'http://hl7.org/fhir/StructureDefinition/bp',
    derivation: 'constraint',
    differential: {
      element: [
        { id: 'Observation', path: 'Observation' },
        { id: 'Observation.device', path: 'Observation.device', min: 1 },
      ],
    },
  }
}
