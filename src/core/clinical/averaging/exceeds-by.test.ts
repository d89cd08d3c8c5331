import { describe, expect, it } from 'vitest'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import { differenceOfMeans, exceedsBy } from './exceeds-by.ts'

const mmHg = (total: number, count: number) => ({
  total: BigInt(total) * BigInt(MICROPASCALS_PER_MMHG),
  count: BigInt(count),
})

describe('comparing means by a limit', () => {
  it('is not more at exactly the limit, and more at one micropascal above', () => {
    const first = mmHg(150, 1)
    expect(exceedsBy(first, mmHg(391, 3), 19.6)).toBe(true)
    expect(exceedsBy(first, mmHg(390, 3), 20)).toBe(false)
    expect(exceedsBy({ ...first, total: first.total + 1n }, mmHg(390, 3), 20)).toBe(true)
  })

  it('is not more when the second is the higher, however far', () => {
    expect(exceedsBy(mmHg(100, 1), mmHg(200, 1), 20)).toBe(false)
  })

  it('subtracts fractions exactly', () => {
    expect(differenceOfMeans({ total: 1n, count: 3n }, { total: 1n, count: 2n })).toEqual({
      total: -1n,
      count: 6n,
    })
  })
})
