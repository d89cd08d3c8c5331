import { readingUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import type { OutboxEntry } from '../../src/core/outbox/entry.ts'
import { type Delivered, deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import type { Delivery } from '../../src/flow/ports/ports.ts'
import { type FlowsOptions, type OpenFlows, openFlows, SOURCE } from './open-flows.ts'
import { type PlayedClinic, type PlayedOptions, playedClinic } from './played-clinic.ts'
import { rawRecord } from './raw-record.ts'

/** When these tests begin. */
export const START = '2026-03-10T12:00:00Z'

/** A round in which nothing came of anything. */
export const NOTHING: Delivered = {
  settled: 0,
  created: 0,
  alreadyThere: 0,
  updated: 0,
  waiting: 0,
  parked: 0,
  givenUp: 0,
}

/** The flows with something queued, and the clinic's server they deliver to. */
export interface QueuedDelivery {
  readonly flows: OpenFlows
  readonly clinic: PlayedClinic
  deliver(): Promise<Delivered>
  /** The same, an hour after the last round, or after so many milliseconds. */
  deliverLater(ms?: number): Promise<Delivered>
  later(ms?: number): void
  entries(): Promise<readonly OutboxEntry[]>
  /** The first entry, with what the clinic said. */
  first(): Promise<Delivery>
}

export interface QueueOptions extends Omit<FlowsOptions, 'clinic'> {
  readonly played?: PlayedOptions
}

/** Opens the flows with nothing queued yet. */
export async function openDelivery({ played = {}, ...options }: QueueOptions = {}): Promise<QueuedDelivery> {
  const clinic = playedClinic(played)
  const flows = await openFlows({ now: START, clinic, ...options })
  let nowMs = Date.parse(START)
  const later = (ms = HOUR_MS): void => {
    nowMs += ms
    flows.setClock(new Date(nowMs).toISOString())
  }
  const deliver = () => deliverOutbox(flows.ports)
  return {
    flows,
    clinic,
    deliver,
    later,
    deliverLater: (ms) => {
      later(ms)
      return deliver()
    },
    entries: () => flows.ports.store.deliveryPage({ limit: 200 }),
    async first() {
      const [entry] = await flows.ports.store.deliveryPage({ limit: 1 })
      const delivery = entry === undefined ? undefined : await flows.ports.store.delivery(entry.id)
      if (delivery === undefined) throw new Error('nothing is queued')
      return delivery
    },
  }
}

/** Enrols a subject and receives a session of two readings, with a monitor, for each id. */
export async function queueSessions(
  { flows }: Pick<QueuedDelivery, 'flows'>,
  subject = 'HW-1',
  ids: readonly string[] = ['s-1'],
): Promise<void> {
  await flows.enrol(subject)
  await flows.receive(ids.map((id) => sitting(id, subject)))
}

/** Two readings a minute apart, of one monitor. */
export function sitting(id: string, subject = 'HW-1', systolic = 141) {
  const takenAt = '2026-03-02T06:41:00-07:00'
  return rawRecord({
    id,
    subject,
    takenAt,
    device: { manufacturer: 'Lumen', model: 'A1', serial: 'L-77' },
    readings: [
      { takenAt, systolic, diastolic: 88 },
      { takenAt: '2026-03-02T06:42:00-07:00', systolic: systolic - 3, diastolic: 86 },
    ],
  })
}

/** What a session of `sitting` makes: the monitor, two Observations and their Provenance. */
export const OF_A_SITTING = 4

/** UUID of a reading, from 1 on. */
export function readingOf(id: string, ordinal: number): string {
  return readingUuid(sessionUuid(SOURCE, id), ordinal)
}

const HOUR_MS = 3_600_000
