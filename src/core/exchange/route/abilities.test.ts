import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readAbilities } from './abilities.ts'

const observation = {
  type: 'Observation',
  interaction: ['create', 'read', 'update', 'search-type'].map((code) => ({ code })),
  versioning: 'versioned-update',
  updateCreate: true,
  conditionalCreate: true,
  searchParam: [{ name: 'identifier', type: 'token' }],
}

function statement(rest: object, more: object = {}) {
  return {
    resourceType: 'CapabilityStatement',
    fhirVersion: '4.0.1',
    rest: [{ mode: 'server', resource: [observation], ...rest }],
    ...more,
  }
}

const nothing = {
  listed: false,
  create: false,
  read: false,
  update: false,
  search: false,
  searchParameters: [],
  conditionalCreate: false,
  updateCreate: false,
  versioning: 'not-said',
}

describe('readAbilities', () => {
  it('reads what is stated, and takes nothing that is not', () => {
    expect(readAbilities(statement({ interaction: [{ code: 'transaction' }, { code: 'batch' }] }))).toEqual({
      fhirVersion: '4.0.1',
      transaction: true,
      types: {
        Observation: {
          listed: true,
          create: true,
          read: true,
          update: true,
          search: true,
          searchParameters: ['identifier'],
          conditionalCreate: true,
          updateCreate: true,
          versioning: 'versioned-update',
        },
        Device: nothing,
        Provenance: nothing,
        Patient: nothing,
      },
    })
    expect(readAbilities(statement({ interaction: [{ code: 'batch' }] }))?.transaction).toBe(false)
  })

  it('counts search parameters of all types for each that is listed', () => {
    const abilities = readAbilities(
      statement({ searchParam: [{ name: '_tag' }, { name: 'identifier' }, {}] }),
    )
    expect(abilities?.types.Observation.searchParameters).toEqual(['identifier', '_tag'])
    expect(abilities?.types.Device.searchParameters).toEqual([])
  })

  it('leaves out what is stated of a client', () => {
    const client = { mode: 'client', interaction: [{ code: 'transaction' }], resource: [observation] }
    const both = statement({}, { rest: [client, { mode: 'server' }] })
    expect(readAbilities(both)).toMatchObject({ transaction: false, types: { Observation: nothing } })
    expect(readAbilities(statement({}, { rest: [client] }))).toBeUndefined()
  })

  it('adds up a type that is listed twice', () => {
    const twice = [
      { type: 'Observation', interaction: [{ code: 'create' }] },
      { type: 'Observation', conditionalCreate: true },
    ]
    expect(readAbilities(statement({ resource: twice }))?.types.Observation).toMatchObject({
      create: true,
      conditionalCreate: true,
      update: false,
    })
  })

  it.each(['4.0.0', '4.0.1', '4.0'])('takes a statement of FHIR %s', (fhirVersion) => {
    expect(readAbilities(statement({}, { fhirVersion }))?.fhirVersion).toBe(fhirVersion)
  })

  it('takes a statement that names no version for one of R4', () => {
    expect(readAbilities(statement({}, { fhirVersion: undefined }))).not.toHaveProperty('fhirVersion')
  })

  it.each([
    ['of STU3', statement({}, { fhirVersion: '3.0.2' })],
    ['of R4B', statement({}, { fhirVersion: '4.3.0' })],
    ['of R5', statement({}, { fhirVersion: '5.0.0' })],
    ['whose version is no text', statement({}, { fhirVersion: 4 })],
    ['without a server', statement({}, { rest: [] })],
    ['that is an OperationOutcome', { resourceType: 'OperationOutcome' }],
    ['that is the Conformance of an older release', { ...statement({}), resourceType: 'Conformance' }],
    ['that is no object', 'CapabilityStatement'],
    ['that is nothing', undefined],
  ])('gives nothing for a statement %s', (_, value) => {
    expect(readAbilities(value)).toBeUndefined()
  })

  it('takes words for switches only as they are: true, and nothing else', () => {
    const loose = { ...observation, conditionalCreate: 'true', updateCreate: 1, versioning: 'yes' }
    expect(readAbilities(statement({ resource: [loose] }))?.types.Observation).toMatchObject({
      conditionalCreate: false,
      updateCreate: false,
      versioning: 'not-said',
    })
  })

  it('never throws, whatever the shape', () => {
    const wild = fc.jsonValue()
    const shaped = fc.record({
      resourceType: fc.constant('CapabilityStatement'),
      rest: fc.oneof(
        wild,
        fc.array(
          fc.record({
            mode: fc.constantFrom('server', 7),
            interaction: wild,
            searchParam: wild,
            resource: fc.oneof(
              wild,
              fc.array(
                fc.record({ type: fc.constantFrom('Observation', 7), interaction: wild, searchParam: wild }),
              ),
            ),
          }),
        ),
      ),
    })
    fc.assert(
      fc.property(fc.oneof(wild, shaped), (value) => {
        const abilities = readAbilities(value)
        if (abilities !== undefined) expect(abilities.transaction).toBeTypeOf('boolean')
      }),
      { numRuns: 300 },
    )
  })
})
