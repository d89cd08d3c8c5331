import { type ClinicBehaviour, HONEST } from './clinic-behaviour.ts'
import { type ClinicContext, pause } from './clinic-context.ts'
import type { ClinicReply } from './clinic-reply.ts'
import { type ClinicRequest, kindOf, type RequestKind, type UnreadRequest } from './clinic-request.ts'
import { type ClinicResource, isObject, items, type Version } from './clinic-resource.ts'
import type { CommitLedger } from './commit-ledger.ts'
import type { Fault } from './fault.ts'
import { FaultOrders } from './fault-orders.ts'
import { KeptResources } from './kept-resources.ts'
import { serveRequest } from './serve-request.ts'

/** A person the clinic knows. */
export interface KnownPatient {
  readonly system: string
  readonly value: string
}

export interface HostileClinicOptions {
  readonly patients?: readonly KnownPatient[]
  readonly behaviour?: Partial<ClinicBehaviour>
  /** Epoch ms; the machine's clock when absent. */
  readonly now?: () => number
  /** Whether headers and bodies of requests are remembered. True when absent. */
  readonly remembersBodies?: boolean
}

/** What came in and how it was answered. */
export interface SeenRequest {
  readonly number: number
  readonly kind: RequestKind
  readonly method: string
  readonly path: string
  readonly query: string
  readonly startedMs: number
  /** Absent where bodies are not remembered. */
  readonly headers?: Headers
  readonly body?: string
  /** Name of what was ordered to go wrong with it. */
  readonly fault?: string
  /** Status, or what became of the connection; absent while it is under way. */
  answered?: number | 'close' | 'reset' | 'cut-off'
}

/** What a door is to do with a request. */
export interface Verdict {
  readonly reply: ClinicReply | undefined
  /** `send`: the reply. The others need no reply, or half of it. */
  readonly how: 'send' | 'close' | 'reset' | 'cut-off'
  readonly trickles?: NonNullable<Fault['trickles']>
}

/**
 * A clinic's FHIR R4 server, played in memory: exact when it is honest, because it judges whoever writes to it, and as bad
 * as it is told to be. The doors (`start-hostile-clinic.ts`, `hostile-clinic-handlers.ts`) bring it requests.
 */
export class HostileClinic {
  readonly kept = new KeptResources()
  readonly faults = new FaultOrders()
  readonly requests: SeenRequest[] = []
  #behaviour: ClinicBehaviour
  readonly #options: HostileClinicOptions
  readonly #late = new Set<Promise<unknown>>()

  constructor(options: HostileClinicOptions = {}) {
    this.#options = options
    this.#behaviour = { ...HONEST, ...options.behaviour }
    for (const patient of options.patients ?? []) this.register(patient)
  }

  get behaviour(): ClinicBehaviour {
    return this.#behaviour
  }

  get ledger(): CommitLedger {
    return this.kept.ledger
  }

  /** From now on it behaves in this way too. */
  behave(changes: Partial<ClinicBehaviour>): void {
    this.#behaviour = { ...this.#behaviour, ...changes }
  }

  /** As honest as R4 asks, and nothing goes wrong. */
  behaveHonestly(): void {
    this.#behaviour = HONEST
    this.faults.stop()
  }

  /** Registers a person, a second one under the same identifier too. Returns the Patient's id. */
  register({ system, value }: KnownPatient, more: object = {}): string {
    const patient = { resourceType: 'Patient', identifier: [{ system, value }], ...more }
    return this.putBehindBack(patient)
  }

  /** Writes something that no request asked for: what the clinic's own people, or another system, do. Returns the id. */
  putBehindBack(resource: ClinicResource): string {
    const id = typeof resource.id === 'string' ? resource.id : this.kept.newId()
    const action = this.kept.newest(resource.resourceType, id) === undefined ? 'create' : 'update'
    this.kept.commit([{ action, id, resource }], 0, this.#now())
    return id
  }

  deleteBehindBack(resourceType: string, id: string): void {
    this.kept.commit([{ action: 'delete', id, resource: { resourceType } }], 0, this.#now())
  }

  /** Resources that carry an identifier or tag of this value, each with all its versions; deleted ones left out. */
  holding(value: string): readonly (readonly Version[])[] {
    return this.kept
      .carrying(value)
      .map(({ resourceType, id }) => this.kept.versions(resourceType, String(id)))
  }

  /** How often each fault struck. */
  faultCounts(): ReadonlyMap<string, number> {
    const counts = new Map<string, number>()
    for (const { fault } of this.requests) {
      if (fault !== undefined) counts.set(fault, (counts.get(fault) ?? 0) + 1)
    }
    return counts
  }

  /** Requests of some kind. */
  seen(...kinds: readonly RequestKind[]): readonly SeenRequest[] {
    return this.requests.filter(({ kind }) => kinds.includes(kind))
  }

  /** Resolves when nothing is under way that would still be done. */
  async quiet(): Promise<void> {
    while (this.#late.size > 0) await Promise.all(this.#late)
  }

  /** @param base the base URL under which the request came in, for the addresses in answers. */
  async handle(unread: UnreadRequest, base: string): Promise<Verdict> {
    const request: ClinicRequest = {
      ...unread,
      number: this.requests.length + 1,
      kind: kindOf(unread),
    }
    const fault = this.faults.faultFor(request)
    const seen = this.#remember(request, fault)
    const verdict = await this.#verdict(request, fault, base)
    seen.answered = verdict.how === 'send' ? (verdict.reply?.status ?? 0) : verdict.how
    return verdict
  }

  async #verdict(request: ClinicRequest, fault: Fault | undefined, base: string): Promise<Verdict> {
    const context: ClinicContext = {
      kept: this.kept,
      behaviour: this.#behaviour,
      base,
      now: () => this.#now(),
      request: request.number,
    }
    if (fault === undefined) return { how: 'send', reply: await serveRequest(request, context) }
    const wait = pause(fault.waitsMs ?? 0)
    const work = this.#doing(request, fault, context)
    const honest = await this.#awaited(work, fault)
    await wait
    const { says, trickles } = fault
    const reply = typeof says === 'function' ? says(honest) : honest
    return {
      how: typeof says === 'function' || says === 'honest' ? 'send' : says,
      reply: reply ?? { status: 500, headers: {}, body: '' },
      ...(trickles === undefined ? {} : { trickles }),
    }
  }

  /** What is done late is waited for only by an answer that tells of it. */
  async #awaited(
    work: Promise<ClinicReply | undefined>,
    { does, says }: Fault,
  ): Promise<ClinicReply | undefined> {
    const isLate = typeof does === 'object' && says !== 'honest'
    return isLate ? undefined : work
  }

  #doing(request: ClinicRequest, { does, entry }: Fault, context: ClinicContext) {
    if (does === 'never') return Promise.resolve(undefined)
    const work = (async () => {
      if (typeof does === 'object') await pause(does.afterMs)
      return serveRequest(request, context, entry)
    })()
    this.#late.add(work)
    return work.finally(() => this.#late.delete(work))
  }

  #remember(request: ClinicRequest, fault: Fault | undefined): SeenRequest {
    const { number, kind, method, path, query, headers, body } = request
    const seen: SeenRequest = {
      number,
      kind,
      method,
      path,
      query: query.toString(),
      startedMs: this.#now(),
      ...((this.#options.remembersBodies ?? true) ? { headers, body } : {}),
      ...(fault === undefined ? {} : { fault: fault.name }),
    }
    this.requests.push(seen)
    return seen
  }

  #now(): number {
    return this.#options.now?.() ?? Date.now()
  }
}

/** The entries of a searchset, history or response bundle. */
export function entriesIn(bundle: unknown): readonly { readonly resource?: ClinicResource }[] {
  return isObject(bundle) ? (items(bundle.entry) as readonly { readonly resource?: ClinicResource }[]) : []
}
