import type { Enrolment } from '../../src/core/registry/enrolment.ts'
import { openPeriod } from '../../src/flow/periods/open-period.ts'
import type { Catalogue, ClinicServers, MessageReceivers, Ports, Store } from '../../src/flow/ports/ports.ts'
import { correctSession } from '../../src/flow/receive/correct-session.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { withdrawSession } from '../../src/flow/receive/withdraw-session.ts'
import { enrol } from '../../src/flow/register/enrol-subject.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import { type Person, readScenario, sessionsOf } from '../../src/shell/cli/demo/scenario.ts'
import { loadCatalogue } from '../../src/shell/config/catalogue/load-catalogue.ts'
import { attentionLimits } from '../../src/shell/config/settings/attention-settings.ts'
import { openSqliteStore } from '../../src/shell/store/open-sqlite-store.ts'
import { exampleSettings, wantedAtOnce } from './example-settings.ts'
import { type RecordedLog, recordedLog } from './recorded-log.ts'
import { temporaryStore } from './temporary-store.ts'

export const SOURCE = 'harbour-app'
export const DESTINATION = 'clinic'

/** The flows over the real embedded store, by a clock that stands until it is set. */
export interface OpenFlows {
  readonly ports: Ports
  readonly log: RecordedLog
  /** @param time RFC 3339 text. */
  setClock(time: string): void
  enrol(subject: string, changes?: Partial<Enrolment>): Promise<void>
  /** Receives records, all of which must be kept. */
  receive(records: readonly object[]): Promise<void>
  /** Corrects a session, which must be taken. */
  correct(record: object & { readonly id?: unknown }): Promise<void>
  /** Withdraws a session, which must be there. */
  withdraw(id: string): Promise<void>
  /** File of the store. */
  readonly file: string
  /** What goes on is another process from now on: it opens the same store, or one made of a copy. */
  restart(copy?: string): Promise<void>
  /** Opens a period of an enrolled subject and returns its id. */
  openPeriod(subject: string, firstDay: string, days: number, protocol?: string): Promise<string>
  close(): Promise<void>
}

export interface FlowsOptions {
  readonly now?: string
  readonly clinic?: ClinicServers
  readonly receivers?: MessageReceivers
  /** Base URL of the one destination. */
  readonly baseUrl?: string
  /** Further keys of the one destination. */
  readonly destination?: Readonly<Record<string, unknown>>
  /** Further destinations, as the settings file has them. */
  readonly others?: readonly Readonly<Record<string, unknown>>[]
  /** Keys of the settings file under `delivery`. */
  readonly delivery?: Readonly<Record<string, number>>
  /** Puts something between the flows and the real store. */
  readonly around?: (store: Store) => Store
  readonly catalogue?: (loaded: Catalogue) => Catalogue
}

export async function openFlows({
  now = '2026-03-02T00:00:00Z',
  clinic = {
    ask: () => Promise.resolve({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }),
    resting: () => [],
  },
  receivers = {
    send: () => Promise.resolve({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }),
    resting: () => [],
  },
  baseUrl = 'http://127.0.0.1:9/fhir',
  destination = {},
  others = [],
  delivery = {},
  around = (store) => store,
  catalogue = (loaded) => loaded,
}: FlowsOptions = {}): Promise<OpenFlows> {
  const settings = exampleSettings({
    destinations: [
      { name: DESTINATION, ...(destination.kind === 'hl7v2' ? {} : { baseUrl }), ...destination },
      ...others,
    ],
    delivery,
  })
  const { readingsAtOnce, attentionAtOnce } = wantedAtOnce(settings.destinations)
  const temporary = await temporaryStore([...readingsAtOnce], openSqliteStore, [...attentionAtOnce])
  const log = recordedLog()
  let nowMs = Date.parse(now)
  let store = around(temporary.store)
  const ports: Ports = {
    get store() {
      return store
    },
    clinic,
    receivers,
    catalogue: catalogue(loadCatalogue(settings)),
    clock: { now: () => nowMs },
    // Never no wait at all, so that an entry put off is not due in the same round.
    random: () => 0.5,
    log,
    policy: {
      graceMs: 12 * 3_600_000,
      delivery: settings.delivery,
      attention: attentionLimits(settings.attention),
    },
  }
  await registerSource({ name: SOURCE, title: 'Harbour home app' }, 'operator', ports)

  return {
    ports,
    log,
    setClock(time) {
      nowMs = Date.parse(time)
    },
    async enrol(subject, changes = {}) {
      const link: Enrolment = {
        source: SOURCE,
        subject,
        patient: { system: 'https://clinic.example/mrn', value: `P-${subject}` },
        zone: 'America/Denver',
        destination: DESTINATION,
        ...changes,
      }
      if (!(await enrol(link, 'operator', ports)).ok) throw new Error('an enrolment is refused')
    },
    async receive(records) {
      const incoming = records.map((record) => ({ text: JSON.stringify(record) }))
      const outcomes = await receiveSessions(incoming, { source: SOURCE }, ports)
      if (outcomes.some(({ kind }) => kind !== 'kept')) throw new Error('a record is not kept')
    },
    async correct(record) {
      const corrected = await correctSession(
        JSON.stringify(record),
        String(record.id),
        { source: SOURCE },
        ports,
      )
      if (!corrected.ok || corrected.value.kind !== 'corrected') throw new Error('a correction is not taken')
    },
    async withdraw(id) {
      const withdrawn = await withdrawSession(id, { source: SOURCE }, ports)
      if (!withdrawn.ok) throw new Error('there is no session to withdraw')
    },
    file: temporary.file,
    async restart(copy) {
      store = around(await temporary.reopen(copy, nowMs))
    },
    async openPeriod(subject, firstDay, days, protocol = 'nice-ng136-home') {
      const request = { source: SOURCE, subject, protocol, firstDay, days }
      const opened = await openPeriod(request, 'operator', ports)
      if (!opened.ok) throw new Error('a period is refused')
      return opened.value.period.id
    },
    close: () => temporary.remove(),
  }
}

/** A person of the samples. */
export function samplePerson(subject: string): Person {
  const person = readScenario().people.find((one) => one.subject === subject)
  if (person === undefined) throw new Error(`${subject} is not in the samples`)
  return person
}

/** A person's session records, parsed. */
export function recordsOf(person: Person): readonly SampleRecord[] {
  return sessionsOf(person)
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line))
}

export interface SampleRecord {
  readonly id: string
  readonly takenAt: string
  readonly readings: readonly {
    readonly takenAt: string
    readonly systolic: number
    readonly diastolic: number
  }[]
}
