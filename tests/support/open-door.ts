import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ClinicServers, Ports, Store } from '../../src/flow/ports/ports.ts'
import { loadCatalogue } from '../../src/shell/config/catalogue/load-catalogue.ts'
import { attentionLimits } from '../../src/shell/config/settings/attention-settings.ts'
import { createApp } from '../../src/shell/http/create-app.ts'
import { listenHttp } from '../../src/shell/http/listen.ts'
import { signingKeysIn } from '../../src/shell/signing-keys/signing-keys.ts'
import { openSqliteStore } from '../../src/shell/store/open-sqlite-store.ts'
import { exampleSettings, wantedAtOnce } from './example-settings.ts'
import { type RecordedLog, recordedLog } from './recorded-log.ts'

export interface OpenDoor {
  readonly url: string
  readonly ports: Ports
  readonly log: RecordedLog
  close(): Promise<void>
}

export interface DoorOptions {
  /** Keys of the settings file. */
  readonly settings?: Readonly<Record<string, unknown>>
  /** Puts something between the flows and the real store. */
  readonly around?: (store: Store) => Store
  readonly clinic?: ClinicServers
}

/** The real Express application over the real embedded store, on a free port; one source and one subject are known. */
export async function openDoor({
  settings: written,
  around = (store) => store,
  clinic = UNREACHABLE,
}: DoorOptions = {}): Promise<OpenDoor> {
  const folder = await mkdtemp(join(tmpdir(), 'door-'))
  const settings = exampleSettings(written)
  const log = recordedLog()
  const store = await openSqliteStore({
    file: join(folder, 'gateway.db'),
    ...wantedAtOnce(settings.destinations),
    inThread: true,
  })
  const ports: Ports = {
    store: around(store),
    clinic,
    receivers: {
      send: () => Promise.resolve({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }),
      resting: () => [],
    },
    catalogue: loadCatalogue(settings),
    clock: { now: () => NOW },
    random: () => 0,
    log,
    policy: {
      graceMs: 43_200_000,
      delivery: settings.delivery,
      attention: attentionLimits(settings.attention),
    },
  }
  await registerExamples(store)
  const listening = await listenHttp(
    createApp(ports, settings, signingKeysIn(settings.signingKeysFolder, ports)),
    settings,
  )
  return {
    url: listening.url,
    ports,
    log,
    async close() {
      await listening.close()
      await store.close()
      await rm(folder, { recursive: true })
    },
  }
}

const UNREACHABLE: ClinicServers = {
  ask: () => Promise.resolve({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }),
  resting: () => [],
}

/** 2026-03-20T12:00:00Z, the time by which everything here happens. */
const NOW = Date.UTC(2026, 2, 20, 12)

async function registerExamples(store: Store): Promise<void> {
  const audit = {
    at: '2026-03-01T00:00:00Z',
    actor: 'operator',
    about: '',
    outcome: 'done',
    detail: {},
  } as const
  for (const name of ['harbour-app', 'meadow-app']) {
    await store.saveSource({ name, title: `App ${name}` }, { ...audit, action: 'source-registered' })
  }
  await store.saveEnrolment(
    {
      source: 'harbour-app',
      subject: 'HW-1042',
      patient: { system: 'https://clinic.example/mrn', value: 'P-77' },
      zone: 'America/Denver',
      destination: 'clinic',
    },
    { ...audit, action: 'enrolment-saved' },
  )
}

/** Everything the store holds but its audit trail, to compare before with after. */
export async function held(store: Store): Promise<unknown> {
  const { auditRows: _, commits: __, ...figures } = await store.figures()
  return {
    figures,
    sources: await store.sources(),
    enrolments: await store.enrolmentPage({ limit: 100 }),
    periods: await store.periodPage({ limit: 100 }),
    deliveries: await store.deliveryPage({ limit: 100 }),
  }
}
