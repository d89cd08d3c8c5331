import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../../tests/support/home-sitting.ts'
import { keepAll, selectSittings, weekOf } from '../../../../../tests/support/select-sittings.ts'
import { placeReadings } from '../place-readings.ts'
import { selectReadings } from '../select-readings.ts'

describe('a reading that came twice', () => {
  const again = { at: '2026-03-03T07:00:00Z', readings: [[130, 80, 60]] } as const

  it('counts once: the one of the later sitting id is left out, whichever came in first', () => {
    for (const order of [
      ['a', 'b'],
      ['b', 'a'],
    ]) {
      const { used, leftOut } = selectSittings(
        keepAll,
        order.map((id) => ({ ...again, id })),
      )
      expect([used.map(({ session }) => session.id), leftOut.map(({ placed }) => placed.session.id)]).toEqual(
        [['a'], ['b']],
      )
      expect([leftOut[0]?.reason, leftOut[0]?.text]).toEqual([
        'same-reading-again',
        expect.stringMatching(/one measurement counts once/),
      ])
    }
  })

  it('is found in three sittings and in sittings that have more beside', () => {
    const { used, leftOut } = selectSittings(keepAll, [
      { ...again, id: 'a', readings: [...again.readings, [128, 79]] },
      { ...again, id: 'b' },
      { ...again, id: 'c', readings: [...again.readings, [126, 78]] },
    ])
    expect(used.map(({ session, reading }) => `${session.id}${reading.ordinal}`)).toEqual(['a1', 'a2', 'c2'])
    expect(leftOut.map(({ placed, reason }) => [placed.session.id, reason])).toEqual([
      ['b', 'same-reading-again'],
      ['c', 'same-reading-again'],
    ])
  })

  it.each<{ what: string; odd: Partial<SittingParts> }>([
    { what: 'another time', odd: { at: '2026-03-03T07:00:01Z' } },
    { what: 'another systolic', odd: { readings: [[131, 80, 60]] } },
    { what: 'another diastolic', odd: { readings: [[130, 81, 60]] } },
    { what: 'another pulse', odd: { readings: [[130, 80, 61]] } },
    { what: 'no pulse', odd: { readings: [[130, 80]] } },
  ])('is not one with $what', ({ odd }) => {
    const { used } = selectSittings(keepAll, [
      { ...again, id: 'a' },
      { ...again, id: 'b', ...odd },
    ])
    expect(used).toHaveLength(2)
  })

  it('is not one of the other arm: both can be measured at once', () => {
    const { leftOut } = selectSittings(keepAll, [
      { ...again, id: 'a' },
      { ...again, id: 'b', arm: 'right' },
    ])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['other-arm'])
  })

  it('is not one of the same sitting, where a source gives the readings no times of their own', () => {
    const { session, findings } = homeSitting({
      at: '2026-03-03T07:00:00Z',
      readings: [
        [130, 80],
        [130, 80],
      ],
    })
    const readings = session.readings.map(({ takenAt: _, ...reading }) => reading)
    const plan = weekOf(keepAll)
    const placed = placeReadings(plan, [{ session: { ...session, readings }, findings }])
    expect(selectReadings(plan, placed).used).toHaveLength(2)
  })

  it('does not give way to one that cannot count', () => {
    const plan = weekOf(keepAll)
    const placed = placeReadings(plan, [
      { ...homeSitting({ ...again, id: 'a' }), withdrawn: true },
      homeSitting({ ...again, id: 'b', setting: 'clinic' }),
      homeSitting({ ...again, id: 'c' }),
    ])
    expect(selectReadings(plan, placed).used.map(({ session }) => session.id)).toEqual(['c'])
  })
})
