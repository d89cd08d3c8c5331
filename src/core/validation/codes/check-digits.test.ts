import { describe, expect, it } from 'vitest'
import { hasLoincCheckDigit, hasVerhoeffCheckDigit } from './check-digits.ts'

describe('LOINC', () => {
  it.each(['85354-9', '8480-6', '8462-4', '8867-4', '96607-7', '96608-5', '96609-3', '8361-8', '103205-1'])(
    'knows %s',
    (code) => {
      expect(hasLoincCheckDigit(code)).toBe(true)
    },
  )

  it.each([
    '8461-1',
    '8460-3',
    '58354-9',
    '85354-0',
    '853549',
    '85354-',
    '-9',
    '',
    '8535a-9',
    '85354-x',
    '12345678-9',
  ])('refuses "%s"', (code) => {
    expect(hasLoincCheckDigit(code)).toBe(false)
  })
})

describe('SNOMED CT', () => {
  it.each(['33586001', '10904000', '40199007', '368209003', '246432004', '466086009'])('knows %s', (code) => {
    expect(hasVerhoeffCheckDigit(code)).toBe(true)
  })

  it.each(['33586010', '33586002', '3358602', '36820900', '00000', '1234567890123456789'])(
    'refuses %s',
    (code) => {
      expect(hasVerhoeffCheckDigit(code)).toBe(false)
    },
  )

  it('notices every single wrong digit and every swap of neighbours', () => {
    const code = '368209003'
    for (let i = 0; i < code.length; i++) {
      for (const digit of '0123456789') {
        const other = code.slice(0, i) + digit + code.slice(i + 1)
        expect(hasVerhoeffCheckDigit(other)).toBe(other === code)
      }
      const swapped = code.slice(0, i) + code.slice(i + 1, i + 2) + code.slice(i, i + 1) + code.slice(i + 2)
      expect(hasVerhoeffCheckDigit(swapped)).toBe(swapped === code)
    }
  })
})
