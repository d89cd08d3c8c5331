import type { Bundle } from 'fhir/r4.js'
import type { ErrorCode } from '../../core/basics/error-codes.ts'
import type { SentType } from '../../core/exchange/route/abilities.ts'
import { chooseRung } from '../../core/exchange/route/ladder.ts'
import { type Route, unknownRoute } from '../../core/exchange/route/route.ts'
import type { OutboxEntry } from '../../core/outbox/entry.ts'
import type { Destination, FhirDestination } from '../../core/registry/destination.ts'
import type { Rung } from '../../core/registry/rung.ts'
import { messagesOf } from '../deliver/courses/message.ts'
import { NothingSent } from '../deliver/errand/attempt-broken-off.ts'
import { sendableResources } from '../deliver/looks/sendable-resources.ts'
import { learnRoute } from '../deliver/route/learn-route.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports } from '../ports/ports.ts'
import { renderEntry } from '../render/render-entry.ts'
import type { RenderedDelivery } from '../render/rendered-delivery.ts'
import { previewedDifferences } from './previewed-differences.ts'
import { type ToldProblem, toldProblem } from './told-delivery.ts'

/** What would be sent if a delivery were tried now. Speaks of a patient: for operators alone. */
export interface DeliveryPreview {
  readonly id: number
  readonly destination: string
  readonly kind?: Destination['kind']
  /** Why nothing would be sent. */
  readonly instead?: ToldProblem
  /** What a FHIR server would be sent: in one transaction, or its resources one after the other in their order. */
  readonly bundle?: Bundle
  /** How a FHIR server would be served; no rung where none could work. */
  readonly way?: PreviewedWay
  /**
   * What an HL7 v2 receiver would be sent, its segments ended by CR: one message, or two where results are taken back
   * first.
   */
  readonly message?: string
}

export interface PreviewedWay {
  readonly rung?: Rung
  /** One sentence for each rung passed over, and one for the chosen. */
  readonly because: readonly string[]
  /** Resources that the server cannot be given; they are referred to by their identifiers. */
  readonly leftOut: readonly { readonly type: SentType; readonly uuid: string }[]
  /** Where what is sent differs from the bundle, one sentence each; none where it leaves byte for byte. */
  readonly differs: readonly string[]
  /** Set when the server could not be asked what it can do, so that this rests on what was known before. */
  readonly unreached?: ToldProblem
}

/**
 * What would be sent now, and how, without sending or keeping anything: the server is asked at most what it can do.
 * Undefined when there is no such delivery.
 */
export async function previewDelivery(id: number, at: Ports): Promise<DeliveryPreview | undefined> {
  const entry = await at.store.delivery(id)
  if (entry === undefined) return undefined
  const about = { id, destination: entry.destination }
  const destination = at.catalogue.destinations.get(entry.destination)
  if (destination === undefined) return { ...about, instead: toldProblem('UNKNOWN_DESTINATION') }
  const { kind } = destination
  const rendered = await renderedOrWhyNot(entry, destination, at)
  if (typeof rendered === 'string') return { ...about, kind, instead: toldProblem(rendered) }
  if (rendered === undefined) return { ...about, kind }
  if (destination.kind === 'hl7v2') {
    return { ...about, kind, message: messagesOf(entry, destination, rendered, entry.said).join('') }
  }
  return { ...about, kind, bundle: rendered.bundle, way: await wayOf(entry, destination, rendered, at) }
}

/** Undefined when there is nothing to send, and nothing wrong with that. */
async function renderedOrWhyNot(
  entry: OutboxEntry,
  destination: Destination,
  at: Ports,
): Promise<RenderedDelivery | ErrorCode | undefined> {
  try {
    const rendered = await renderEntry(entry, destination, at)
    if (!('state' in rendered)) return rendered
    return rendered.state === 'settled' ? undefined : rendered.problem
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    return error.code
  }
}

async function wayOf(
  entry: OutboxEntry,
  destination: FhirDestination,
  rendered: RenderedDelivery,
  at: Ports,
): Promise<PreviewedWay> {
  const known = (await at.store.route(destination.name)) ?? unknownRoute(destination.name)
  const { route, unreached } = await learntOrKnown(known, destination, at)
  const { rung, because } = chooseRung(route, destination.rung)
  const { resources, keys } = sendableResources({ rendered, route })
  const sent = new Set(resources.map(({ uuid }) => uuid))
  return {
    ...(rung === undefined ? {} : { rung }),
    because,
    leftOut: [...keys.values()]
      .filter(({ uuid }) => !sent.has(uuid))
      .map(({ type, uuid }) => ({ type, uuid })),
    differs: previewedDifferences(entry, rendered, destination, route, rung),
    ...(unreached === undefined ? {} : { unreached: toldProblem(unreached) }),
  }
}

/** What is known of a route while it is believed, else what the server says now; nothing of it is kept. */
async function learntOrKnown(
  known: Route,
  destination: FhirDestination,
  at: Ports,
): Promise<{ readonly route: Route; readonly unreached?: ErrorCode }> {
  const { learntMs } = known
  if (learntMs !== undefined && at.clock.now() - learntMs < at.policy.delivery.routeMs)
    return { route: known }
  try {
    const learnt = await learnRoute(known, destination, at)
    return learnt.kind === 'learnt' ? { route: learnt.route } : { route: known, unreached: learnt.problem }
  } catch (error) {
    if (!(error instanceof NothingSent)) throw error
    return { route: known, unreached: error.answer.problem }
  }
}
