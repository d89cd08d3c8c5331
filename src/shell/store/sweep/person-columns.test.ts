import { describe, expect, it } from 'vitest'
import { MARK, type ReadingColumns } from '../../../core/clinical/averaging/reading-columns.ts'
import { packSitting } from '../sittings/packed-sitting.ts'
import { placedSitting } from '../sittings/placed-sitting.ts'
import { PersonColumns } from './person-columns.ts'

const NOON = Date.parse('2026-03-02T12:00:00Z')
const ALL = [0, 9e12] as const

/** A sitting at a minute after noon, with one reading for each further minute. */
function packed(minute: number, readingMinutes: readonly number[], changes: object = {}): string {
  const readings = readingMinutes.map((at) => ({
    takenAt: new Date(NOON + at * 60_000).toISOString(),
    systolic: 100 + at,
    diastolic: 80,
    pulse: 60,
  }))
  const raw = JSON.stringify({ unit: 'mmHg', readings, ...changes })
  return packSitting(placedSitting(raw, NOON + minute * 60_000, null))
}

const minutes = ({ rows, takenMs }: ReadingColumns) =>
  [...takenMs.subarray(0, rows)].map((ms) => (ms - NOON) / 60_000)
const whole = (column: Int32Array, { rows }: ReadingColumns) => [...column.subarray(0, rows)]

describe('a person’s columns', () => {
  it('hold exact micropascals, marks and what is missing', () => {
    const readings = [{ systolic: 17.932, diastolic: null }]
    const text = packed(0, [], { unit: 'kPa', readings, arm: 'right', setting: 'clinic', position: 'lying' })
    const columns = new PersonColumns().ofFollowing(text, ...ALL)
    expect(columns).toMatchObject({ rows: 1 })
    expect(columns?.systolic[0]).toBe(17_932_000_000)
    expect(columns?.diastolic[0]).toBeNaN()
    expect(columns?.pulse[0]).toBeNaN()
    expect(columns?.marks[0]).toBe(
      MARK.rightArm | MARK.siteNotStated | MARK.clinic | MARK.lying | MARK.sittingTime,
    )
    const inMmHg = new PersonColumns().ofFollowing(packed(0, [34]), ...ALL)
    expect([inMmHg?.systolic[0], inMmHg?.pulse[0]]).toEqual([134 * 133_322_000, 60])
  })

  it('number sittings from 0 and readings from 1, of those with a reading in the span only', () => {
    const text = packed(0, [0, 1]) + packed(10, [10, 11]) + packed(20, [20, 21])
    const columns = new PersonColumns().ofFollowing(text, NOON + 11 * 60_000, NOON + 20 * 60_000)
    expect(columns && minutes(columns)).toEqual([10, 11])
    const later = new PersonColumns().ofFollowing(text, NOON + 11 * 60_000, NOON + 20 * 60_000 + 1)
    expect(later && minutes(later)).toEqual([10, 11, 20, 21])
    expect(later && whole(later.sitting, later)).toEqual([0, 0, 1, 1])
    expect(later && whole(later.ordinal, later)).toEqual([1, 2, 1, 2])
  })

  const unordered: readonly [string, string, string][] = [
    ['a sitting begins before the one before ends', packed(0, [0, 5]), packed(4, [4, 6])],
    ['two sittings share a moment', packed(0, [0, 5]), packed(5, [5])],
    ['two sittings have the same time', packed(0, [0]), packed(0, [1])],
    ['readings of a sitting are out of order', packed(0, [0, 2, 1]), packed(5, [5])],
  ]
  for (const [what, one, other] of unordered) {
    it(`cannot be told from the text alone where ${what}`, () => {
      expect(new PersonColumns().ofFollowing(one + other, ...ALL)).toBeUndefined()
    })
  }

  it('come in order of time, then of id, then of place, whatever the order they are given in', () => {
    const sittings = [
      { id: 'b', packed: packed(0, [0, 5, 3]) },
      { id: 'z', packed: packed(5, [5]) },
      { id: 'a', packed: packed(4, [5, 5]) },
    ]
    for (const given of [sittings, sittings.toReversed()]) {
      const columns = new PersonColumns().ofNamed(given, ...ALL)
      expect(minutes(columns)).toEqual([0, 3, 5, 5, 5, 5])
      // b stands first, a at minute 4, z at minute 5
      expect(whole(columns.sitting, columns)).toEqual([0, 0, 1, 1, 0, 2])
      expect(whole(columns.ordinal, columns)).toEqual([1, 3, 1, 2, 2, 1])
    }
  })

  it('grow for a person with more readings than anybody before, and serve the next one', () => {
    const person = new PersonColumns()
    const many = Array.from({ length: 400 }, (_, number) =>
      packed(
        10 * number,
        Array.from({ length: 10 }, (_, place) => 10 * number + place),
      ),
    )
    const columns = person.ofFollowing(many.join(''), ...ALL)
    expect(columns && minutes(columns)).toEqual(Array.from({ length: 4000 }, (_, minute) => minute))
    const next = person.ofFollowing(packed(0, [7]), ...ALL)
    expect(next && minutes(next)).toEqual([7])
  })
})
