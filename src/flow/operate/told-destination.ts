import { instantOf } from '../../core/basics/instant.ts'
import { chooseRung } from '../../core/exchange/route/ladder.ts'
import { type Route, unknownRoute } from '../../core/exchange/route/route.ts'
import type { OutboxState } from '../../core/outbox/entry.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Rung } from '../../core/registry/rung.ts'
import type { DestinationSummary, Ports } from '../ports/ports.ts'
import { type ToldProblem, toldProblem, toldProblemOf } from './told-delivery.ts'

/** A destination as operators read it: how it is served and why, what is on its way, and what stands in the way. */
export interface ToldDestination {
  readonly name: string
  /** Absent where it is in the settings no more, and something is queued for it still. */
  readonly kind?: Destination['kind']
  /** Whether it is left alone just now, because one request after the other failed. */
  readonly resting: boolean
  /** Nothing is sent until an operator resumes it. */
  readonly stopped?: ToldProblem & { readonly since: string }
  /** How a FHIR destination is served. */
  readonly route?: ToldRoute
  /** Why what waits longest was put off last; absent when nothing that waits was tried. */
  readonly problem?: ToldProblem
  readonly entries: Readonly<Record<OutboxState, number>>
  /** How many of those that wait are behind another of their patient, which goes first or is parked; absent for none. */
  readonly behind?: number
  /** When the first of the others that wait is due; absent where nothing is sent, or nothing is next. */
  readonly next?: string
  /** What is parked or given up, by why; most first. */
  readonly stuck: readonly ToldStuck[]
  /** When the oldest entry that is not settled was queued, and how long ago. */
  readonly oldest?: { readonly queued: string; readonly seconds: number }
}

/** Some that wait for a person, and what that person can do. */
export interface ToldStuck extends ToldProblem {
  readonly state: OutboxState
  readonly entries: number
}

export interface ToldRoute {
  readonly rung?: Rung
  /** One sentence for each rung passed over, and one for the chosen. */
  readonly because: readonly string[]
  /** When the server was last asked what it can do; absent when it never was, or never answered. */
  readonly learnt?: string
  readonly used: readonly Rung[]
}

/** Every destination of the settings, in their order; then those that are in them no more, and are not done. */
export async function toldDestinations(at: Ports): Promise<readonly ToldDestination[]> {
  const [summaries, routes] = await Promise.all([at.store.deliverySummary(), at.store.routes()])
  const queued = new Map(summaries.map((one) => [one.destination, one]))
  const known = new Map(routes.map((one) => [one.destination, one]))
  const resting = new Set([...at.clinic.resting(), ...at.receivers.resting()])
  const told = [...at.catalogue.destinations.values()].map(async (destination): Promise<ToldDestination> => {
    const { name, kind } = destination
    const route = known.get(name) ?? unknownRoute(name)
    const problem = await lastProblem(name, at)
    return {
      name,
      kind,
      resting: resting.has(name),
      ...(route.stopped === undefined
        ? {}
        : {
            stopped: { ...toldProblem(route.stopped.problem), since: instantOf(route.stopped.sinceMs).text },
          }),
      ...(destination.kind === 'fhir' ? { route: toldRoute(route, destination.rung) } : {}),
      ...(problem === undefined ? {} : { problem }),
      ...(await ahead(name, route, at)),
      ...counted(queued.get(name), at.clock.now()),
    }
  })
  const gone = summaries.filter(
    ({ destination, oldestQueuedMs }) =>
      oldestQueuedMs !== undefined && !at.catalogue.destinations.has(destination),
  )
  return Promise.all([...told, ...gone.map((summary) => toldGone(summary, at))])
}

/** Nothing goes on for it by itself: what is due is given up. */
async function toldGone(summary: DestinationSummary, at: Ports): Promise<ToldDestination> {
  const { destination: name } = summary
  const { next: _, ...stuck } = await ahead(name, unknownRoute(name), at)
  return {
    name,
    resting: false,
    problem: toldProblem('UNKNOWN_DESTINATION'),
    ...stuck,
    ...counted(summary, at.clock.now()),
  }
}

async function ahead(
  destination: string,
  { stopped }: Route,
  { store }: Ports,
): Promise<Pick<ToldDestination, 'behind' | 'next' | 'stuck'>> {
  const { behind, dueMs, stuck } = await store.deliveryOutlook(destination)
  return {
    ...(behind === 0 ? {} : { behind }),
    ...(dueMs === undefined || stopped !== undefined ? {} : { next: instantOf(dueMs).text }),
    stuck: stuck.map(({ state, problem, entries }) => ({
      state,
      entries,
      ...toldProblemOf(problem, state),
    })),
  }
}

/** What waits longest is tried first, but for what is behind another of its patient. */
const LOOKED_AT = 20

async function lastProblem(destination: string, { store }: Ports): Promise<ToldProblem | undefined> {
  const waiting = await store.deliveryPage({ limit: LOOKED_AT, destination, state: 'waiting' })
  const problems = waiting.flatMap(({ lastProblem }) => lastProblem ?? [])
  // That it is left alone says less than what it was left alone for.
  const problem = problems.find((one) => one !== 'CLINIC_RESTING') ?? problems[0]
  return problem === undefined ? undefined : toldProblem(problem)
}

function toldRoute(route: Route, operatorSays: Rung | undefined): ToldRoute {
  const { rung, because } = chooseRung(route, operatorSays)
  return {
    ...(rung === undefined ? {} : { rung }),
    because,
    ...(route.learntMs === undefined ? {} : { learnt: instantOf(route.learntMs).text }),
    used: route.used,
  }
}

function counted(
  summary: DestinationSummary | undefined,
  nowMs: number,
): Pick<ToldDestination, 'entries' | 'oldest'> {
  if (summary === undefined) return { entries: NOTHING }
  const { entries, oldestQueuedMs } = summary
  if (oldestQueuedMs === undefined) return { entries }
  const seconds = Math.max(0, Math.floor((nowMs - oldestQueuedMs) / 1000))
  return { entries, oldest: { queued: instantOf(oldestQueuedMs).text, seconds } }
}

const NOTHING: ToldDestination['entries'] = { waiting: 0, claimed: 0, settled: 0, parked: 0, 'given-up': 0 }
