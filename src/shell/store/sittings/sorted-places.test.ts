import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sortedPlaces } from './sorted-places.ts'

function run(values: readonly number[]): { places: number[]; pauses: number } {
  const sorting = sortedPlaces(values.length, (one, other) => (values[one] ?? 0) - (values[other] ?? 0))
  for (let pauses = 0; ; pauses += 1) {
    const step = sorting.next()
    if (step.done === true) return { places: [...step.value], pauses }
  }
}

describe('sortedPlaces', () => {
  it('orders as the built-in stable sort does', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 20 }), { maxLength: 70 }), (values) => {
        const expected = values
          .map((_, place) => place)
          .sort((one, other) => (values[one] ?? 0) - (values[other] ?? 0))
        expect(run(values).places).toEqual(expected)
      }),
    )
  })

  it('pauses once for each doubling', () => {
    expect(run([]).pauses).toBe(0)
    expect(run([3]).pauses).toBe(0)
    expect(run(Array.from({ length: 1000 }, (_, index) => -index)).pauses).toBe(10)
  })
})
