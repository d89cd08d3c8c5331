import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Route } from '../../../core/exchange/route/route.ts'
import type { DeliveredOf, HeldResource, OutboxEntry } from '../../../core/outbox/entry.ts'
import type {
  Delivery,
  DeliveryFilter,
  DeliveryOutlook,
  DestinationSummary,
  Unheard,
  WaitingSubject,
} from '../../../flow/ports/ports.ts'
import { type RecordingParts, recordedIf } from '../audit/recorded.ts'
import type { Look } from '../connection/look.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import type { Inbox } from '../sittings/inbox.ts'
import type { DeliveryRows } from './delivery-rows.ts'
import { type DeliveringParts, type DeliveryWrite, type Written, writeDelivery } from './delivery-writes.ts'
import type { OutlookRows } from './outlook-rows.ts'
import type { RouteRows } from './route-rows.ts'
import type { UnheardRows } from './unheard-rows.ts'
import type { WaitingRows } from './waiting-rows.ts'
import { writtenHeld } from './written-held.ts'

interface DeliveryParts extends RecordingParts, DeliveringParts {
  readonly audit: RecordingParts['audit']
  readonly sources: SourceNumbers
  readonly inbox: Inbox
  readonly deliveries: DeliveryRows
  readonly outlook: OutlookRows
  readonly unheard: UnheardRows
  readonly routes: RouteRows
  readonly waiting: WaitingRows
}

/** Some twenty milliseconds of putting back. */
const RETRIED_AT_A_TIME = 200

export interface Retried {
  readonly retried: number
  /** The number up to which was looked; absent when there is no more. */
  readonly through?: number
}

/** The calls about what is on its way to clinics, what they hold, and how each is served. */
export function deliveryCalls(parts: DeliveryParts) {
  const {
    database,
    audit,
    sources,
    inbox,
    outbox,
    deliveries,
    outlook,
    unheard,
    said,
    held,
    routes,
    waiting,
  } = parts
  return {
    writeDeliveries(writes: readonly DeliveryWrite[]): readonly Written[] {
      return database.write(() => writes.map((write) => writeDelivery(write, parts)))
    },

    unheard(nowMs: number, limit: number, which: 'all' | 'claimed'): readonly Unheard[] {
      return database.read(() => unheard.find(nowMs, limit, which))
    },

    doubtOpen(destination: string): void {
      database.write(() => void outbox.doubtOpen(destination))
    },

    /** Forgets some of what a destination holds. False when there is nothing more. */
    forgetSomeHeld(destination: string): boolean {
      return database.write(() => held.forgetSome(destination))
    },

    held(
      destination: string,
      of: readonly DeliveredOf[],
      uuids: readonly string[],
    ): ReadonlyMap<string, HeldResource> {
      return database.read(() => held.held(destination, of, uuids))
    },

    queuedCalls(destination: string, session: string): readonly string[] {
      return database.read(() => deliveries.queuedCalls(destination, session))
    },

    delivery(id: number): Delivery | undefined {
      return database.read(() => {
        const entry = deliveries.get(id)
        if (entry === undefined) return undefined
        const words = said.of(id)
        return {
          ...entry,
          ...(words === undefined ? {} : { said: words }),
          ...deliveries.behind(id),
          held: held.broughtBy(entry),
        }
      })
    },

    lookForDeliveries(after: number, limit: number, filter: DeliveryFilter): Look<OutboxEntry, number> {
      return database.read(() => deliveries.look(after, limit, filter))
    },

    deliverySummary(): readonly DestinationSummary[] {
      return database.read(() => deliveries.summary())
    },

    deliveryOutlook(destination: string): DeliveryOutlook {
      return database.read(() => outlook.of(destination))
    },

    /**
     * Puts some of those that are stuck back in the queue, the oldest after a place.
     *
     * @param entry recorded when there is one; absent when it was with those before.
     */
    retrySome(
      which: DeliveryFilter & { readonly id?: number },
      after: number,
      nowMs: number,
      entry: AuditEntry | undefined,
    ): Retried {
      return database.write(() => {
        const looked = which.id !== undefined || which.problem === 'OUTCOME_UNKNOWN'
        const stuck = deliveries.stuck(which, after, RETRIED_AT_A_TIME)
        const retried = outbox.release(stuck, nowMs, looked)
        if (retried > 0 && entry !== undefined) audit.append(entry)
        const through = stuck.length < RETRIED_AT_A_TIME ? undefined : stuck.at(-1)?.id
        return { retried, ...(through === undefined ? {} : { through }) }
      })
    },

    confirmDelivery(id: number, resources: readonly HeldResource[], entry: AuditEntry): boolean {
      return recordedIf(entry, parts, () => {
        const confirmed = outbox.confirm(id, Date.parse(entry.at))
        if (confirmed === undefined) return false
        said.remove(id)
        held.add(confirmed, writtenHeld(resources))
        return true
      })
    },

    forgetSaid(beforeMs: number): number {
      return database.write(() => said.forget(beforeMs))
    },

    route(destination: string): Route | undefined {
      return database.read(() => routes.get(destination))
    },

    routes(): readonly Route[] {
      return database.read(() => routes.all())
    },

    saveRoute(route: Route, entry?: AuditEntry): void {
      database.write(() => {
        routes.save(route)
        if (entry !== undefined) audit.append(entry)
      })
    },

    /** One look at the subjects after one that wait for an enrolment, as far as sessions are merged. */
    lookForWaiting(source: string, after: string, limit: number): Look<WaitingSubject, string> {
      return database.read(() => {
        const sourceNo = sources.find(source)
        if (sourceNo === undefined) return { rows: [] }
        return waiting.look(sourceNo, after, limit, inbox.mergedTo)
      })
    },
  }
}
