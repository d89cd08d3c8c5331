import { ClinicRefusal, operationOutcome } from './clinic-refusal.ts'
import { type ClinicReply, FHIR_JSON, failureReply, page } from './clinic-reply.ts'
import type { ClinicResource } from './clinic-resource.ts'
import type { EntryFault } from './process-bundle.ts'

/** One bad thing that happens to one request. */
export interface Fault {
  /** By which it is counted. */
  readonly name: string
  /** Whether, and after how many ms, what was asked is truly done; whoever asked may be gone by then. */
  readonly does: 'now' | 'never' | { readonly afterMs: number }
  /**
   * What is answered. `close`: the connection is closed without a word; `reset`: it is reset (RST); `honest`: what the
   * server says when it does what was asked; `cut-off`: the half of that, and then the connection is closed.
   */
  readonly says: 'honest' | 'close' | 'reset' | 'cut-off' | ((honest: ClinicReply | undefined) => ClinicReply)
  /** Before the first byte of the answer. */
  readonly waitsMs?: number
  /** The answer in pieces of so many octets, with a pause between them. */
  readonly trickles?: { readonly octets: number; readonly everyMs: number }
  /** An entry of a bundle that fails by itself; the bundle is done as a batch. */
  readonly entry?: EntryFault
}

interface Told {
  /** Seconds, or an HTTP-date. */
  readonly retryAfter?: string
  readonly form?: 'outcome' | 'problem-json' | 'text' | 'page'
  /** R4 issue-type of the OperationOutcome. */
  readonly code?: string
  readonly diagnostics?: string
  /** What was asked is done all the same, and only the answer is bad. */
  readonly doneAllTheSame?: boolean
}

/** Every bad thing that can be ordered. */
export const fault = {
  /** An error status of any kind, in any form. */
  status(status: number, told: Told = {}): Fault {
    const { retryAfter, form = 'outcome', code = 'processing', diagnostics = `Failed (${status})` } = told
    const outcome = JSON.stringify(operationOutcome(new ClinicRefusal(status, code, diagnostics)))
    const { headers, body } = failureReply(status, outcome, form)
    const also: Record<string, string> = retryAfter === undefined ? {} : { 'retry-after': retryAfter }
    return {
      name: String(status),
      does: told.doneAllTheSame === true ? 'now' : 'never',
      says: () => ({ status, headers: { ...headers, ...also }, body }),
    }
  },
  /** What a proxy says in the server's place. */
  page: (status: number, doneAllTheSame = false): Fault => ({
    name: `page ${status}`,
    does: doneAllTheSame ? 'now' : 'never',
    says: () => ({ status, headers: { 'content-type': 'text/html' }, body: page('Sign in') }),
  }),
  /** Closed before anything was done. */
  dropBefore: { name: 'drop before commit', does: 'never', says: 'close' },
  /** Done, and closed without an answer. */
  dropAfter: { name: 'drop after commit', does: 'now', says: 'close' },
  resetBefore: { name: 'reset before commit', does: 'never', says: 'reset' },
  resetAfter: { name: 'reset after commit', does: 'now', says: 'reset' },
  /** Done, and the connection closed in the middle of the answer. */
  cutOff: { name: 'cut off', does: 'now', says: 'cut-off' },
  /** Answers after so many ms; what was asked is done at once, late, or never. */
  slow: (waitsMs: number, does: Fault['does'] = 'now'): Fault => ({
    name: 'slow',
    does,
    says: does === 'never' ? () => failureReply(504, '', 'page') : 'honest',
    waitsMs,
  }),
  trickle: (octets: number, everyMs: number): Fault => ({
    name: 'trickle',
    does: 'now',
    says: 'honest',
    trickles: { octets, everyMs },
  }),
  /** Done, and answered 200 with a resource that has nothing to do with it. */
  wrongBody: {
    name: 'wrong body',
    does: 'now',
    says: () => fhirReply(200, { resourceType: 'Basic', id: 'other', code: { text: 'Another answer' } }),
  },
  /** Answered 200 with a resource that has nothing to do with it, and nothing done. */
  wrongBodyUndone: {
    name: 'wrong body, undone',
    does: 'never',
    says: () => fhirReply(200, { resourceType: 'Basic', id: 'other', code: { text: 'Another answer' } }),
  },
  /** Done, and answered with JSON that ends in the middle. */
  truncatedJson: {
    name: 'truncated JSON',
    does: 'now',
    says: (honest) => ({
      status: 200,
      headers: { 'content-type': FHIR_JSON },
      body: (honest?.body ?? '{"resourceType":').slice(0, Math.max(1, (honest?.body.length ?? 0) / 2)),
    }),
  },
  /** Done, and answered with another resource, made of the one that it should be. */
  retold: (tell: (resource: ClinicResource) => object): Fault => ({
    name: 'retold',
    does: 'now',
    says: (honest) => fhirReply(200, tell(JSON.parse(honest?.body ?? '{}'))),
  }),
  /** Done, with nothing in the body; the headers as they should be. */
  emptyBody: {
    name: 'empty body',
    does: 'now',
    says: (honest) => ({ status: honest?.status ?? 200, headers: withoutType(honest), body: '' }),
  },
  /** Promises to do it later, which nobody asked for. */
  accepted: (does: Fault['does'] = 'never'): Fault => ({
    name: '202',
    does,
    says: () => ({ status: 202, headers: { 'content-location': '/async/1' }, body: '' }),
  }),
  /** 200, with one entry that fails by itself, and those behind it too where that is said. */
  entryFails: (at: number, status: number, andAllAfter = false): Fault => ({
    name: `entry ${status}`,
    does: 'now',
    says: 'honest',
    entry: { at, status, andAllAfter },
  }),
  /** The same of one entry, but that nothing is kept: what is said to be made is not there. */
  entryFailsAndNothingIsKept: (at: number, status: number): Fault => ({
    name: `entry ${status}, all taken back`,
    does: 'now',
    says: 'honest',
    entry: { at, status, andAllAfter: false, takesAllBack: true },
  }),
} as const satisfies Readonly<Record<string, Fault | ((...given: never[]) => Fault)>>

function fhirReply(status: number, resource: object): ClinicReply {
  return { status, headers: { 'content-type': FHIR_JSON }, body: JSON.stringify(resource) }
}

function withoutType(reply: ClinicReply | undefined): Readonly<Record<string, string>> {
  const { 'content-type': _, ...rest } = reply?.headers ?? {}
  return rest
}
