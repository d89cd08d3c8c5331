import type { ClinicRequest, RequestKind } from './clinic-request.ts'
import { WRITES } from './clinic-request.ts'
import type { Fault } from './fault.ts'

/** Which requests an order is about; the writes when nothing is said. */
export type OrderedFor = readonly RequestKind[] | ((request: ClinicRequest) => boolean)

/** A fault and how often it strikes: its share of all requests, 0 to 1. */
export interface FaultShare {
  readonly fault: Fault
  readonly share: number
}

/** What was ordered to go wrong. */
export class FaultOrders {
  #next: { readonly fault: Fault; readonly when: OrderedFor }[] = []
  #every: { readonly fault: Fault; readonly when: OrderedFor; readonly nth: number; seen: number }[] = []
  #random: {
    readonly shares: readonly FaultShare[]
    readonly when: OrderedFor
    readonly next: () => number
  }[] = []

  /** One after the other, each for one request. */
  next(faults: readonly Fault[], when: OrderedFor = WRITES): void {
    for (const fault of faults) this.#next.push({ fault, when })
  }

  /** Every n-th request; 1 is all of them. */
  every(nth: number, fault: Fault, when: OrderedFor = WRITES): void {
    this.#every.push({ fault, when, nth, seen: 0 })
  }

  /** At random, the same for the same numbers: `random` gives one in [0, 1) for each request. */
  atRandom(random: () => number, shares: readonly FaultShare[], when: OrderedFor = WRITES): void {
    this.#random.push({ shares, when, next: random })
  }

  /** Nothing goes wrong any more. */
  stop(): void {
    this.#next = []
    this.#every = []
    this.#random = []
  }

  /** Orders that were not needed. */
  get waiting(): number {
    return this.#next.length
  }

  faultFor(request: ClinicRequest): Fault | undefined {
    const place = this.#next.findIndex(({ when }) => isFor(when, request))
    const [ordered] = place === -1 ? [] : this.#next.splice(place, 1)
    if (ordered !== undefined) return ordered.fault
    for (const order of this.#every) {
      if (!isFor(order.when, request)) continue
      order.seen += 1
      if (order.seen % order.nth === 0) return order.fault
    }
    for (const { shares, when, next } of this.#random) {
      const drawn = isFor(when, request) ? drawOne(shares, next()) : undefined
      if (drawn !== undefined) return drawn
    }
    return undefined
  }
}

function isFor(when: OrderedFor, request: ClinicRequest): boolean {
  return typeof when === 'function' ? when(request) : when.includes(request.kind)
}

function drawOne(shares: readonly FaultShare[], number: number): Fault | undefined {
  let reached = 0
  for (const { fault, share } of shares) {
    reached += share
    if (number < reached) return fault
  }
  return undefined
}
