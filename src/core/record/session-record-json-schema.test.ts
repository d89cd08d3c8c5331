import { Ajv2020 } from 'ajv/dist/2020.js'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { anyRawRecord } from '../../../tests/support/any-raw-record.ts'
import {
  rawReading,
  rawRecord,
  rawSleep,
  recordInKPa,
  withConditions,
  without,
  withSecondReading,
} from '../../../tests/support/raw-record.ts'
import { profileJson } from '../../../tests/support/shipped-profiles.ts'
import { type JsonSchema, sessionRecordJsonSchema } from './session-record-json-schema.ts'

const schema = sessionRecordJsonSchema()
const fits = new Ajv2020({ strict: false }).compile({ ...schema })

describe('the JSON Schema of a session record', () => {
  it('is the one in profiles/schemas', () => {
    expect(profileJson('schemas/session-record.schema.json')).toEqual(schema)
  })

  it('accepts every valid record', () => {
    fc.assert(
      fc.property(anyRawRecord(), (record) => {
        expect(fits(JSON.parse(JSON.stringify(record)))).toBe(true)
      }),
    )
  })

  it.each([
    ['a missing key', without('unit')],
    ['an unknown key', rawRecord({ weather: 'rain' })],
    ['an unknown key deep inside', withConditions({ minutesSince: { tea: 5 } })],
    ['a word that is not offered', rawRecord({ arm: 'both' })],
    ['a day alone', rawRecord({ takenAt: '2026-03-02' })],
    ['no readings', rawRecord({ readings: [] })],
    ['a systolic outside the limits in mmHg', withSecondReading({ systolic: 300.1 })],
    ['a diastolic outside the limits in mmHg', withSecondReading({ diastolic: 19.9 })],
    ['a systolic outside the limits in kPa', recordInKPa({ systolic: 39.997 })],
    ['a diastolic outside the limits in kPa', recordInKPa({ diastolic: 2.666 })],
    ['a reading without any pressure', withSecondReading({ systolic: null, diastolic: null })],
    ['a diastolic of zero that no person heard', withSecondReading({ diastolic: 0 })],
    ['51 readings of a sitting', rawRecord({ readings: Array.from({ length: 51 }, rawReading) })],
    ['attempts of a sitting at home', rawRecord({ attempts: 3 })],
    ['sleep of a sitting at home', rawRecord({ sleep: rawSleep() })],
    ['a control character in an id', rawRecord({ id: 's\u0007' })],
  ])('refuses %s', (_what, record) => {
    expect(fits(record)).toBe(false)
  })

  it('describes every key and closes every object', () => {
    const bare: string[] = []
    const visit = (node: JsonSchema, place: string) => {
      if (node.description === undefined) bare.push(`${place} is not described`)
      if (node.type === 'object' && node.additionalProperties !== false) bare.push(`${place} is open`)
      if (node.items !== undefined) visit(node.items, `${place}[]`)
      for (const [key, child] of Object.entries(node.properties ?? {})) visit(child, `${place}.${key}`)
    }
    visit(schema, 'record')
    expect(bare).toEqual([])
  })
})
