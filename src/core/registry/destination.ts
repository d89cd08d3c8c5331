import type { Coding, Identifier } from 'fhir/r4.js'
import type { FindingPolicy } from '../clinical/finding-policy.ts'
import type { Rung } from './rung.ts'

/** A clinic's way in, and what it wants to be sent. */
export type Destination = FhirDestination | MessageDestination

/** What any clinic is sent, whichever way in it has. */
export interface Recipient {
  readonly name: string
  /**
   * `at-once`: each session's readings are sent when they arrive. `with-average`: only together with the average.
   * `never`: averages alone; what they were derived from is named by identifier and stays here.
   */
  readonly readings: 'at-once' | 'with-average' | 'never'
  /** Body position as a component (LOINC 8361-8) and extension, or as the extension alone for strict servers. */
  readonly positionAs: 'component-and-extension' | 'extension'
  /** SNOMED CT codings beside LOINC; needs the deployer's own SNOMED licence. */
  readonly snomed: boolean
  /** Digits after the point of a sent average: 1, or 0 for servers that hold whole numbers only. */
  readonly decimals: 0 | 1
  /** `at-once`: what asks for attention is sent ahead of everything else, whatever `readings` says. */
  readonly attention: 'at-once' | 'with-average'
  /** What each finding does to this clinic's averages; see `dispositionOf` for those it does not name. */
  readonly findings: FindingPolicy
  /** Threshold sets to label with, beside those of the protocol. */
  readonly thresholdSets: readonly string[]
  /** Protocol of a period that is opened without naming one. Never one from memory. */
  readonly protocol?: string
  /** Put on every resource as it is sent. */
  readonly adornment: Adornment
}

/** What a destination wants to find on every resource, beside what the resource says by itself. */
export interface Adornment {
  /** Profiles that are claimed in `meta.profile`: families of published profiles, each on the resources it is about. */
  readonly claims: readonly ProfileFamily[]
  /** Further `meta.tag`s. */
  readonly tags: readonly Coding[]
  /** Whether `meta.tag` says, by US Core's tag, that the data come from the patient. */
  readonly patientSupplied: boolean
  /** Further identifiers of every Observation and Device, after our own. */
  readonly identifiers: readonly Identifier[]
}

/** `us-core`: blood pressure, average blood pressure and heart rate. `vital-signs`: those of R4 itself. `own`: ours. */
export type ProfileFamily = 'us-core' | 'vital-signs' | 'own'

/** A clinic's FHIR server. */
export interface FhirDestination extends Recipient {
  readonly kind: 'fhir'
  /** Base URL without a trailing slash: `https://records.example/fhir`. */
  readonly baseUrl: string
  readonly access: DestinationAccess
  readonly tls: TlsMaterial
  readonly patient: PatientMatching
  /** The operator's word, which stands over what the server says and what a probe shows. */
  readonly rung?: Rung
  /**
   * What becomes of an amendment or a withdrawal when the server takes no update. `park`: it is left to a person.
   * `send-as-new`: an amended Observation is sent as a new one that says which it replaces; a withdrawal is parked all
   * the same, because nothing new can take a resource back.
   */
  readonly cannotUpdate: 'park' | 'send-as-new'
}

/** How the clinic's patient is found by the identifier of the enrolment. */
export interface PatientMatching {
  /**
   * `conditional-reference`: the server resolves `Patient?identifier=…` in a transaction; on the other rungs it is
   * searched for. `search`: searched for on every rung. `identifier-only`: never looked for; resources name the patient
   * by a logical reference, for servers that match by themselves.
   */
  readonly by: 'conditional-reference' | 'search' | 'identifier-only'
  /**
   * Whether a patient with nothing but the identifier is created when the server has none. Identity is the clinic's to
   * give.
   */
  readonly create: boolean
}

/** Who we are to a clinic's server. Texts of secrets, already resolved. */
export type DestinationAccess =
  | { readonly kind: 'none' }
  | { readonly kind: 'bearer'; readonly token: string }
  | { readonly kind: 'basic'; readonly user: string; readonly password: string }
  | SmartBackendAccess

/** SMART App Launch 2.2, Backend Services: a signed assertion for a short-lived token. */
export interface SmartBackendAccess {
  readonly kind: 'smart-backend'
  readonly clientId: string
  /** As they are asked for: `system/Observation.cu`. */
  readonly scopes: readonly string[]
  readonly algorithm: 'RS384' | 'ES384'
  /** Where tokens are issued, when it is not to be discovered at the server. */
  readonly tokenUrl?: string
  /** Hosts beside the server's own that may be asked for a token: `login.example` or `login.example:8443`. */
  readonly tokenHosts: readonly string[]
}

/** PEM texts for a connection over TLS. All absent: the system's authorities, and no certificate of ours. */
export interface TlsMaterial {
  /** Certificate authorities that are believed in place of the system's. */
  readonly authorities?: string
  /** Our certificate and its key, for mutual TLS. */
  readonly certificate?: string
  readonly key?: string
  readonly passphrase?: string
}

/** A clinic's HL7 v2 receiver, which is sent ORU^R01 messages over MLLP. */
export interface MessageDestination extends Recipient {
  readonly kind: 'hl7v2'
  readonly host: string
  readonly port: number
  /** Absent: without TLS, which is for a private line only. */
  readonly tls?: TlsMaterial
  /** MSH-3 and MSH-4. */
  readonly sender: ApplicationAndFacility
  /** MSH-5 and MSH-6. */
  readonly receiver: ApplicationAndFacility
  /** Assigning authority of the patient's identifier, PID-3.4. */
  readonly authority: string
  /** MSH-12. */
  readonly version: '2.5.1' | '2.6'
  /** MSH-11: production, training, debugging. */
  readonly processing: 'P' | 'T' | 'D'
  /** Which acknowledgement settles: that the message was stored (CA), or that it was filed (AA). */
  readonly settledBy: 'commit' | 'application'
}

export interface ApplicationAndFacility {
  readonly application: string
  readonly facility: string
}
