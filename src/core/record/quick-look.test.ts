import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { anyRawRecord } from '../../../tests/support/any-raw-record.ts'
import {
  rawRecord,
  rawRecording,
  withConditions,
  withSecondReading,
} from '../../../tests/support/raw-record.ts'
import { DOUBTFUL, quickLook } from './quick-look.ts'
import { sessionRecord } from './session-record.ts'

const look = quickLook(sessionRecord)

/** What the schema makes of a value, in the words of a quick look. */
function bySchema(value: unknown): unknown {
  const { success, data } = sessionRecord.safeParse(value)
  return success ? data : DOUBTFUL
}

describe('the quick look at a record', () => {
  it('takes every record that fits, as the schema takes it, keys in the same order, sharing nothing', () => {
    fc.assert(
      fc.property(anyRawRecord(), (record) => {
        const taken = look(record)
        expect(taken).toEqual(bySchema(record))
        expect(JSON.stringify(taken)).toBe(JSON.stringify(bySchema(record)))
        expect(shared(record, taken)).toEqual([])
      }),
    )
  })

  it('takes nothing that the schema refuses, wherever a record is spoilt', () => {
    fc.assert(
      fc.property(anyRawRecord(), fc.nat(), odd(), fc.boolean(), (record, where, value, isNewKey) => {
        const spoilt = JSON.parse(JSON.stringify(record))
        const places = placesIn(spoilt)
        const [parent, key] = places[where % places.length] ?? [spoilt, 'id']
        const name = isNewKey && !Array.isArray(parent) ? 'weather' : key
        Object.defineProperty(parent, name, { value, enumerable: true, configurable: true, writable: true })
        expect(look(spoilt)).toEqual(bySchema(spoilt))
      }),
      { numRuns: 2000 },
    )
  })

  it.each([
    ['a key that names the prototype', JSON.parse(`{"__proto__":{},${JSON.stringify(rawRecord()).slice(1)}`)],
    ['a key that every object inherits', { ...rawRecord(), toString: 'x' }],
    ['an optional key that is undefined', rawRecord({ note: undefined })],
    ['a word that every object inherits', rawRecord({ arm: 'constructor' })],
    ['a hole in the readings', rawRecord({ readings: new Array(1) })],
    ['no readings', rawRecord({ readings: [] })],
    ['more readings than any record may hold', rawRecording({ readings: new Array(301).fill({}) })],
    ['a pulse between two whole numbers', withSecondReading({ pulse: 70.5 })],
    ['a pulse too large to be exact', withSecondReading({ pulse: 1e300 })],
    ['a pressure without end', withSecondReading({ systolic: Number.POSITIVE_INFINITY })],
    ['a pressure that is no number', withSecondReading({ systolic: Number.NaN })],
    ['an object in place of a list', rawRecord({ readings: { 0: {}, length: 1 } })],
    ['a list in place of an object', withConditions({ cuffFor: [22, 32] })],
    ['a record that is none', null],
  ])('leaves to the schema %s', (_what, record) => {
    expect(bySchema(record)).toBe(DOUBTFUL)
    expect(look(record)).toBe(DOUBTFUL)
  })

  it.each([
    ['a union', z.union([z.string(), z.number()])],
    ['an object that is open', z.object({ id: z.string() })],
    ['a text of another format', z.email()],
    ['a text of a least length', z.string().min(1)],
    ['a number of another format', z.int32()],
    ['a number above a limit', z.number().gt(0)],
    [
      'a list without repetition',
      z.array(z.string()).refine((items) => new Set(items).size === items.length),
    ],
    ['an object with a rule of its own', z.strictObject({ a: z.boolean() }).refine(() => false)],
    ['a flag with a rule of its own', z.boolean().refine(() => false)],
    ['a text made of anything', z.coerce.string()],
    ['a value that is made into another', z.string().transform((text) => text.trim())],
  ])('is not made of %s, of which it knows nothing', (_what, schema) => {
    expect(() => quickLook(schema)).toThrow(TypeError)
  })
})

/** Values of every kind, each wrong in most places. */
function odd(): fc.Arbitrary<unknown> {
  const near = fc.constantFrom<unknown>(
    '',
    ' a',
    'a\u0000',
    'x'.repeat(201),
    'home',
    -1,
    0,
    19,
    20,
    300,
    301,
    1e9,
  )
  return fc.oneof(near, fc.constantFrom<unknown>(null, true, [], {}, [{}]), fc.double(), fc.string())
}

/** Every object and list in a value with each of its keys. */
function placesIn(value: unknown): [object, string][] {
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) => [
    [value, key] as [object, string],
    ...placesIn(inner),
  ])
}

/** Objects that stand in both values. */
function shared(one: unknown, other: unknown): unknown[] {
  const objects = new Set(placesIn(one).map(([object]) => object))
  return placesIn(other).filter(([object]) => objects.has(object))
}
