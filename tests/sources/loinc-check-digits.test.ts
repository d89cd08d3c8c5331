/**
 * Sources: LOINC Users' Guide - the digit after the hyphen is the mod 10 check digit of what stands before it.
 * SNOMED CT release file specification - the last digit of an id is Verhoeff's dihedral check digit (J. Verhoeff, Error
 * detecting decimal codes, Mathematical Centre Tract 29, 1969).
 *
 * In an answer code (LA...) the two letters count as their ASCII code less 48, the usual form of mod 10 for identifiers
 * with letters; every answer code used here agrees with it.
 */
import { describe, expect, it } from 'vitest'
import { LOINC, SNOMED } from '../../src/core/fhir/codes.ts'

/** The mod 10 check digit: from the right, every other character doubled, beginning with the last. */
function mod10(text: string): number {
  let sum = 0
  ;[...text].reverse().forEach((character, index) => {
    const value = character.charCodeAt(0) - 48
    if (index % 2 === 1) sum += value
    else sum += 2 * value - 9 * Math.floor(value / 5)
  })
  return (10 - (sum % 10)) % 10
}

const PERMUTATION = [1, 5, 7, 6, 2, 8, 3, 0, 9, 4]

/** Multiplication in the dihedral group of order ten, written out as rotations (0 to 4) and reflections (5 to 9). */
function dihedral(left: number, right: number): number {
  const turn = left < 5 ? (left + right) % 5 : (((left - right) % 5) + 5) % 5
  return left < 5 === right < 5 ? turn : turn + 5
}

/** Whether a number carries its Verhoeff check digit. */
function passesVerhoeff(id: string): boolean {
  let check = 0
  ;[...id].reverse().forEach((digit, index) => {
    let value = Number(digit)
    for (let turns = 0; turns < index % 8; turns += 1) value = PERMUTATION[value] ?? 0
    check = dihedral(check, value)
  })
  return check === 0
}

describe('the LOINC check digit', () => {
  it.each(Object.values(LOINC).map(({ code, display }) => [code, display]))('of %s (%s) is right', (code) => {
    const [number, digit] = code.split('-')
    expect(code).toMatch(/^(LA)?\d{1,6}-\d$/)
    expect(Number(digit)).toBe(mod10(number ?? ''))
  })

  it.each(['8461-1', '8460-3'])('refuses %s, met in public code for 8461-6 and 8460-8', (code) => {
    const [number, digit] = code.split('-')
    expect(Number(digit)).not.toBe(mod10(number ?? ''))
  })

  it('counts the letters of an answer code: without them the digit is two too low', () => {
    expect(mod10('11868')).toBe(7)
    expect(mod10('LA11868')).toBe(9)
  })
})

describe('the SNOMED CT check digit', () => {
  it.each(Object.entries(SNOMED))('of %s (%s) is right', (_, code) => {
    expect(passesVerhoeff(code)).toBe(true)
  })

  it('finds a changed digit and two digits that changed places', () => {
    expect(passesVerhoeff('246432005')).toBe(false)
    expect(passesVerhoeff('246423004')).toBe(false)
  })
})

describe('the code table', () => {
  it('uses no code twice', () => {
    const codes = [...Object.values(LOINC).map(({ code }) => code), ...Object.values(SNOMED)]
    expect(new Set(codes).size).toBe(codes.length)
  })
})
