import { type Delivered, deliverOutbox } from '../../../flow/deliver/deliver-outbox.ts'
import { startAnew } from '../../../flow/operate/resume-route.ts'
import { closeDuePeriods } from '../../../flow/periods/close-due-periods.ts'
import { issueKey } from '../../../flow/register/access-keys.ts'
import { readSettings } from '../../config/reading/read-settings.ts'
import type { Settings } from '../../config/settings/settings.ts'
import type { Gateway, OpenGateway } from '../open-gateway.ts'
import { type AverageInRecord, averagesInRecord, type ClinicCounts, clinicCounts } from './clinic-record.ts'
import { DemoFailed, type GatewayClient, gatewayClient } from './gateway-client.ts'
import { type Person, readScenario, type Scenario, sessionsOf } from './scenario.ts'

/** One thing the demo did, as it did it. */
export type DemoStep =
  | { readonly step: 'started'; readonly gateway: string; readonly clinic: string }
  | {
      readonly step: 'registered'
      readonly source: string
      readonly people: number
      readonly periodsOpened: number
    }
  | {
      readonly step: 'submitted'
      readonly round: number
      readonly subject: string
      readonly kept: number
      readonly same: number
      /** UUIDs the gateway acknowledged. */
      readonly sessions: readonly string[]
    }
  | ({ readonly step: 'scheduled'; readonly round: number; readonly closed: number } & Delivered)
  | { readonly step: 'counted'; readonly round: number; readonly clinic: ClinicCounts }
  | { readonly step: 'read back'; readonly averages: readonly AverageInRecord[] }

export interface DemoOptions {
  /** Folder of the gateway's store. */
  readonly folder: string
  /** Base URL of the clinic's FHIR server. */
  readonly clinic: string
  readonly openGateway: OpenGateway
  readonly tell: (step: DemoStep) => void
}

/** The whole journey is made this often; every round after the first must change nothing at the clinic. */
const ROUNDS = 2

/**
 * The whole job on the samples, over HTTP as an integrator would: register, enrol, open periods, submit, close what is
 * due, deliver, and read the averages back from the clinic's server. Every step may be repeated after a crash.
 */
export async function runDemo({ folder, clinic, openGateway, tell }: DemoOptions): Promise<void> {
  const scenario = readScenario()
  const settings = demoSettings(scenario, folder, clinic)
  const gateway = await openGateway(settings)
  try {
    await forgetEarlierClinic(scenario.destination.name, clinic, gateway)
    const { url } = await gateway.listen()
    tell({ step: 'started', gateway: url, clinic })
    const operator = gatewayClient(url, await operatorKey(gateway))
    const app = await register(scenario, operator, url, tell)
    for (let round = 1; round <= ROUNDS; round += 1) {
      await submit(scenario, app, round, tell)
      const closed = await closeDuePeriods(gateway.ports)
      tell({ step: 'scheduled', round, closed, ...(await deliverOutbox(gateway.ports)) })
      tell({ step: 'counted', round, clinic: await clinicCounts(clinic) })
    }
    tell({ step: 'read back', averages: await averagesInRecord(clinic, settings.canonicalBase) })
  } finally {
    await gateway.stop()
  }
}

/** The clinic of an earlier demo on the same data is gone, unless this one has its address. */
async function forgetEarlierClinic(destination: string, clinic: string, { ports }: Gateway): Promise<void> {
  const route = await ports.store.route(destination)
  if (route !== undefined && route.address !== clinic) await startAnew(route, 'operator', ports)
}

function demoSettings({ destination }: Scenario, folder: string, clinic: string): Settings {
  const destinations = [{ ...destination, baseUrl: clinic }]
  const settings = readSettings(undefined, { HOME_BP_DESTINATIONS: JSON.stringify(destinations) })
  return {
    ...settings,
    listen: { ...settings.listen, port: 0 },
    store: { file: `${folder}/gateway.db` },
    access: 'keys',
    // The clinic runs on this machine: what a killed demo asked of it is done or never will be.
    delivery: { ...settings.delivery, quietMs: 0 },
    log: { level: 'error' },
  }
}

async function operatorKey({ ports }: Gateway): Promise<string> {
  const issued = await issueKey({ role: 'operate' }, 'operator', ports)
  if (!issued.ok) throw new DemoFailed(`no operator key: ${issued.issues[0].code}`)
  return issued.value.key
}

/** Registers the home app, enrols its people and opens their periods. Returns the app's own client. */
async function register(
  { source, destination, people }: Scenario,
  operator: GatewayClient,
  url: string,
  tell: DemoOptions['tell'],
): Promise<GatewayClient> {
  await operator.send('POST', '/sources', source)
  const { body } = await operator.send('POST', `/sources/${source.name}/keys`, {})
  const { key } = body as { readonly key: string }
  let periodsOpened = 0
  for (const person of people) {
    const { patient, zone, armCircumferenceCm } = person
    await operator.send('PUT', `/enrolments/${source.name}/${encodeURIComponent(person.subject)}`, {
      patient,
      zone,
      destination: destination.name,
      armCircumferenceCm,
    })
    if (await openPeriod(person, source.name, operator)) periodsOpened += 1
  }
  tell({ step: 'registered', source: source.name, people: people.length, periodsOpened })
  return gatewayClient(url, key)
}

async function openPeriod(person: Person, source: string, operator: GatewayClient): Promise<boolean> {
  const { subject, protocol, firstDay, days, arm } = person
  const { isNew } = await operator.send('POST', '/periods', {
    source,
    subject,
    protocol,
    firstDay,
    days,
    arm,
  })
  return isNew
}

async function submit(
  scenario: Scenario,
  app: GatewayClient,
  round: number,
  tell: DemoOptions['tell'],
): Promise<void> {
  for (const person of scenario.people) {
    const answers = await app.stream('/sessions', sessionsOf(person))
    const refused = answers.filter(({ outcome }) => outcome === 'refused').length
    if (refused > 0) throw new DemoFailed(`${refused} sample sessions were refused`)
    const sessions = answers.flatMap(({ session }) => (typeof session === 'string' ? [session] : []))
    const kept = answers.filter(({ outcome }) => outcome === 'kept').length
    tell({ step: 'submitted', round, subject: person.subject, kept, same: sessions.length - kept, sessions })
  }
}
