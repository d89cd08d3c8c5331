import { describe, expect, it } from 'vitest'
import { placedReadings } from './placed-readings.ts'

const SITTING_MS = Date.parse('2026-03-02T13:41:00Z')

describe('placedReadings', () => {
  it('gives each reading its own time and exact whole micropascals', () => {
    const raw = JSON.stringify({
      unit: 'kPa',
      readings: [
        { takenAt: '2026-03-02T06:41:00-07:00', systolic: 17.932, diastolic: 11.3, pulse: 70 },
        { systolic: 17.9, diastolic: null },
      ],
    })
    expect(placedReadings(raw, SITTING_MS)).toEqual([
      {
        takenMs: SITTING_MS,
        ordinal: 1,
        systolicMicroPascals: 17_932_000_000,
        diastolicMicroPascals: 11_300_000_000,
        pulse: 70,
      },
      {
        takenMs: SITTING_MS,
        ordinal: 2,
        systolicMicroPascals: 17_900_000_000,
        diastolicMicroPascals: null,
        pulse: null,
      },
    ])
  })

  it('places a wall time by its zone', () => {
    const raw = JSON.stringify({
      unit: 'mmHg',
      readings: [{ takenAt: '2026-03-02T06:42:00', systolic: 134, diastolic: 85 }],
    })
    const [reading] = placedReadings(raw, SITTING_MS, 'America/Denver')
    expect(reading).toMatchObject({ takenMs: SITTING_MS + 60_000, systolicMicroPascals: 134 * 133_322_000 })
  })

  const unreadable: readonly [string, unknown][] = [
    ['is no object', 7],
    ['has no readings', { unit: 'mmHg' }],
    ['has readings that are no list', { readings: { systolic: 134 } }],
    ['has an empty list', { readings: [] }],
  ]
  for (const [what, record] of unreadable) {
    it(`gives a record that ${what} one place without values, so that it is still found`, () => {
      expect(placedReadings(JSON.stringify(record), SITTING_MS)).toEqual([
        {
          takenMs: SITTING_MS,
          ordinal: 0,
          systolicMicroPascals: null,
          diastolicMicroPascals: null,
          pulse: null,
        },
      ])
    })
  }

  it('leaves out a value whose unit it does not know, and a time it cannot read', () => {
    const raw = JSON.stringify({
      unit: 'bar',
      readings: [{ takenAt: 'noon', systolic: 134, diastolic: 85 }, null],
    })
    expect(placedReadings(raw, SITTING_MS)).toMatchObject([
      { takenMs: SITTING_MS, ordinal: 1, systolicMicroPascals: null },
      { takenMs: SITTING_MS, ordinal: 2, systolicMicroPascals: null },
    ])
  })
})
