import type { AttentionLimits } from '../../core/clinical/attention/attention-limits.ts'
import type { Protocol } from '../../core/clinical/protocol/protocol.ts'
import type { RecordingRule } from '../../core/clinical/protocol/recording-rule.ts'
import type { ThresholdSet } from '../../core/clinical/protocol/threshold-set.ts'
import type { FhirAnswer, FhirRequest } from '../../core/exchange/fhir-exchange.ts'
import type { MessageAnswer } from '../../core/hl7v2/message-answer.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'
import type { Destination, FhirDestination, MessageDestination } from '../../core/registry/destination.ts'
import type { ProfileSet } from '../../core/validation/profiles/profile-set.ts'
import type { Log } from './log-port.ts'
import type { Store } from './store-port.ts'

export type * from './audit-filter.ts'
export type * from './listed-enrolment.ts'
export type * from './log-port.ts'
export type * from './outbox-store-port.ts'
export type * from './page.ts'
export type * from './period-calls.ts'
export type * from './period-store-port.ts'
export type * from './registry-store-port.ts'
export type * from './session-store-port.ts'
export type * from './store-port.ts'
export type * from './swept-average.ts'
export type * from './waiting-subject.ts'

/** What the flows need of the world. Adapters in `shell` implement these; the flows know nothing else of it. */
export interface Ports {
  readonly store: Store
  readonly clinic: ClinicServers
  readonly receivers: MessageReceivers
  readonly catalogue: Catalogue
  readonly clock: Clock
  /** A number in [0, 1), for spreading retries. */
  readonly random: () => number
  readonly log: Log
  readonly policy: Policy
}

/** How this deployment waits and retries. */
export interface Policy {
  /** Time after a period's last local day in which late uploads are awaited. */
  readonly graceMs: number
  readonly delivery: DeliveryPolicy
  /** From where on readings ask for prompt attention. */
  readonly attention: AttentionLimits
}

export interface DeliveryPolicy {
  /** Attempts after which an entry that was never refused is given up (kept and shown, not dropped). */
  readonly maxAttempts: number
  readonly firstRetryMs: number
  readonly longestRetryMs: number
  /** How long a claim holds before another process may take the entry. */
  readonly leaseMs: number
  /** Entries under way at the same time. */
  readonly inFlight: number
  /**
   * How long an entry is left alone after an outcome nobody heard, before it is looked for: a server that was slow may
   * still finish what it was asked.
   */
  readonly quietMs: number
  /** The longest wait that is granted to a Retry-After. */
  readonly longestRetryAfterMs: number
  /** How long what a server says it can do is believed before it is asked again. */
  readonly routeMs: number
}

export interface Clock {
  /** Epoch milliseconds. */
  now(): number
}

/** The protocols, threshold sets, profiles and destinations of this deployment, checked at start. */
export interface Catalogue {
  readonly protocols: ReadonlyMap<string, Protocol>
  readonly thresholdSets: ReadonlyMap<string, ThresholdSet>
  /** Rules for 24-hour recordings; their ids and those of the protocols are distinct. */
  readonly recordingRules: ReadonlyMap<string, RecordingRule>
  /** How records in other formats than ours are read, by name. */
  readonly mappings: ReadonlyMap<string, Mapping>
  readonly destinations: ReadonlyMap<string, Destination>
  /** What resources that are handed in are held to beside R4: the profiles that ship, and the deployment’s. */
  readonly profiles: ProfileSet
  /** Base of our own canonicals and identifier systems, without a trailing slash. */
  readonly canonicalBase: string
}

/** The door out to clinics' FHIR servers. */
export interface ClinicServers {
  /**
   * One request to a destination's server, with its credentials. Never throws for anything the server or the network
   * does. A 401 was answered with one fresh token and one more try before it is handed on.
   */
  ask(destination: FhirDestination, request: FhirRequest): Promise<FhirAnswer>
  /**
   * Names of destinations that are left alone for a while because one request after the other failed; asked all the
   * same they answer `unsent`.
   */
  resting(): readonly string[]
}

/** The door out to clinics' HL7 v2 receivers. */
export interface MessageReceivers {
  /** Sends one message and waits for its acknowledgement. Never throws for anything the receiver or the network does. */
  send(destination: MessageDestination, message: string): Promise<MessageAnswer>
  resting(): readonly string[]
}
