import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readValidateParameters } from './read-validate-parameters.ts'

const PATIENT = { resourceType: 'Patient' }
const PROFILE = 'https://clinic.example/fhir/StructureDefinition/noted'
const RESOURCE = { name: 'resource', resource: PATIENT }

const read = (parameter: unknown, more: object = {}) =>
  readValidateParameters({ resourceType: 'Parameters', parameter, ...more })

describe('the Parameters of $validate', () => {
  it('say what they say', () => {
    const parameters = [
      { name: 'mode', valueCode: 'create', id: 'a', extension: [] },
      RESOURCE,
      { name: 'profile', valueUri: PROFILE },
    ]
    expect(read(parameters, { id: 'p', meta: {} })).toEqual({
      ok: true,
      value: { resource: PATIENT, mode: 'create', profile: PROFILE },
    })
  })

  it.each(['valueUri', 'valueCanonical', 'valueUrl'])('name a profile as %s', (key) => {
    expect(read([{ name: 'profile', [key]: PROFILE }])).toMatchObject({ value: { profile: PROFILE } })
  })

  it.each([[undefined], [[]]])('may say nothing', (parameter) => {
    expect(read(parameter)).toEqual({ ok: true, value: {} })
  })

  it.each([
    ['no list', 'x', 'WRONG_TYPE', 'Parameters.parameter'],
    ['null in the list', [null], 'WRONG_TYPE', 'Parameters.parameter[0]'],
    ['a list in the list', [[]], 'WRONG_TYPE', 'Parameters.parameter[0]'],
    ['no name', [{ valueCode: 'create' }], 'NOT_A_CHOICE', 'Parameters.parameter[0].name'],
    ['a name that every object has', [{ name: 'toString' }], 'NOT_A_CHOICE', 'Parameters.parameter[0].name'],
    [
      'a resource as text',
      [{ name: 'resource', resource: '{}' }],
      'WRONG_TYPE',
      'Parameters.parameter[0].resource',
    ],
    [
      'a resource as a value',
      [{ name: 'resource', valueString: '{}' }],
      'MISSING_KEY',
      'Parameters.parameter[0]',
    ],
    ['an empty mode', [{ name: 'mode', valueCode: '' }], 'WRONG_TYPE', 'Parameters.parameter[0].value'],
    [
      'two values',
      [{ name: 'profile', valueUri: PROFILE, valueCanonical: PROFILE }],
      'UNKNOWN_KEY',
      'Parameters.parameter[0]',
    ],
    [
      'a modifier, which could turn its meaning round',
      [{ ...RESOURCE, modifierExtension: [] }],
      'UNKNOWN_KEY',
      'Parameters.parameter[0]',
    ],
    ['the resource twice', [RESOURCE, RESOURCE], 'TOO_MANY', 'Parameters.parameter[1]'],
  ])('are refused with %s', (_what, parameter, code, at) => {
    const issues = [expect.objectContaining({ severity: 'error', code, at })]
    expect(read(parameter)).toEqual({ ok: false, issues: expect.arrayContaining(issues) })
  })

  it('are refused with a key that Parameters do not have', () => {
    expect(read([RESOURCE], { text: {} })).toMatchObject({
      ok: false,
      issues: [{ code: 'UNKNOWN_KEY', at: 'Parameters' }],
    })
  })

  it('tell all that is wrong, and repeat none of it', () => {
    const answer = read([{ name: 'mode', valueString: 'secret' }, { name: 'secret' }, 'secret'])
    expect(answer).toMatchObject({ ok: false, issues: { length: 4 } })
    expect(JSON.stringify(answer)).not.toContain('secret')
  })

  it('are read or refused, whatever JSON they are', () => {
    const part = fc.oneof(
      fc.jsonValue(),
      fc.record(
        {
          name: fc.constantFrom('resource', 'mode', 'profile', 'other'),
          resource: fc.jsonValue(),
          valueCode: fc.jsonValue(),
          valueUri: fc.jsonValue(),
        },
        { requiredKeys: [] },
      ),
    )
    fc.assert(
      fc.property(fc.oneof(fc.jsonValue(), fc.array(part)), (parameter) => {
        const answer = read(parameter)
        expect(answer.ok || answer.issues.length > 0).toBe(true)
      }),
    )
  })
})
