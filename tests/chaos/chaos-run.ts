import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type SeededRandom, seededRandom } from '../../samples/generator/seeded-random.ts'
import type { Rung } from '../../src/core/registry/rung.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { pause } from '../support/hostile-clinic/clinic-context.ts'
import { REQUEST_KINDS } from '../support/hostile-clinic/clinic-request.ts'
import { type StartedClinic, startHostileClinic } from '../support/hostile-clinic/start-hostile-clinic.ts'
import { type ActedPerson, actAsPerson } from './act-as-person.ts'
import { chaosFaults } from './chaos-faults.ts'
import { chaosPlan, type PlannedPerson } from './chaos-plan.ts'
import { chaosSettings, FAULT_SHARE, SERVER_FOR_RUNG, TIMES } from './chaos-settings.ts'
import { personFaults, recordFaults, type ToldDelivery } from './chaos-verdict.ts'
import { GatewayApi } from './gateway-api.ts'
import { GatewayProcess } from './gateway-process.ts'

export interface ChaosOptions {
  readonly seed: number
  /** About so many deliveries are brought about. */
  readonly deliveries: number
  readonly kills: number
  readonly rung: Exclude<Rung, 'create-only'>
  /** What the clinics' servers make of a conditional reference to a patient; resolved when absent. */
  readonly conditionalReference?: ClinicBehaviour['conditionalReference']
  /** The command line that is run; the built one when absent. */
  readonly commandLine?: string
  /** Told how it goes, while it goes. */
  readonly tell?: (text: string) => void
}

/** What happened, in figures, and everything that is not as it must be. */
export interface ChaosFigures {
  readonly people: number
  readonly deliveries: number
  /** Attempts beyond the first of each delivery, as the gateway counts them. */
  readonly retries: number
  readonly kills: number
  readonly averagesIssued: number
  /** Requests at the clinics' servers, by kind. */
  readonly requests: Readonly<Record<string, number>>
  readonly faults: ReadonlyMap<string, number>
  readonly resources: number
  /** Requests to the gateway that were made again because it was gone. */
  readonly sentAgain: number
  readonly errorsLogged: ReadonlyMap<string, number>
  readonly ms: number
  readonly wrong: readonly string[]
}

const PEOPLE_AT_ONCE = 24
/** Milliseconds for which a gateway lives before it is killed: longer than a round of deliveries. */
const LIFE_MS = [400, 1_900] as const
/** How long things still go wrong when nobody does anything any more and nothing is killed. */
const FAULTS_AT_LAST_MS = 8_000
const SETTLED_WITHIN_MS = 120_000
/** Looks a second apart: what came in last is followed within a second or two, and may open a period again. */
const CALM_LOOKS = 4
const STUCK_LOOKS = 15

/** Two clinics, one gateway, and everything that can go wrong between them, until it stops and all must be as it should. */
export async function runChaos(options: ChaosOptions): Promise<ChaosFigures> {
  const start = performance.now()
  const random = seededRandom(options.seed)
  const plan = chaosPlan(options.seed, options.deliveries, CLINICS)
  const folder = mkdtempSync(join(tmpdir(), 'chaos-'))
  const clinics = await Promise.all(CLINICS.map((name, at) => startClinic(name, at, plan, options)))
  const gateway = new GatewayProcess(
    folder,
    chaosSettings(clinics.map(({ baseUrl }, at) => ({ name: CLINICS[at] ?? '', baseUrl }))),
    options.commandLine,
  )
  const api = new GatewayApi(gateway)
  try {
    await gateway.start()
    const { tell = () => undefined } = options
    const pace = new Pace(plan.length, options.kills)
    const [people] = await Promise.all([
      actAll(plan, api, pace, options.seed),
      killAgainAndAgain(gateway, options.kills, pace, random, tell),
    ])
    tell(`${people.length} people have done what they do`)
    await atRest(api, 1, FAULTS_AT_LAST_MS, tell)
    for (const { clinic } of clinics) clinic.faults.stop()
    const deliveries = await atRest(api, CALM_LOOKS, SETTLED_WITHIN_MS, tell)
    const wrong = await everythingWrong(people, deliveries, clinics, api)
    return {
      ...figures(people, deliveries, clinics, gateway, options),
      sentAgain: api.again,
      wrong,
      ms: performance.now() - start,
    }
  } finally {
    await gateway.kill()
    await Promise.all(clinics.map((one) => one.close()))
    rmSync(folder, { recursive: true, force: true })
  }
}

const CLINICS: readonly string[] = ['north-clinic', 'south-clinic']

async function startClinic(
  name: string,
  at: number,
  plan: readonly PlannedPerson[],
  { rung, seed, conditionalReference = 'resolved' }: ChaosOptions,
): Promise<StartedClinic> {
  const started = await startHostileClinic({
    patients: plan.filter(({ destination }) => destination === name).map(({ patient }) => patient),
    // Most servers look first and insert later.
    behaviour: { ...SERVER_FOR_RUNG[rung], raceMs: 10, conditionalReference },
    remembersBodies: false,
  })
  const everything = REQUEST_KINDS.filter((kind) => kind !== 'statement' && kind !== 'probe')
  started.clinic.faults.atRandom(
    seededRandom(seed * 1_000 + at).next,
    chaosFaults(FAULT_SHARE[rung], TIMES),
    everything,
  )
  return started
}

/** Keeps acting and killing side by side: people wait until so many kills have happened, so that each kill hits work. */
class Pace {
  #kills = 0
  readonly #people: number
  readonly #wanted: number

  constructor(people: number, kills: number) {
    this.#people = people
    this.#wanted = kills
  }

  killed(): void {
    this.#kills += 1
  }

  async turnOf(person: number): Promise<void> {
    const after = Math.floor((person / this.#people) * this.#wanted * 0.95)
    while (this.#kills < after) await pause(20)
  }
}

async function actAll(
  plan: readonly PlannedPerson[],
  api: GatewayApi,
  pace: Pace,
  seed: number,
): Promise<readonly ActedPerson[]> {
  const acted: ActedPerson[] = []
  const rest = [...plan.entries()]
  const act = async () => {
    for (let next = rest.shift(); next !== undefined; next = rest.shift()) {
      const [at, person] = next
      await pace.turnOf(at)
      acted.push(await actAsPerson(person, api, seededRandom(seed * 10_000 + at)))
    }
  }
  await Promise.all(Array.from({ length: PEOPLE_AT_ONCE }, act))
  return acted
}

async function killAgainAndAgain(
  gateway: GatewayProcess,
  kills: number,
  pace: Pace,
  random: SeededRandom,
  tell: (text: string) => void,
): Promise<void> {
  for (let count = 0; count < kills; count += 1) {
    await pause(random.whole(...LIFE_MS))
    await gateway.kill()
    pace.killed()
    await gateway.start()
    tell(`killed ${count + 1} of ${kills}`)
  }
}

/**
 * Waits until nothing is left to be done, every closed period averaged again where it must be and every entry at rest, for
 * so many looks in a row; or no longer.
 */
async function atRest(
  api: GatewayApi,
  looks: number,
  withinMs: number,
  tell: (text: string) => void,
): Promise<readonly ToldDelivery[]> {
  const until = performance.now() + withinMs
  let calm = 0
  let before = ''
  let stuck = 0
  for (;;) {
    await pause(1_000)
    const deliveries = (await api.all('/deliveries')) as readonly ToldDelivery[]
    const open = deliveries.filter(({ state }) => state === 'waiting' || state === 'claimed').length
    const periods = (await api.all('/periods')) as readonly { readonly state: string }[]
    tell(`${open} of ${deliveries.length} deliveries are open`)
    const isCalm = open === 0 && periods.every(({ state }) => state === 'closed')
    calm = isCalm ? calm + 1 : 0
    // What is behind something that was parked does not move any more.
    const now = deliveries.map(({ id, state, attempts }) => `${id} ${state} ${attempts}`).join()
    stuck = !isCalm && now === before ? stuck + 1 : 0
    before = now
    if (calm === looks || stuck === STUCK_LOOKS || performance.now() > until) return deliveries
  }
}

async function everythingWrong(
  people: readonly ActedPerson[],
  deliveries: readonly ToldDelivery[],
  clinics: readonly StartedClinic[],
  api: GatewayApi,
): Promise<readonly string[]> {
  const unsettled = deliveries
    .filter(({ state }) => state !== 'settled')
    .map(({ id, state, kind, problem }) => `delivery ${id} (${kind}) is ${state}: ${problem?.code ?? ''}`)
  const wrong: string[] = [...unsettled, ...clinics.flatMap(({ clinic }) => recordFaults(clinic))]
  for (const person of people) {
    const { subject, destination } = person.planned
    const clinic = clinics[CLINICS.indexOf(destination)]?.clinic
    if (clinic === undefined) throw new Error('everybody has a clinic')
    const own = deliveries.filter((one) => one.subject === subject)
    wrong.push(...(await personFaults(person, own, clinic, api)))
  }
  return wrong
}

function figures(
  people: readonly ActedPerson[],
  deliveries: readonly ToldDelivery[],
  clinics: readonly StartedClinic[],
  gateway: GatewayProcess,
  { kills }: ChaosOptions,
): Omit<ChaosFigures, 'sentAgain' | 'wrong' | 'ms'> {
  const faults = new Map<string, number>()
  const requests: Record<string, number> = {}
  for (const { clinic } of clinics) {
    for (const [name, count] of clinic.faultCounts()) faults.set(name, (faults.get(name) ?? 0) + count)
    for (const { kind } of clinic.requests) requests[kind] = (requests[kind] ?? 0) + 1
  }
  return {
    people: people.length,
    deliveries: deliveries.length,
    retries: deliveries.reduce((sum, { attempts }) => sum + Math.max(0, attempts - 1), 0),
    kills,
    averagesIssued: deliveries.filter(({ kind }) => kind === 'average').length,
    requests,
    faults,
    resources: clinics.reduce(
      (sum, { clinic }) =>
        sum +
        ['Device', 'Observation', 'Provenance'].reduce((all, type) => all + clinic.kept.all(type).length, 0),
      0,
    ),
    errorsLogged: gateway.errors,
  }
}
