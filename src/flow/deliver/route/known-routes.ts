import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { SentType } from '../../../core/exchange/route/abilities.ts'
import { chooseRung } from '../../../core/exchange/route/ladder.ts'
import { type Route, unknownRoute } from '../../../core/exchange/route/route.ts'
import type { FhirDestination, MessageDestination } from '../../../core/registry/destination.ts'
import type { Rung } from '../../../core/registry/rung.ts'
import type { Ports } from '../../ports/ports.ts'
import type { Ending } from '../errand/course.ts'
import { chosenRoute } from './chosen-route.ts'
import { learnRoute } from './learn-route.ts'
import { stoppedRoute } from './stop-route.ts'
import { keptOfTransactions, type TransactionsSeen } from './transactions-seen.ts'

/** How long a server that does not say what it can do is left alone with the question. Common practice. */
const ASKED_AGAIN_MS = 60_000

/**
 * The ways to the destinations as a round knows them: read once, changed in memory and in the store together, and learnt
 * once however many deliveries set out at the same time.
 */
export class KnownRoutes {
  readonly #at: Ports
  #routes: Map<string, Route>
  readonly #learning = new Map<string, Promise<Ending | undefined>>()
  /** When destinations were asked that did not answer everything, epoch ms: they are left alone with it for a while. */
  readonly #asked = new Map<string, number>()
  /** Counts what was changed here, so that an older reading of the store does not undo it. */
  #changes = 0
  /** Rungs first used in this round, and those of them on which nothing is known to have been written yet. */
  readonly #unproven = new Set<string>()

  static async open(at: Ports): Promise<KnownRoutes> {
    return new KnownRoutes(at, await at.store.routes())
  }

  private constructor(at: Ports, routes: readonly Route[]) {
    this.#at = at
    this.#routes = byDestination(routes)
  }

  /** Reads what others changed meanwhile: a route that an operator resumed, say, while a long round goes on. */
  async refresh(): Promise<void> {
    const changes = this.#changes
    const routes = await this.#at.store.routes()
    if (changes === this.#changes) this.#routes = byDestination(routes)
  }

  get(destination: string): Route {
    return this.#routes.get(destination) ?? unknownRoute(destination)
  }

  /** Names of the destinations that nothing is sent to. */
  stopped(): readonly string[] {
    return [...this.#routes.values()].filter((one) => one.stopped !== undefined).map((one) => one.destination)
  }

  /**
   * Makes sure that it is known what a destination's server can do, as far as it answers. An ending when it never did and
   * does not now, or when the name stands for another address than before.
   *
   * @throws NothingSent when the server cannot be reached and nothing is known of it.
   */
  async learn(destination: FhirDestination): Promise<Ending | undefined> {
    const { name } = destination
    const moved = await this.#moved(name, destination.baseUrl)
    if (moved !== undefined) return moved
    const { learntMs } = this.get(name)
    const { routeMs } = this.#at.policy.delivery
    if (this.#wasAsked(name)) return undefined
    if (learntMs !== undefined && this.#at.clock.now() - learntMs < routeMs) return undefined
    let learning = this.#learning.get(name)
    if (learning === undefined) {
      learning = this.#learnOnce(destination).finally(() => this.#learning.delete(name))
      this.#learning.set(name, learning)
    }
    return learning
  }

  /**
   * Remembers where a receiver is, of which nothing else is to be learnt. An ending when its name stands for another
   * address than before: what a receiver acknowledged says nothing of another one, nor of a FHIR server.
   */
  async meet({ name, host, port }: MessageDestination): Promise<Ending | undefined> {
    const address = `mllp://${host}:${port}`
    const moved = await this.#moved(name, address)
    if (moved !== undefined) return moved
    const route = this.get(name)
    if (route.address === undefined) await this.#save({ ...route, address })
    return undefined
  }

  async #moved(name: string, address: string): Promise<Ending | undefined> {
    const before = this.get(name).address
    if (before === undefined || before === address) return undefined
    await this.stop(name, 'DESTINATION_MOVED')
    return { kind: 'stop', problem: 'DESTINATION_MOVED' }
  }

  /** Asks again although it is known: once, for a destination where no rung is left. Whether it was asked. */
  async learnAgain(destination: FhirDestination): Promise<boolean> {
    const { name } = destination
    if (this.#wasAsked(name)) return false
    const { learntMs: _, ...rest } = this.get(name)
    this.#set(rest)
    const ending = await this.learn(destination)
    this.#asked.set(name, this.#at.clock.now())
    return ending === undefined
  }

  /** Remembers, before anything is written on a rung, that it was used. */
  async use(destination: string, rung: Rung): Promise<void> {
    const route = this.get(destination)
    if (route.used.includes(rung)) return
    this.#unproven.add(placeOf(destination, rung))
    await this.#save({ ...route, used: [...route.used, rung] })
  }

  /** Something was, or may have been, written on a rung. */
  async wrote(destination: string, rung: Rung): Promise<void> {
    this.#unproven.delete(placeOf(destination, rung))
    const route = this.get(destination)
    if (!route.used.includes(rung)) await this.#save({ ...route, used: [...route.used, rung] })
  }

  /**
   * Remembers that a rung does not work here. One that was tried for the first time and never wrote anything was not
   * used after all.
   */
  async ruleOut(destination: FhirDestination, rung: Rung, problem: ErrorCode): Promise<void> {
    const { name } = destination
    const route = this.get(name)
    if (route.ruledOut.some((one) => one.rung === rung)) return
    const neverWrote = this.#unproven.has(placeOf(name, rung))
    const next = {
      ...route,
      ruledOut: [...route.ruledOut, { rung, problem, atMs: this.#at.clock.now() }],
      used: neverWrote ? route.used.filter((one) => one !== rung) : route.used,
    }
    await this.#choose(route, next, destination, problem)
  }

  /** Remembers what a server's transactions were seen to do; what harms is told as an error. */
  async sawTransactions(destination: FhirDestination, { change, told }: TransactionsSeen): Promise<void> {
    const { name } = destination
    const route = this.get(name)
    const next = { ...route, ...change }
    if (told === undefined) return this.#save(next)
    const { event, problem, place } = told
    this.#at.log.error(event, { destination: name, problem })
    await this.#tellChoice(route, next, destination, { problem, ...place })
  }

  /** Remembers that a type was answered as not offered, or, without a word, that one was taken. */
  async declined(destination: string, type: SentType, times?: 'once' | 'again'): Promise<void> {
    const route = this.get(destination)
    if (route.declined?.[type] === times) return
    const { [type]: _, ...others } = route.declined ?? {}
    await this.#save({ ...route, declined: times === undefined ? others : { ...others, [type]: times } })
  }

  /** Nothing more is sent there until an operator resumes it. */
  async stop(destination: string, problem: ErrorCode): Promise<void> {
    const route = this.get(destination)
    if (route.stopped !== undefined) return
    const { route: stopped, audit } = stoppedRoute(route, problem, this.#at.clock.now())
    this.#set(stopped)
    await this.#at.store.saveRoute(stopped, audit)
    this.#at.log.error('route-stopped', { destination, problem })
  }

  async #learnOnce(destination: FhirDestination): Promise<Ending | undefined> {
    const before = this.get(destination.name)
    const learnt = await learnRoute(before, destination, this.#at)
    if (learnt.kind !== 'learnt') {
      if (before.learntMs === undefined && before.abilities === undefined) return learnt
      this.#asked.set(destination.name, this.#at.clock.now())
      return undefined
    }
    // What others learnt meanwhile by writing stands beside what the server says.
    const now = this.get(destination.name)
    const { conditions: __, references: ___, ...told } = learnt.route
    const next = {
      ...told,
      used: now.used,
      ...keptOfTransactions(now),
      ...(now.stopped === undefined ? {} : { stopped: now.stopped }),
    }
    if (!learnt.whole) this.#asked.set(destination.name, this.#at.clock.now())
    const { learntMs: _, ...partly } = next
    await this.#choose(before, learnt.whole ? next : partly, destination)
    return undefined
  }

  /** Saves a route; with an audit row where another rung is chosen by it than before. */
  async #choose(
    before: Route,
    next: Route,
    destination: FhirDestination,
    problem?: ErrorCode,
  ): Promise<void> {
    const isChanged = chosenBefore(before, destination) !== chooseRung(next, destination.rung).rung
    if (isKnown(before) && !isChanged) return this.#save(next)
    await this.#tellChoice(before, next, destination, problem === undefined ? {} : { problem })
  }

  async #tellChoice(
    before: Route,
    next: Route,
    destination: FhirDestination,
    because: Readonly<Record<string, string>>,
  ): Promise<void> {
    const from = chosenBefore(before, destination)
    const to = chooseRung(next, destination.rung).rung
    this.#set(next)
    const audit = chosenRoute(next.destination, from, to, because, this.#at.clock.now())
    await this.#at.store.saveRoute(next, audit)
    this.#at.log.info('route-chosen', { destination: next.destination, rung: to ?? 'none' })
  }

  async #save(route: Route): Promise<void> {
    this.#set(route)
    await this.#at.store.saveRoute(route)
  }

  #set(route: Route): void {
    this.#changes += 1
    this.#routes.set(route.destination, route)
  }

  #wasAsked(destination: string): boolean {
    const askedMs = this.#asked.get(destination)
    return askedMs !== undefined && this.#at.clock.now() - askedMs < ASKED_AGAIN_MS
  }
}

function isKnown({ learntMs, abilities }: Route): boolean {
  return learntMs !== undefined || abilities !== undefined
}

function chosenBefore(before: Route, { rung }: FhirDestination): Rung | undefined {
  return isKnown(before) ? chooseRung(before, rung).rung : undefined
}

function placeOf(destination: string, rung: Rung): string {
  return `${destination}/${rung}`
}

function byDestination(routes: readonly Route[]): Map<string, Route> {
  return new Map(routes.map((route) => [route.destination, route]))
}
