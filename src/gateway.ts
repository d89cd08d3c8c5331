import { randomUUID } from 'node:crypto'
import type { Source } from './core/registry/source.ts'
import { deliverOutbox } from './flow/deliver/deliver-outbox.ts'
import { followArrivals } from './flow/follow/follow-arrivals.ts'
import { resumeRoutes } from './flow/operate/resume-route.ts'
import { closeDuePeriods } from './flow/periods/close-due-periods.ts'
import type { ClinicServers, Clock, Log, Policy, Ports } from './flow/ports/ports.ts'
import { registerSource } from './flow/register/register-source.ts'
import type { Gateway } from './shell/cli/open-gateway.ts'
import { loadCatalogue } from './shell/config/catalogue/load-catalogue.ts'
import { createLog } from './shell/config/logger.ts'
import { refuseUnsafeListening } from './shell/config/reading/refuse-unsafe-listening.ts'
import { warnOfPlainLines } from './shell/config/reading/warn-of-plain-lines.ts'
import { attentionLimits } from './shell/config/settings/attention-settings.ts'
import type { Settings } from './shell/config/settings/settings.ts'
import { smartBackendTokens } from './shell/fhir-server/access/smart-backend-tokens.ts'
import { createClinicServers } from './shell/fhir-server/clinic-servers.ts'
import { createMessageReceivers, type OpenMessageReceivers } from './shell/hl7v2/message-receivers.ts'
import { createApp } from './shell/http/create-app.ts'
import { type Listening, listenHttp } from './shell/http/listen.ts'
import { type Schedule, startSchedule } from './shell/schedule/start-schedule.ts'
import { type SigningKeys, signingKeysIn } from './shell/signing-keys/signing-keys.ts'
import { openSqliteStore } from './shell/store/open-sqlite-store.ts'

/**
 * The one page where real parts are plugged into the flow.
 *
 * @throws SettingsRefused when the settings, or a file they name, cannot be used; StoreFailed when the store cannot be
 *   opened. Nothing listens and no clock runs until asked.
 */
export async function openGateway(settings: Settings): Promise<Gateway> {
  refuseUnsafeListening(settings)
  // Copied, so that mappings are compiled too: a file that cannot be used is refused before anything is opened.
  const catalogue = { ...loadCatalogue(settings) }
  const log = createLog(settings)
  const wanting = (what: 'readings' | 'attention') =>
    new Set(settings.destinations.filter((one) => one[what] === 'at-once').map(({ name }) => name))
  const store = await openSqliteStore({
    file: settings.store.file,
    readingsAtOnce: wanting('readings'),
    attentionAtOnce: wanting('attention'),
    claimsFreeMs: Date.now() + settings.delivery.quietMs,
    log,
  })
  const clock = { now: Date.now }
  const receivers = messageReceiversOf(settings, clock, log)
  const signingKeys = signingKeysIn(settings.signingKeysFolder, { clock, log })
  const ports: Ports = {
    store,
    clinic: clinicServersOf(settings, signingKeys, clock, log),
    receivers,
    catalogue,
    clock,
    random: Math.random,
    log,
    policy: policyOf(settings),
  }
  await registerNew(settings.sources, ports)

  const app = createApp(ports, settings, signingKeys)
  let door: Listening | undefined
  let schedule: Schedule | undefined
  let stopping: Promise<void> | undefined
  return {
    ports,
    async listen() {
      // A key file that must not be used is told now, not when a token is first asked for.
      await signingKeys.published()
      door ??= await listenHttp(app, settings)
      return door
    },
    async startSchedule() {
      if (schedule !== undefined) return
      warnOfPlainLines(settings.destinations, log)
      await resumeRoutes('gateway', ports)
      schedule = startSchedule(
        {
          followArrivals: { cron: settings.schedule.followArrivals, run: () => followArrivals(ports) },
          closeDuePeriods: { cron: settings.schedule.closePeriods, run: () => closeDuePeriods(ports) },
          deliverOutbox: {
            cron: settings.schedule.deliver,
            run: (stopping) => deliverOutbox(ports, stopping),
          },
          forgetAnswers: { cron: settings.schedule.forgetAnswers, run: forgetAnswers },
        },
        log,
      )
    },
    stop() {
      stopping ??= stopAll()
      return stopping
    },
  }

  /** What clinics said about deliveries, once it is older than it is to be kept. */
  function forgetAnswers(): Promise<number> {
    return store.forgetSaid(clock.now() - settings.retention.clinicAnswersDays * MS_PER_DAY)
  }

  async function stopAll(): Promise<void> {
    await schedule?.stop()
    await door?.close()
    receivers.close()
    await store.close()
  }
}

const MS_PER_DAY = 86_400_000

function clinicServersOf(
  settings: Settings,
  signingKeys: SigningKeys,
  clock: Clock,
  log: Log,
): ClinicServers {
  const { timeoutMs, connectTimeoutMs, answerBytes, longestRetryAfterMs } = settings.delivery
  const limits = { clock, log, timeoutMs, connectTimeoutMs, longestRetryAfterMs }
  return createClinicServers({
    ...limits,
    ...restOf(settings),
    maxAnswerBytes: answerBytes,
    newRequestId: randomUUID,
    tokens: smartBackendTokens({ ...limits, signingKeys, newAssertionId: randomUUID }),
  })
}

/** Waiting for a turn, connecting and waiting for an answer take two time-outs together, as a request may. */
function messageReceiversOf(settings: Settings, clock: Clock, log: Log): OpenMessageReceivers {
  const { timeoutMs, connectTimeoutMs } = settings.delivery
  return createMessageReceivers({
    clock,
    log,
    connectMs: connectTimeoutMs,
    answerMs: timeoutMs,
    turnMs: timeoutMs - connectTimeoutMs,
    ...restOf(settings),
  })
}

function restOf({ delivery: { failuresBeforeRest, restMs } }: Settings) {
  return { failuresBeforeRest, restMs }
}

/** Registers the sources of the settings that are not known yet, or under another title. */
async function registerNew(sources: readonly Source[], ports: Ports): Promise<void> {
  const titles = new Map((await ports.store.sources()).map(({ name, title }) => [name, title]))
  for (const source of sources) {
    if (titles.get(source.name) !== source.title) await registerSource(source, 'settings', ports)
  }
}

function policyOf({ schedule, delivery, attention }: Settings): Policy {
  return { graceMs: schedule.graceHours * 3_600_000, delivery, attention: attentionLimits(attention) }
}
