/** A destination that wants no readings any more: what it holds of them is kept right, and nothing is added. */
import { afterEach, describe, expect, it } from 'vitest'
import type { Destination } from '../../src/core/registry/destination.ts'
import { reopenPeriod } from '../../src/flow/follow/reopen-period.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { createMessageReceivers } from '../../src/shell/hl7v2/message-receivers.ts'
import { type ChangingDestinations, changingDestinations } from '../support/changing-destinations.ts'
import { SOURCE } from '../support/open-flows.ts'
import { answering, playReceiver } from '../support/played-receiver.ts'
import {
  NOTHING,
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'
import { recordedLog } from '../support/recorded-log.ts'
import { morning } from '../support/three-mornings.ts'

let at: QueuedDelivery
let destinations: ChangingDestinations
async function start(
  destination: QueueOptions['destination'] = {},
  more: Pick<QueueOptions, 'receivers'> = {},
): Promise<void> {
  destinations = changingDestinations()
  at = await openDelivery({ ...more, destination, catalogue: destinations.catalogue })
}
const opened: (() => unknown)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
  await at.flows.close()
})

const wantsNoReadings = () => wantsReadings('never')

const wantsReadings = (readings: Destination['readings']) => destinations.change({ readings })

const statusOf = (id: string) =>
  [1, 2].map((ordinal) => {
    const [versions] = at.clinic.server.holding(readingOf(id, ordinal))
    return versions?.at(-1)?.resource?.status
  })

describe('a destination that was given readings, and wants none from now on', () => {
  it('is told of corrections and withdrawals of what it holds', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    wantsNoReadings()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.flows.withdraw('s-2')
    expect(await at.deliver()).toMatchObject({ settled: 2, updated: 4 })
    expect([statusOf('s-1'), statusOf('s-2')]).toEqual([
      ['amended', 'amended'],
      ['entered-in-error', 'entered-in-error'],
    ])
  })

  it('is not given what it does not hold: new sessions, and changes of them', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    wantsNoReadings()
    await at.flows.receive([sitting('s-2')])
    await at.flows.correct(sitting('s-2', 'HW-1', 131))
    const writes = at.clinic.server.ledger.writes.length
    expect(await at.deliver()).toMatchObject({ settled: 2, created: 0, updated: 0 })
    expect(at.clinic.server.ledger.writes).toHaveLength(writes)
  })

  it('is told of a correction together with the call for attention that it takes back', async () => {
    await start({ attention: 'at-once' })
    await at.flows.enrol('HW-1')
    await at.flows.receive([sitting('s-1', 'HW-1', 201)])
    await at.deliver()
    wantsNoReadings()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.deliver()
    expect(statusOf('s-1')).toEqual(['amended', 'amended'])
    const calls = at.clinic.server.kept
      .all('Observation')
      .filter(({ valueBoolean }) => valueBoolean !== undefined)
    expect(calls.map(({ status }) => status)).toEqual(['entered-in-error'])
  })
})

/** A week whose average brought its readings, which mean 139.5 from the second day on; then none are wanted. */
async function averageArrived(days = [2, 3, 4]): Promise<void> {
  await at.flows.enrol('HW-1')
  await at.flows.openPeriod('HW-1', '2026-03-02', 7)
  await at.flows.receive(days.map((day) => morning(day)))
  await amendedArrives()
  wantsNoReadings()
}

/** What came in is followed, the average is amended where it has to be, and delivered. */
async function amendedArrives(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
  expect(await at.deliver()).toMatchObject({ waiting: 0, parked: 0, givenUp: 0 })
}

const averages = () =>
  at.clinic.server.kept
    .all('Observation')
    .filter(({ identifier }) => JSON.stringify(identifier).includes('/average"'))

describe('a destination that was given readings with averages, and wants none from now on', () => {
  it('is told of corrections and withdrawals of those, with the amended average', async () => {
    await start({ readings: 'with-average' })
    await averageArrived()
    await at.flows.correct(morning(3, 131))
    await at.flows.withdraw('s-4')
    await amendedArrives()
    expect([2, 3, 4].map((day) => statusOf(`s-${day}`))).toEqual([
      ['final', 'final'],
      ['amended', 'amended'],
      ['entered-in-error', 'entered-in-error'],
    ])
    expect(averages().map(({ status }) => status)).toEqual(['amended'])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('is told of one that moves its reading out of the period, however often the average was amended since', async () => {
    await start({ readings: 'with-average' })
    await averageArrived()
    await at.flows.correct(morning(3, 131))
    await amendedArrives()
    await at.flows.correct({ ...morning(9), id: 's-4' })
    await amendedArrives()
    expect([statusOf('s-3'), statusOf('s-4')]).toEqual([
      ['amended', 'amended'],
      ['amended', 'amended'],
    ])
    const [versions] = at.clinic.server.holding(readingOf('s-4', 1))
    expect(JSON.stringify(versions?.at(-1)?.resource)).toContain('2026-03-09T06:41:00-07:00')
  })

  it('is told of a correction whose average was amended and had not got through when that was said', async () => {
    await start({ readings: 'with-average' })
    await averageArrived()
    wantsReadings('with-average')
    await at.flows.correct(morning(3, 131))
    at.later()
    expect(await closeDuePeriods(at.flows.ports)).toBe(1)
    wantsNoReadings()
    await at.deliver()
    expect(statusOf('s-3')).toEqual(['amended', 'amended'])
  })

  it('is not given what it does not hold: new sessions, and changes of them', async () => {
    await start({ readings: 'with-average' })
    await averageArrived()
    await at.flows.receive([morning(5)])
    await amendedArrives()
    await at.flows.correct(morning(5, 131))
    await amendedArrives()
    expect(at.clinic.server.holding(readingOf('s-5', 1))).toEqual([])
    expect(averages().map(({ meta }) => Object(meta).versionId)).toEqual(['3'])
  })

  it('hears no more of it when nothing changed since', async () => {
    await start({ readings: 'with-average' })
    await averageArrived()
    await at.flows.correct(morning(3, 131))
    await amendedArrives()
    const writes = at.clinic.server.ledger.writes.length
    const [period] = await at.flows.ports.store.periodsOf(SOURCE, 'HW-1')
    expect(period !== undefined && (await reopenPeriod(period, at.flows.ports))).toBe(true)
    expect(await closeDuePeriods(at.flows.ports)).toBe(1)
    expect(await at.deliver()).toEqual(NOTHING)
    expect(at.clinic.server.ledger.writes).toHaveLength(writes)
  })
})

describe('an HL7 v2 receiver that was sent readings, and wants none from now on', () => {
  async function startReceiver(more: QueueOptions['destination'] = {}) {
    const receiver = await playReceiver([answering('AA')])
    const receivers = createMessageReceivers({ clock: { now: () => Date.now() }, log: recordedLog() })
    opened.push(receivers.close, receiver.close)
    const { port } = receiver
    const application = { application: 'EHR', facility: 'CLINIC' }
    await start(
      { kind: 'hl7v2', host: '127.0.0.1', port, authority: 'CLINIC', receiver: application, ...more },
      { receivers },
    )
    return receiver
  }
  /** Systolic pressures a message states, each with its OBX-11: final, corrected or deleted. */
  const systolicIn = (message = '') =>
    message
      .split('\r')
      .map((segment) => segment.split('|'))
      .filter(([name, , , code = '']) => name === 'OBX' && code.startsWith('8480-6'))
      .map((fields) => `${fields[5]} ${fields[11]}`)

  it('is told of corrections and withdrawals of those, and of no other session', async () => {
    const receiver = await startReceiver()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    expect(receiver.messages.map(systolicIn)).toEqual(Array(2).fill(['141 F', '138 F']))
    wantsNoReadings()
    await at.flows.receive([sitting('s-3')])
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.flows.withdraw('s-2')
    await at.flows.correct(sitting('s-3', 'HW-1', 121))
    expect(await at.deliver()).toMatchObject({ settled: 4 })
    expect(receiver.messages.slice(2).map(systolicIn)).toEqual([
      ['131 C', '128 C'],
      ['141 D', '138 D'],
    ])
  })

  it('is told of corrections of those that came with an average, together with the amended one', async () => {
    const receiver = await startReceiver({ readings: 'with-average' })
    await averageArrived([3])
    expect(receiver.messages.map(systolicIn)).toEqual([['141 F', '138 F']])
    await at.flows.correct(morning(3, 131))
    await amendedArrives()
    expect(receiver.messages.slice(1).map(systolicIn)).toEqual([['131 C', '128 C']])
  })

  it('is told of no readings, however often they are corrected, where it was only called about them', async () => {
    const receiver = await startReceiver({ readings: 'never', attention: 'at-once' })
    await queueSessions(at, 'HW-1', [])
    await at.flows.receive([sitting('s-1', 'HW-1', 201)])
    await at.deliver()
    expect(receiver.messages).toHaveLength(1)
    for (const systolic of [203, 205]) {
      await at.flows.correct(sitting('s-1', 'HW-1', systolic))
      expect(await at.deliver()).toMatchObject({ settled: 1, created: 0 })
    }
    expect(receiver.messages).toHaveLength(1)
  })
})
