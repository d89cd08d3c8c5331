import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { jsonShape } from './json-shape.ts'

function depthOf(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0
  return 1 + Math.max(0, ...Object.values(value).map(depthOf))
}

function membersOf(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0
  const own = Array.isArray(value) ? 0 : Object.keys(value).length
  return Object.values(value).reduce<number>((sum, child) => sum + membersOf(child), own)
}

describe('the shape of a text', () => {
  it('is the depth and the members of the parsed value, for any JSON', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.constantFrom(0, 2), (value, indent) => {
        const shape = jsonShape(JSON.stringify(value, null, indent))
        expect(shape).toEqual({ depth: depthOf(value), members: membersOf(value) })
      }),
    )
  })

  it('is measured to the end of a text that is not JSON', () => {
    expect(jsonShape('"never closed { : [')).toEqual({ depth: 0, members: 0 })
    expect(jsonShape('ends in an escape "\\')).toEqual({ depth: 0, members: 0 })
    expect(jsonShape('}}}[[')).toMatchObject({ members: 0 })
  })
})
