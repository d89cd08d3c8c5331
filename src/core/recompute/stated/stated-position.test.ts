import { describe, expect, it } from 'vitest'
import type { Position } from '../../clinical/session.ts'
import { writtenPosition } from '../../fhir/body-position.ts'
import { LOINC, SYSTEM } from '../../fhir/codes.ts'
import { statedPosition } from './stated-position.ts'

describe('the position a reading states', () => {
  it.each<[Position, Position | undefined]>([
    ['standing', 'standing'],
    ['lying', 'lying'],
    ['sitting', undefined],
    ['semi-recumbent', undefined],
  ])('is read as this gateway writes it: %s', (position, expected) => {
    for (const snomed of [true, false]) {
      const { component, extension } = writtenPosition(position, snomed)
      expect(statedPosition({ extension: [extension] })).toBe(expected)
      expect(statedPosition({ component: [component] })).toBe(expected)
    }
  })

  it.each([
    ['by its SNOMED CT code', { coding: [{ system: SYSTEM.snomed, code: '10904000' }] }, 'standing'],
    ['by its words', { text: 'Supine, on the bed' }, 'lying'],
    ['not by a code of another system', { coding: [{ system: 'urn:other', code: '10904000' }] }, undefined],
    ['not by words that only speak of it', { text: 'Sitting, after standing' }, undefined],
    ['not from something else than a concept', 'standing', undefined],
  ])('is read %s', (_, valueCodeableConcept, expected) => {
    const code = { coding: [{ system: SYSTEM.loinc, code: LOINC.bodyPosition.code }] }
    expect(statedPosition({ component: [{ code, valueCodeableConcept }] })).toBe(expected)
  })

  it('is not read from another component, and not guessed', () => {
    const code = { coding: [{ system: SYSTEM.loinc, code: LOINC.systolic.code }] }
    expect(
      statedPosition({ component: [{ code, valueCodeableConcept: { text: 'Standing' } }] }),
    ).toBeUndefined()
    expect(statedPosition({})).toBeUndefined()
  })
})
