import { describe, expect, it } from 'vitest'
import { nameTwoUnits } from './pressure-unit-words.ts'

const MERCURY = [
  ...['mm[Hg]', 'mmHg', 'mm Hg', 'MMHG', 'mm(Hg)', 'mm of mercury', 'MDC_DIM_MMHG'],
  ...['millimeter of mercury', 'Millimetres of mercury', 'millimeters Hg'],
]
const KILOPASCAL = ['kPa', 'KPA', 'k Pa', 'kilopascal', 'Kilopascals', 'MDC_DIM_KILO_PASCAL']

describe('a unit in a code and in words', () => {
  it.each(MERCURY)('is one in mm[Hg] and %s, and two in kPa and that', (words) => {
    expect(nameTwoUnits('mm[Hg]', words)).toBe(false)
    expect(nameTwoUnits('kPa', words)).toBe(true)
  })

  it.each(KILOPASCAL)('is one in kPa and %s, and two in mm[Hg] and that', (words) => {
    expect(nameTwoUnits('kPa', words)).toBe(false)
    expect(nameTwoUnits('mm[Hg]', words)).toBe(true)
  })

  it.each([undefined, null, 7, {}, '', 'Torr', 'mmHg (Sitzend)', 'Millimeter Quecksilbersäule', 'mm', 'Hg'])(
    'contradicts nothing where it is not known: %j',
    (words) => {
      expect(nameTwoUnits('mm[Hg]', words)).toBe(false)
      expect(nameTwoUnits('kPa', words)).toBe(false)
    },
  )
})
