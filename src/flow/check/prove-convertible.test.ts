import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { anyRawRecord } from '../../../tests/support/any-raw-record.ts'
import { rawReading, rawRecord, without } from '../../../tests/support/raw-record.ts'
import { convertChecked } from './convert-record.ts'
import { proveConvertible, shapeOf } from './prove-convertible.ts'
import { type CheckedRecord, readRecord } from './read-record.ts'

const context = {
  source: 'harbour-app',
  canonicalBase: 'https://home-bp-gateway.example/fhir',
  person: { zone: 'Europe/Lisbon', armCircumferenceCm: 36 },
  receivedMs: Date.parse('2026-11-24T12:00:00Z'),
}

describe('proving that a session converts', () => {
  it('says of any record what converting and validating it in full says', () => {
    fc.assert(
      fc.property(anyRawRecord(), (record) => {
        const read = readRecord(record, context)
        if (!read.ok) return
        const inFull = convertChecked(read.value, context).errors
        expect(proveConvertible(read.value, context)).toEqual(inFull)
      }),
      { numRuns: 500 },
    )
  })

  it('gives one shape to sessions that differ in ids, times and numbers only', () => {
    const reading = { ...rawReading(), monitorSays: { bodyMovement: false } }
    const other = {
      takenAt: '2026-03-02T06:41:30-07:00',
      systolic: 118,
      diastolic: 71,
      pulse: 60,
      monitorSays: { bodyMovement: false },
    }
    const one = checked(rawRecord({ readings: [reading] }))
    const changed = checked(rawRecord({ id: 'another', subject: 'HW-2', readings: [other] }))
    expect(shapeOf(changed, context)).toBe(shapeOf(one, context))
  })

  it.each([
    ['position', { position: 'lying' }],
    ['arm', { arm: 'right' }],
    ['site', { site: 'wrist' }],
    ['setting', { setting: 'clinic' }],
    ['entry', { entry: 'typed' }],
    ['a remark on technique', { conditions: { talking: true } }],
  ])('gives another shape to another %s', (_, change) => {
    expect(shapeOf(checked({ ...rawRecord(), ...change }), context)).not.toBe(
      shapeOf(checked(rawRecord()), context),
    )
  })

  it.each(['position', 'arm', 'site'])('gives another shape where the %s is not stated', (key) => {
    expect(shapeOf(checked(without(key)), context)).not.toBe(shapeOf(checked(rawRecord()), context))
  })

  it.each([
    ['a note', { note: 'after a walk' }],
    ['a subject with more than printable ASCII', { subject: 'HW\u00a01' }],
  ])('rests on no earlier proof for %s', (_, change) => {
    expect(shapeOf(checked({ ...rawRecord(), ...change }), context)).toBeUndefined()
  })

  it('takes a subject with a no-break space: to R4 it is a character like any other', () => {
    expect(proveConvertible(checked({ ...rawRecord(), subject: 'HW\u00a01' }), context)).toEqual([])
  })
})

function checked(record: unknown): CheckedRecord {
  const read = readRecord(record, context)
  if (!read.ok) throw new Error(read.issues[0].code)
  return read.value
}
