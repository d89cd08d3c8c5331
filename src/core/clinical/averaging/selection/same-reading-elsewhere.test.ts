import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../../tests/support/home-sitting.ts'
import { keepAll, weekOf } from '../../../../../tests/support/select-sittings.ts'
import type { CheckedSession } from '../period-average.ts'
import { placeReadings } from '../place-readings.ts'
import { selectReadings } from '../select-readings.ts'

const AT = '2026-03-03T07:00:00Z'
const READING = { at: AT, readings: [[130, 80, 60]] } as const

/** A sitting that came through a source, so many seconds after the first. */
function through(source: string, receivedMs: number, said: Partial<SittingParts> = {}): CheckedSession {
  return { ...homeSitting({ ...READING, id: source, ...said }), source, receivedMs }
}

/** What counts, and what is left out for which reason with what stands in its place; as `session id + place`. */
function selected(...sittings: readonly CheckedSession[]) {
  const plan = weekOf(keepAll)
  const { used, leftOut } = selectReadings(plan, placeReadings(plan, sittings))
  const nameOf = ({ session, reading }: (typeof used)[number]) => `${session.id}${reading.ordinal}`
  return {
    used: used.map(nameOf),
    leftOut: leftOut.map(({ placed, reason, sameAs }) =>
      [nameOf(placed), reason, ...(sameAs === undefined ? [] : [nameOf(sameAs)])].join(' '),
    ),
    texts: leftOut.map(({ text }) => text),
  }
}

/** The other one, so many seconds later. */
const later = (seconds: number, said: Partial<SittingParts> = {}): Partial<SittingParts> => ({
  at: new Date(Date.parse(AT) + seconds * 1000).toISOString(),
  ...said,
})

describe('one reading through two sources', () => {
  it('counts once: the one received first stands, and the text of the other names its source', () => {
    const expected = { used: ['app1'], leftOut: ['monitor1 same-reading-again app1'] }
    const app = through('app', 1)
    const monitor = through('monitor', 2, later(-20))
    expect(selected(app, monitor)).toMatchObject(expected)
    expect(selected(monitor, app)).toMatchObject(expected)
    const [text] = selected(app, monitor).texts
    expect(text).toMatch(/^Received through another source too: app has .* at most 60 seconds apart/)
    expect(text).not.toMatch(/130|80\b/)
    expect(selected({ ...app, receivedMs: 3 }, monitor).used).toEqual(['monitor1'])
  })

  it.each<{ what: string; said: Partial<SittingParts> }>([
    { what: 'at the same moment', said: {} },
    { what: '60 seconds later', said: later(60) },
    { what: '60 seconds earlier', said: later(-60) },
    { what: 'written with another offset', said: { at: '2026-03-03T00:00:30-07:00' } },
    { what: 'without a pulse', said: { readings: [[130, 80]] } },
    { what: 'without an arm', said: { arm: 'not-stated' } },
    { what: 'without a site', said: { site: 'not-stated' } },
    { what: 'with a serial where the other has none', said: { device: { serial: 'M-1' } } },
    { what: 'with another model', said: { device: { model: 'two' } } },
  ])('is one $what, and said to be', ({ said }) => {
    expect(selected(through('app', 1), through('monitor', 2, said))).toMatchObject({
      used: ['app1'],
      leftOut: ['monitor1 same-reading-again app1'],
    })
  })

  it('is one where the one source states the arm alone, and the other the site alone', () => {
    const [app, monitor] = [
      through('app', 1, { arm: 'not-stated' }),
      through('monitor', 2, { site: 'not-stated' }),
    ]
    expect(selected(app, monitor).leftOut).toEqual(['monitor1 same-reading-again app1'])
  })

  it.each<{ what: string; said: Partial<SittingParts> }>([
    { what: '61 seconds later', said: later(61) },
    { what: '61 seconds earlier', said: later(-61) },
    { what: 'another systolic', said: { readings: [[130.1, 80, 60]] } },
    { what: 'another diastolic', said: { readings: [[130, 80.1, 60]] } },
    { what: 'another pulse', said: { readings: [[130, 80, 61]] } },
    { what: 'almost the same pressure in kPa', said: { unit: 'kPa', readings: [[17.332, 10.666, 60]] } },
  ])('is two with $what', ({ said }) => {
    expect(selected(through('app', 1), through('monitor', 2, said)).leftOut).toEqual([])
  })

  it.each<{ what: string; said: Partial<SittingParts>; reason: string }>([
    { what: 'on the other arm', said: { arm: 'right' }, reason: 'other-arm' },
    { what: 'at the wrist', said: { site: 'wrist' }, reason: 'other-site' },
    { what: 'at a clinic', said: { setting: 'clinic' }, reason: 'other-setting' },
  ])('is two $what, each judged by itself', ({ said, reason }) => {
    expect(selected(through('app', 1), through('monitor', 2, said)).leftOut).toEqual([`monitor1 ${reason}`])
  })

  it('is two where both state a serial and these differ, and one where they are alike', () => {
    const app = through('app', 1, { device: { serial: 'M-1' } })
    expect(selected(app, through('monitor', 2, { device: { serial: 'M-2' } })).leftOut).toEqual([])
    expect(selected(app, through('monitor', 2, { device: { serial: 'M-1' } })).used).toEqual(['app1'])
  })

  it('is one of each source: two with the same numbers a minute apart are two, in either source', () => {
    const twice = { readings: [READING.readings[0], READING.readings[0]] }
    const app = through('app', 1, twice)
    expect(selected(app, through('monitor', 2, { ...twice, ...later(40) }))).toMatchObject({
      used: ['app1', 'app2'],
      leftOut: ['monitor1 same-reading-again app1', 'monitor2 same-reading-again app2'],
    })
    expect(selected(through('app', 1), through('monitor', 2, twice))).toMatchObject({
      used: ['app1', 'monitor2'],
      leftOut: ['monitor1 same-reading-again app1'],
    })
    expect(selected(app, through('monitor', 2)).used).toEqual(['app1', 'app2'])
  })

  it('is one through three sources', () => {
    const all = [through('c', 1, later(30)), through('b', 2), through('a', 3, later(20))]
    expect(selected(...all)).toMatchObject({
      used: ['c1'],
      leftOut: ['b1 same-reading-again c1', 'a1 same-reading-again c1'],
    })
  })

  it('does not give way to one that cannot count', () => {
    const withdrawn = { ...through('app', 1), withdrawn: true }
    expect(selected(withdrawn, through('monitor', 2))).toMatchObject({
      used: ['monitor1'],
      leftOut: ['app1 withdrawn'],
    })
    const half = through('app', 1, { readings: [[130, null, 60]] })
    expect(selected(half, through('monitor', 2)).used).toEqual(['monitor1'])
  })

  it('stands with the limb that is stated, whichever was quicker, so that the days do not fall apart', () => {
    const days = [3, 4, 5, 6].map((day) => ({ at: `2026-03-0${day}T07:00:00Z`, id: `-${day}` }))
    const sittings = days.flatMap(({ at, id }, index) => [
      through('app', index % 2, { at, id: `app${id}-`, arm: 'not-stated' }),
      through('monitor', (index + 1) % 2, { at, id: `monitor${id}-` }),
    ])
    expect(selected(...sittings).used).toEqual(['monitor-3-1', 'monitor-4-1', 'monitor-5-1', 'monitor-6-1'])
  })

  it('is told apart from one that a source sent twice, which goes by the same instant as ever', () => {
    const again = { ...through('app', 1, { id: 'app-again' }) }
    const nearly = through('app', 1, { id: 'app-later', ...later(1) })
    expect(selected(through('app', 1), again, nearly, through('monitor', 2, later(10)))).toMatchObject({
      used: ['app1', 'app-later1'],
      leftOut: ['app-again1 same-reading-again', 'monitor1 same-reading-again app1'],
    })
  })

  it('is found where two sources use the same id', () => {
    const app = through('app', 2, { id: 's-1' })
    const monitor = through('monitor', 1, { id: 's-1' })
    const { used, leftOut } = selectReadings(weekOf(keepAll), placeReadings(weekOf(keepAll), [app, monitor]))
    expect(used.map(({ source }) => source)).toEqual(['monitor'])
    expect(leftOut.map(({ placed }) => placed.source)).toEqual(['app'])
  })
})
