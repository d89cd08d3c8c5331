import { describe, expect, it } from 'vitest'
import { MARK } from '../../../core/clinical/averaging/reading-columns.ts'
import { placedSitting } from './placed-sitting.ts'

const SITTING_MS = Date.parse('2026-03-02T13:41:00Z')
const place = (record: unknown, zone: string | null = null, withdrawn = false) =>
  placedSitting(JSON.stringify(record), SITTING_MS, zone, withdrawn)

describe('placedSitting', () => {
  it('gives each reading its own time and its pressures in the steps of the unit', () => {
    const record = {
      unit: 'kPa',
      readings: [
        { takenAt: '2026-03-02T06:40:00-07:00', systolic: 17.932, diastolic: 11.3, pulse: 70 },
        { systolic: 17.9, diastolic: null, monitorSays: { irregularPulse: true } },
      ],
    }
    expect(place(record)).toMatchObject({
      takenMs: SITTING_MS,
      firstMs: SITTING_MS - 60_000,
      lastMs: SITTING_MS,
      unit: 'kPa',
      readings: [
        {
          takenMs: SITTING_MS - 60_000,
          ownTime: true,
          systolic: 17_932,
          diastolic: 11_300,
          pulse: 70,
          irregular: false,
        },
        {
          takenMs: SITTING_MS,
          ownTime: false,
          systolic: 17_900,
          diastolic: null,
          pulse: null,
          irregular: true,
        },
      ],
    })
  })

  it('places a wall time by its zone', () => {
    const record = {
      unit: 'mmHg',
      readings: [{ takenAt: '2026-03-02T06:42:00', systolic: 134.5, diastolic: 85 }],
    }
    expect(place(record, 'America/Denver').readings).toMatchObject([
      { takenMs: SITTING_MS + 60_000, ownTime: true, systolic: 1345, diastolic: 850 },
    ])
  })

  const marked: readonly [string, Record<string, unknown>, number][] = [
    ['at home on the left upper arm', {}, 0],
    ['in the clinic', { setting: 'clinic' }, MARK.clinic],
    ['at a public kiosk', { setting: 'public-kiosk' }, MARK.publicKiosk],
    ['over 24 hours', { setting: 'ambulatory' }, MARK.ambulatory],
    ['on the right arm', { arm: 'right' }, MARK.rightArm],
    ['on the wrist', { site: 'wrist' }, MARK.wrist],
  ]
  for (const [what, record, marks] of marked) {
    it(`marks a sitting ${what}`, () => {
      const whole = { setting: 'home', arm: 'left', site: 'upper-arm', ...record }
      expect(place(whole).marks).toBe(marks)
      expect(place(whole, null, true).marks).toBe(marks | MARK.withdrawn)
    })
  }

  it('marks what the record does not state, and takes it for nothing', () => {
    expect(place({ site: 'wrist' }).marks).toBe(MARK.wrist | MARK.armNotStated)
    expect(place({ arm: 'right' }).marks).toBe(MARK.rightArm | MARK.siteNotStated)
    expect(place({}).marks).toBe(MARK.armNotStated | MARK.siteNotStated)
  })

  it.each([
    [{ position: 'standing' }, MARK.standing, true],
    [{ position: 'lying' }, MARK.lying, true],
    [{ position: 'semi-recumbent' }, 0, true],
    [{ position: 'sitting' }, 0, true],
    [{}, 0, false],
  ])('of %j tells the position', (record, mark, positionStated) => {
    const { marks, positionStated: stated } = place({ arm: 'left', site: 'upper-arm', ...record })
    expect([marks, stated]).toEqual([mark, positionStated])
  })

  const unreadable: readonly [string, unknown][] = [
    ['is no object', 7],
    ['has no readings', { unit: 'mmHg' }],
    ['has readings that are no list', { readings: { systolic: 134 } }],
    ['has an empty list', { readings: [] }],
  ]
  for (const [what, record] of unreadable) {
    it(`stands a record that ${what} at its own time without readings, so that it is still found`, () => {
      expect(place(record)).toMatchObject({ firstMs: SITTING_MS, lastMs: SITTING_MS, readings: [] })
    })
  }

  it('leaves out a value that is no pressure, and takes the sitting’s time for one it cannot read', () => {
    const record = { readings: [{ takenAt: 'noon', systolic: '134', diastolic: -1 }, null] }
    expect(place(record).readings).toMatchObject([
      { takenMs: SITTING_MS, ownTime: false, systolic: null, diastolic: null },
      { takenMs: SITTING_MS, ownTime: false, systolic: null, diastolic: null },
    ])
  })
})
