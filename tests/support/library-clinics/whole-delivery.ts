import { addDays } from '../../../src/core/basics/local-day.ts'
import type { FhirRequest } from '../../../src/core/exchange/fhir-exchange.ts'
import type { OutboxEntry } from '../../../src/core/outbox/entry.ts'
import { type Delivered, deliverOutbox } from '../../../src/flow/deliver/deliver-outbox.ts'
import { closeDuePeriods } from '../../../src/flow/periods/close-due-periods.ts'
import type { ClinicServers } from '../../../src/flow/ports/ports.ts'
import type { Person } from '../../../src/shell/cli/demo/scenario.ts'
import { createClinicServers } from '../../../src/shell/fhir-server/clinic-servers.ts'
import { type OpenFlows, openFlows, recordsOf, type SampleRecord } from '../open-flows.ts'
import { recordedLog } from '../recorded-log.ts'

/** When the sessions of the samples arrive, when their averages are made, and when they are changed. */
const ARRIVED = '2026-03-20T08:00:00Z'
const CHANGED = '2026-03-22T08:00:00Z'

/** What is changed of what a clinic holds already: ids of sessions. */
export interface Changes {
  /** Its first reading was typed wrong by 20 mmHg. */
  readonly corrected: SampleRecord
  readonly withdrawn: SampleRecord
  /** After the period of the first person: a reading of 186/101. */
  readonly calls: SampleRecord
}

export interface WholeOptions {
  /** The first one corrects a session and has the call for attention, the last one withdraws a session. */
  readonly people: readonly Person[]
  /** Of each person's sessions the first so many; all of them when absent. */
  readonly sessions?: number
  /** Keys of the destination, as the settings file has them. */
  readonly destination?: Readonly<Record<string, unknown>>
  /** What happens at the clinic before anything is changed. */
  readonly beforeChanges?: () => Promise<void>
  /** What happens before a request leaves. */
  readonly beforeRequest?: (request: FhirRequest) => Promise<void>
}

/** A gateway that brought everything to one clinic through the real flow and over real HTTP. */
export interface WholeDelivery {
  readonly flows: OpenFlows
  readonly changes: Changes
  /** Periods by subject. */
  readonly periods: ReadonlyMap<string, string>
  /** What each round came to: sessions at once, averages, and what was changed after them. */
  readonly rounds: readonly Delivered[]
  entries(): Promise<readonly OutboxEntry[]>
}

/**
 * Brings to a clinic what the sample people measured: each session when it arrives, their averages, then a corrected and
 * a withdrawn session with the averages these amend, and a call for attention. What it does depends on nothing but its
 * arguments, so a second one is what a gateway does that lost its memory.
 */
export async function bringEverything(
  baseUrl: string,
  { people, sessions, destination = {}, beforeChanges, beforeRequest }: WholeOptions,
): Promise<WholeDelivery> {
  const door = createClinicServers({
    clock: { now: Date.now },
    log: recordedLog(),
    newRequestId: () => 'request-1',
  })
  const clinic: ClinicServers = {
    ...door,
    async ask(to, request) {
      await beforeRequest?.(request)
      return door.ask(to, request)
    },
  }
  const flows = await openFlows({ now: ARRIVED, clinic, baseUrl, destination })
  const rounds: Delivered[] = []
  const periods = new Map<string, string>()
  for (const { subject, patient, zone, armCircumferenceCm } of people) {
    await flows.enrol(subject, {
      patient,
      zone,
      ...(armCircumferenceCm === undefined ? {} : { armCircumferenceCm }),
    })
  }
  for (const person of people) await flows.receive(recordsOf(person).slice(0, sessions))
  rounds.push(await deliverOutbox(flows.ports))

  for (const { subject, firstDay, days, protocol } of people) {
    periods.set(subject, await flows.openPeriod(subject, firstDay, days, protocol))
  }
  await closeDuePeriods(flows.ports)
  rounds.push(await deliverOutbox(flows.ports))

  await beforeChanges?.()
  flows.setClock(CHANGED)
  const changes = changesOf(people)
  await flows.correct(changes.corrected)
  await flows.withdraw(changes.withdrawn.id)
  await flows.receive([changes.calls])
  await closeDuePeriods(flows.ports)
  rounds.push(await deliverOutbox(flows.ports))
  return {
    flows,
    changes,
    periods,
    rounds,
    entries: () => flows.ports.store.deliveryPage({ limit: 200 }),
  }
}

function changesOf(people: readonly Person[]): Changes {
  const [first, last] = [people.at(0), people.at(-1)]
  const model = first && recordsOf(first).at(3)
  const withdrawn = last && recordsOf(last).at(4)
  const [reading] = model?.readings ?? []
  if (first === undefined || model === undefined || withdrawn === undefined || reading === undefined) {
    throw new Error('the samples have too few sessions')
  }
  const corrected = {
    ...model,
    readings: model.readings.with(0, { ...reading, systolic: reading.systolic + 20 }),
  }
  const takenAt = `${addDays(first.firstDay, first.days + 1)}T07:00:00+00:00`
  const calls = {
    ...model,
    id: 'calls',
    takenAt,
    readings: [{ ...reading, takenAt, systolic: 186, diastolic: 101 }],
  }
  return { corrected, withdrawn, calls }
}
