import { expect, it } from 'vitest'
import { isFrozenThroughout } from '../../basics/frozen.ts'
import { sharedByValue } from './shared-by-value.ts'

it('makes what is written of a number once, and so that it cannot change', () => {
  const quantity = sharedByValue((value) => ({ value, of: [{ unit: 'mm[Hg]' }] }))
  expect(quantity(120)).toEqual({ value: 120, of: [{ unit: 'mm[Hg]' }] })
  expect(quantity(120)).toBe(quantity(120))
  expect(quantity(120.1)).toEqual({ value: 120.1, of: [{ unit: 'mm[Hg]' }] })
  expect(isFrozenThroughout(quantity(120))).toBe(true)
})

it('remembers no more than there are numbers that people measure', () => {
  const quantity = sharedByValue((value) => ({ value }))
  for (let value = 0; value < 5_000; value += 1) quantity(value)
  expect(quantity(4_999)).toBe(quantity(4_999))
  expect(quantity(5_000)).toEqual({ value: 5_000 })
  expect(quantity(5_000)).not.toBe(quantity(5_000))
})
