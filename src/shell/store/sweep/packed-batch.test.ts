import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { SweptAverage } from '../../../flow/ports/ports.ts'
import { packBatch, unpackBatch } from './packed-batch.ts'

/** Beyond what a double can hold, as a mean of unequal sittings may be. */
const part = fc.bigInt({ min: 0n, max: 2n ** 90n })
const fraction = fc.record({ total: part, count: part })
const mean = { systolic: fraction, diastolic: fraction, readings: fc.nat() }
const anyBatch: fc.Arbitrary<SweptAverage[]> = fc.array(
  fc.record(
    {
      source: fc.constant('harbour-app'),
      subject: fc.string({ unit: 'grapheme' }),
      linked: fc.boolean(),
      received: fc.nat(),
      used: fc.nat(),
      days: fc.nat(),
      mean: fc.record(mean),
      byWindow: fc.array(fc.record({ window: fc.constantFrom('morning', 'evening'), ...mean }), {
        maxLength: 2,
      }),
    },
    { requiredKeys: ['source', 'subject', 'linked', 'received', 'used', 'days', 'byWindow'] },
  ),
  { minLength: 1 },
)

describe('a packed batch', () => {
  it('is the same batch again after it was handed from thread to thread', () => {
    fc.assert(
      fc.property(anyBatch, (batch) => {
        expect(unpackBatch(structuredClone(packBatch(batch)))).toEqual(batch)
      }),
    )
  })

  it('holds what fits a double as one, and only the rest as large numbers', () => {
    const fits = { total: 310n * 133_322_000n, count: 2n }
    const mean = { systolic: fits, diastolic: { total: 2n ** 53n, count: 1n }, readings: 2 }
    const counts = { received: 2, used: 2, days: 1 }
    const one = { source: 'a', subject: 'b', linked: false, ...counts, mean, byWindow: [] }
    expect(packBatch([one]).large).toEqual([2n ** 53n])
  })
})
