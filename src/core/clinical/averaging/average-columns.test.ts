import { describe, expect, it } from 'vitest'
import { homeSitting } from '../../../../tests/support/home-sitting.ts'
import { keepAll, weekOf } from '../../../../tests/support/select-sittings.ts'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import { averageColumns } from './average-columns.ts'
import { columnsOfReadings } from './columns-of-readings.ts'
import { placeReadings } from './place-readings.ts'
import type { ReadingColumns } from './reading-columns.ts'

const plan = weekOf(keepAll)

describe('the average of columns', () => {
  it('has exact sums, overall and by window, the days used and what was received', () => {
    const columns = columnsOf([
      homeSitting({ at: '2026-03-01T07:00:00Z', readings: [[200, 100]] }),
      homeSitting({
        at: '2026-03-02T07:00:00Z',
        readings: [
          [130, 80],
          [131, 80],
        ],
      }),
      homeSitting({ at: '2026-03-04T19:00:00Z', readings: [[121, 70]] }),
    ])
    expect(averageColumns(plan, columns)).toEqual({
      received: 4,
      inPeriod: 3,
      used: 3,
      days: 2,
      mean: { systolic: mmHg(382, 3), diastolic: mmHg(230, 3), readings: 3 },
      byWindow: [
        { window: 'morning', systolic: mmHg(261, 2), diastolic: mmHg(160, 2), readings: 2 },
        { window: 'evening', systolic: mmHg(121, 1), diastolic: mmHg(70, 1), readings: 1 },
      ],
    })
  })

  it('has no mean when nothing counts', () => {
    expect(averageColumns(plan, columnsOf([]))).toEqual({
      received: 0,
      inPeriod: 0,
      used: 0,
      days: 0,
      byWindow: [],
    })
  })

  it('does not look beyond the rows, so that columns can be filled again for the next person', () => {
    const columns = columnsOf([
      homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[190, 110]] }),
    ])
    columns.rows = 1
    expect(averageColumns(plan, columns)).toMatchObject({ received: 1, used: 1, mean: { readings: 1 } })
  })

  it('carries nothing over from one person to the next', () => {
    const one = columnsOf([homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] })])
    const many = columnsOf(
      Array.from({ length: 200 }, (_, minute) =>
        homeSitting({ at: new Date(Date.UTC(2026, 2, 3, 0, minute)).toISOString(), readings: [[150, 90]] }),
      ),
    )
    const before = averageColumns(plan, one)
    expect(averageColumns(plan, many).used).toBe(200)
    expect(averageColumns(plan, one)).toEqual(before)
  })

  it('does not round a sum that is too great for a double: it refuses', () => {
    const columns = columnsOf([
      homeSitting({
        at: '2026-03-02T07:00:00Z',
        readings: [
          [130, 80],
          [131, 80],
        ],
      }),
    ])
    columns.systolic.fill(2 ** 53 - 2)
    expect(() => averageColumns(plan, columns)).toThrow(
      new RangeError('more readings than can be added exactly'),
    )
  })
})

function columnsOf(sittings: Parameters<typeof placeReadings>[1]): ReadingColumns {
  return columnsOfReadings(placeReadings(plan, sittings))
}

function mmHg(total: number, count: number) {
  return { total: BigInt(total) * BigInt(MICROPASCALS_PER_MMHG), count: BigInt(count) }
}
