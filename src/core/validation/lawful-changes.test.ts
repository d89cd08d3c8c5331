import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { randomOfType } from '../../../tests/support/random-of-type.ts'
import { seeded } from '../../../tests/support/single-mutations.ts'
import { problems } from '../../../tests/support/spoilt-resource.ts'
import {
  validAuditEvent,
  validAverage,
  validDevice,
  validOutcome,
  validPatient,
  validPulse,
  validReading,
  validTransaction,
} from '../../../tests/support/valid-resources.ts'
import { isJsonObject } from '../basics/json-object.ts'
import { RESOURCE_TYPES, readTokens } from './elements/element-tokens.ts'
import { R4_TYPES } from './elements-layer.ts'
import { validateResource } from './validate-resource.ts'

const VALID = [
  validReading,
  validPulse,
  validAverage,
  validTransaction,
  validPatient,
  validDevice,
  validAuditEvent,
  validOutcome,
]

const EXTENSION = { url: 'https://a.example/remark', valueString: 'text' }

describe('what R4 lets anyone add', () => {
  it('an extension on any element leaves a resource as valid as it was', () => {
    fc.assert(
      fc.property(fc.constantFrom(...VALID), fc.nat(), (make, place) => {
        const resource: unknown = make()
        const holders = extensible(resource)
        const holder = holders[place % holders.length]
        if (holder === undefined) return
        holder.extension = [...(Array.isArray(holder.extension) ? holder.extension : []), EXTENSION]
        expect(problems(resource)).toEqual([])
      }),
      { numRuns: 500 },
    )
  })

  it('an extension beside any primitive leaves it valid too', () => {
    fc.assert(
      fc.property(fc.constantFrom(...VALID), fc.nat(), (make, place) => {
        const resource: unknown = make()
        const primitives = singlePrimitives(resource)
        const [holder, name] = primitives[place % primitives.length] ?? [{}, 'status']
        holder[`_${name}`] = { extension: [EXTENSION] }
        expect(problems(resource)).toEqual([])
      }),
      { numRuns: 500 },
    )
  })
})

describe('losing a required element of a type is noticed at its place', () => {
  it.each([...RESOURCE_TYPES].sort())('of %s', (type) => {
    const random = seeded(20260601)
    const resource = randomOfType(type, random)
    for (const { name, isRequired } of readTokens(type).tokens) {
      if (!isRequired) continue
      const lost = Object.fromEntries(
        Object.entries(resource).filter(
          ([property]) => R4_TYPES.get(type)?.elements.get(property)?.path !== name,
        ),
      )
      expect(validateResource(lost)).toContainEqual(
        expect.objectContaining({ code: 'STRUCTURE', type: 'required', at: `${type}.${name}` }),
      )
    }
    expect(validateResource(resource).filter(({ type: kind }) => kind === 'required')).toEqual([])
  })
})

/** Elements and resources that may have extensions: all objects but bundles and the parts a reference lies in. */
function extensible(value: unknown): Record<string, unknown>[] {
  if (Array.isArray(value)) return value.flatMap(extensible)
  if (!isJsonObject(value)) return []
  const holder = value as Record<string, unknown>
  const isFree =
    holder.resourceType !== 'Bundle' && !('valueString' in holder && 'url' in holder) && !isExtension(holder)
  return [...(isFree ? [holder] : []), ...Object.values(holder).flatMap(extensible)]
}

function isExtension(holder: Record<string, unknown>): boolean {
  return typeof holder.url === 'string' && Object.keys(holder).some((key) => key.startsWith('value'))
}

function singlePrimitives(value: unknown): [holder: Record<string, unknown>, name: string][] {
  if (Array.isArray(value)) return value.flatMap(singlePrimitives)
  if (!isJsonObject(value)) return []
  const holder = value as Record<string, unknown>
  return Object.entries(holder).flatMap(([name, held]): [Record<string, unknown>, string][] => {
    if (typeof held === 'object') return singlePrimitives(held)
    return ['resourceType', 'id', 'div'].includes(name) ? [] : [[holder, name]]
  })
}
