/** A call for attention at the clinic says what the sessions it rests on say now, each time these are changed. */
import { afterEach, describe, expect, it } from 'vitest'
import { attentionUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import type { Catalogue } from '../../src/flow/ports/ports.ts'
import { DESTINATION, SOURCE } from '../support/open-flows.ts'
import { openDelivery, type QueuedDelivery, readingOf, sitting } from '../support/queued-delivery.ts'
import { rawRecord } from '../support/raw-record.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

/** A sitting of one reading in the morning of a day. */
function morning(id: string, day: number, irregularPulse: boolean, note = 'none') {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const monitorSays = irregularPulse ? { irregularPulse } : undefined
  const device = { manufacturer: 'Lumen', model: note }
  const readings = [{ takenAt, systolic: 128, diastolic: 80, pulse: 70, monitorSays }]
  return rawRecord({ id, subject: 'HW-1', takenAt, device, readings })
}

async function told(change: Promise<void>): Promise<void> {
  await change
  await followArrivals(at.flows.ports)
  at.later()
  await at.deliver()
}

/** Statuses of a call, one version after another, without repeating any. */
function statuses(id: string, code: 'very-high' | 'irregular-pulse-repeated'): readonly unknown[] {
  const [versions = []] = at.clinic.server.holding(attentionUuid(sessionUuid(SOURCE, id), code))
  return versions
    .map(({ resource }) => resource?.status)
    .filter((status, index, all) => index === 0 || status !== all[index - 1])
}

it('is taken back and made again as often as its session is corrected', async () => {
  at = await openDelivery()
  await at.flows.enrol('HW-1')
  await told(at.flows.receive([sitting('s-1', 'HW-1', 196)]))
  await told(at.flows.correct(sitting('s-1', 'HW-1', 136)))
  expect(statuses('s-1', 'very-high')).toEqual(['final', 'entered-in-error'])
  await told(at.flows.correct(sitting('s-1', 'HW-1', 197)))
  expect(statuses('s-1', 'very-high')).toEqual(['final', 'entered-in-error', 'final'])
})

it('is taken back at a clinic that wants none any more, which was told of it', async () => {
  let isWanted = true
  const catalogue = (loaded: Catalogue): Catalogue => ({
    ...loaded,
    get destinations() {
      const clinic = loaded.destinations.get(DESTINATION)
      if (isWanted || clinic === undefined) return loaded.destinations
      return new Map([[DESTINATION, { ...clinic, attention: 'with-average' as const }]])
    },
  })
  at = await openDelivery({ catalogue })
  await at.flows.enrol('HW-1')
  await told(at.flows.receive([sitting('s-1', 'HW-1', 196)]))
  isWanted = false
  await told(at.flows.withdraw('s-1'))
  expect(statuses('s-1', 'very-high')).toEqual(['final', 'entered-in-error'])
})

it('that rests on another session too is taken back with that, and no call is made that never was', async () => {
  at = await openDelivery()
  await at.flows.enrol('HW-1')
  const code = 'irregular-pulse-repeated'
  await told(at.flows.receive([morning('i-1', 4, true), morning('i-2', 5, true)]))
  expect([statuses('i-1', code), statuses('i-2', code)]).toEqual([[], ['final']])
  await told(at.flows.correct(morning('i-1', 4, true, 'another')))
  expect(statuses('i-2', code)).toEqual(['final'])
  await told(at.flows.correct(morning('i-1', 4, false)))
  expect(statuses('i-2', code)).toEqual(['final', 'entered-in-error'])
  await told(at.flows.correct(morning('i-1', 4, true)))
  expect(statuses('i-2', code)).toEqual(['final', 'entered-in-error', 'final'])
  await told(at.flows.withdraw('i-1'))
  expect(statuses('i-2', code)).toEqual(['final', 'entered-in-error', 'final', 'entered-in-error'])
  expect(statuses('i-1', code)).toEqual([])
})

describe.each(['with-average', 'never'] as const)('at a clinic that takes readings %s', (readings) => {
  const code = 'irregular-pulse-repeated'

  it('is taken back with the session that it rests on, though that was never sent there', async () => {
    at = await openDelivery({ destination: { readings } })
    await at.flows.enrol('HW-1')
    await told(at.flows.receive([morning('i-1', 4, true), morning('i-2', 5, true)]))
    await told(at.flows.correct(morning('i-1', 4, false)))
    expect(statuses('i-2', code)).toEqual(['final', 'entered-in-error'])
    await told(at.flows.correct(morning('i-1', 4, true)))
    await told(at.flows.withdraw('i-1'))
    expect(statuses('i-2', code)).toEqual(['final', 'entered-in-error', 'final', 'entered-in-error'])
    // Its readings are not asked for by anybody.
    expect(at.clinic.server.holding(readingOf('i-1', 1))).toEqual([])
  })

  it('is left alone by a change of a session that nothing rests on', async () => {
    at = await openDelivery({ destination: { readings } })
    await at.flows.enrol('HW-1')
    await told(at.flows.receive([morning('i-1', 4, true), morning('i-2', 5, true), morning('i-3', 6, false)]))
    const posted = at.clinic.posted.length
    await told(at.flows.correct(morning('i-3', 6, false, 'another')))
    expect(at.clinic.posted).toHaveLength(posted)
    expect((await at.entries()).map(({ state, part }) => [state, part])).toEqual([
      ['settled', code],
      ['settled', 'calls'],
    ])
  })
})

it('is left as it is by a correction that it stands through', async () => {
  at = await openDelivery()
  await at.flows.enrol('HW-1')
  await told(at.flows.receive([sitting('s-1', 'HW-1', 196)]))
  await told(at.flows.correct(sitting('s-1', 'HW-1', 195)))
  const call = attentionUuid(sessionUuid(SOURCE, 's-1'), 'very-high')
  expect(at.clinic.server.holding(call)[0]).toHaveLength(1)
})
