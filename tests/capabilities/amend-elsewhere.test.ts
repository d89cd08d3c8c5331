/**
 * A clinic that a person moved away from: what it was told is amended there when it no longer holds, and no more is told.
 */
import { afterEach, describe, expect, it } from 'vitest'
import type { Destination } from '../../src/core/registry/destination.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { correctSession } from '../../src/flow/receive/correct-session.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import { DESTINATION } from '../support/open-flows.ts'
import { MRN } from '../support/played-clinic.ts'
import { openDelivery, type QueuedDelivery, readingOf } from '../support/queued-delivery.ts'
import { LATER, morning, threeMornings } from '../support/three-mornings.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

async function close(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
  expect(await at.deliver()).toMatchObject({ parked: 0, givenUp: 0 })
}

/** The first clinic has the average of three mornings; then the person moves to one that is sent nothing for now. */
async function move(readings: Destination['readings'], zone = 'America/Denver'): Promise<void> {
  at = (await threeMornings({ readings })).at
  await close()
  at.clinic.rest(LATER)
  await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER, zone })
  await close()
}

/** Of a reading as it came to the first clinic, and as it is there now. */
const statusOf = (id: string) => {
  const versions = at.clinic.server.holding(readingOf(id, 1))[0]
  return versions && [versions[0], versions.at(-1)].map((one) => one?.resource?.status)
}

/** Each version of the average at the first clinic: its status, its mean systolic pressure, and of how many readings. */
function averageVersions() {
  const [average] = at.clinic.server.kept
    .all('Observation')
    .filter(({ identifier }) => JSON.stringify(identifier).includes('/average"'))
  const versions = at.clinic.server.holding(String(Object(average?.identifier)[0].value))[0] ?? []
  return versions.map(({ resource }) => {
    const { status, component = [], derivedFrom = [], subject } = Object(resource)
    const mean = component.find((one: unknown) => JSON.stringify(one).includes('96608-5'))
    return {
      status,
      mean: mean?.valueQuantity.value,
      readings: derivedFrom.length,
      subject: subject.reference,
    }
  })
}

const queued = async () =>
  (await at.entries()).flatMap(({ kind, destination, part }) =>
    kind === 'average' ? [`${destination} ${part}`] : [],
  )

describe('a clinic that a person moved away from', () => {
  it.each(['at-once', 'with-average', 'never'] as const)(
    'has its average amended by what is corrected and withdrawn of it, where readings are sent %s',
    async (readings) => {
      await move(readings)
      const [issued] = averageVersions()
      expect(issued).toMatchObject({ status: 'final', mean: 139.5, readings: 4 })
      await at.flows.correct(morning(3, 131))
      await at.flows.withdraw('s-4')
      await close()
      expect(averageVersions()).toEqual([
        issued,
        { status: 'amended', mean: 129.5, readings: 2, subject: issued?.subject },
      ])
      const held =
        readings === 'never'
          ? [undefined, undefined]
          : [
              ['final', 'amended'],
              ['final', 'entered-in-error'],
            ]
      expect([statusOf('s-3'), statusOf('s-4')]).toEqual(held)
      expect(at.clinic.server.ledger.createdTwice()).toEqual([])
      expect(await queued()).toEqual([`${DESTINATION} 1`, `${LATER} 2`, `${LATER} 3`, `${DESTINATION} 4`])
      await close()
      expect(averageVersions()).toHaveLength(2)
    },
  )

  it.each(['at-once', 'with-average', 'never'] as const)(
    'is told of nothing that came since, and its average does not count it, where readings are sent %s',
    async (readings) => {
      await move(readings)
      const posted = at.clinic.posted.length
      await at.flows.receive([morning(5, 171)])
      await close()
      expect(at.clinic.posted).toHaveLength(posted)
      await at.flows.correct(morning(5, 172))
      await close()
      expect(at.clinic.posted).toHaveLength(posted)
      await at.flows.correct(morning(3, 131))
      await close()
      expect(averageVersions().at(-1)).toMatchObject({ status: 'amended', mean: 134.5, readings: 4 })
      expect(at.clinic.posted.slice(posted).some(({ text }) => text.includes(readingOf('s-5', 1)))).toBe(
        false,
      )
    },
  )

  it('is told by the days that its average was made of, whatever zone the person lives in by now', async () => {
    await move('with-average', 'Asia/Tokyo')
    await at.flows.correct(morning(3, 131))
    await close()
    expect(averageVersions().at(-1)).toMatchObject({ status: 'amended', mean: 134.5, readings: 4 })
    const issued = await at.flows.ports.store.issuedAverages((await at.entries()).at(-1)?.about ?? '')
    expect(issued.map(({ destination, summary }) => [destination, JSON.parse(summary).period.zone])).toEqual([
      [DESTINATION, 'America/Denver'],
      [LATER, 'Asia/Tokyo'],
      [LATER, 'Asia/Tokyo'],
      [DESTINATION, 'America/Denver'],
    ])
  })

  it('is told of a reading that moves out of the period', async () => {
    await move('with-average')
    await at.flows.correct({ ...morning(9), id: 's-4' })
    await close()
    expect(averageVersions().at(-1)).toMatchObject({ status: 'amended', readings: 2 })
    expect(statusOf('s-4')).toEqual(['final', 'amended'])
  })

  it('has its average amended too where that was issued while the clock was ahead', async () => {
    at = await openDelivery({
      played: { patients: ['P-HW-1', 'Q-1'] },
      others: [{ name: LATER, baseUrl: 'https://later.example/fhir' }],
    })
    await at.flows.enrol('HW-1')
    await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([2, 3, 4].map((day) => morning(day)))
    at.flows.setClock('2027-03-10T12:00:00Z')
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
    at.clinic.rest(LATER)
    at.later()
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
    await close()
    await at.flows.correct(morning(3, 131))
    await close()
    expect(averageVersions().at(-1)).toMatchObject({ status: 'amended', mean: 134.5 })
    await close()
    expect(averageVersions()).toHaveLength(2)
  })

  it('has its average amended by what another source of the patient there corrects', async () => {
    at = await openDelivery({
      played: { patients: ['P-HW-1', 'Q-1'] },
      others: [{ name: LATER, baseUrl: 'https://later.example/fhir' }],
    })
    const { ports } = at.flows
    const other = 'hill-app'
    await registerSource({ name: other, title: 'Hill app' }, 'operator', ports)
    await at.flows.enrol('HW-1')
    await at.flows.enrol('B-1', { source: other, patient: { system: MRN, value: 'P-HW-1' } })
    await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([2, 3].map((day) => morning(day)))
    const ofOther = (systolic: number) => JSON.stringify({ ...morning(4, systolic), subject: 'B-1' })
    await receiveSessions([{ text: ofOther(141) }], { source: other }, ports)
    await close()
    const [issued] = averageVersions()
    expect(issued).toMatchObject({ status: 'final', mean: 139.5, readings: 4 })
    at.clinic.rest(LATER)
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
    await close()
    const corrected = await correctSession(ofOther(131), 's-4', { source: other }, ports)
    expect(corrected.ok).toBe(true)
    await close()
    expect(averageVersions()).toEqual([
      issued,
      { status: 'amended', mean: 134.5, readings: 4, subject: issued?.subject },
    ])
    await close()
    expect(averageVersions()).toHaveLength(2)
  })
})
