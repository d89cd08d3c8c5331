import type {
  CodeableConcept,
  Identifier,
  Observation,
  Provenance,
  ProvenanceAgent,
  ProvenanceEntity,
  Reference,
} from 'fhir/r4.js'
import { frozen } from '../basics/frozen.ts'
import type { Session } from '../clinical/session.ts'
import type { AverageContext } from './average-context.ts'
import { SYSTEM } from './codes.ts'
import type { ConversionContext } from './conversion-context.ts'
import { provenanceUuid } from './identifiers.ts'
import { type OwnUrls, ownUrls } from './own-urls.ts'
import type { SubmittedRecord } from './submitted-record.ts'

/** Before the name of the source, in what is said of a session record. */
export const RECEIVED_FROM = 'Session record received from '

/**
 * Where the resources of a session come from: the gateway assembled them on the patient's behalf from one record,
 * named by its id and the SHA-256 of its bytes. A typed record also names the patient as the one who entered it. Each
 * version of a session has a Provenance of its own, and a later one names the version it revises.
 *
 * The gateway is an agent and not `Observation.device`, which is the cuff. Codes are those of 4.0.1, which has no
 * `transmitter` yet. Source: FHIR R4 4.0.1 provenance.html, provenance-participant-type.
 *
 * @param about UUID of what has this Provenance for its own: the session, or a call that is sent without it.
 */
export function submissionProvenance(
  session: Session,
  targets: readonly Reference[],
  context: ConversionContext,
  record: SubmittedRecord,
  about: string = context.sessionUuid,
): Provenance {
  const own = ownUrls(context.canonicalBase)
  const agent = [assembler(context.subject, own)]
  if (session.entry === 'typed') agent.push({ type: ENTERER, who: context.subject })
  const source: ProvenanceEntity = {
    extension: [{ url: own.extension.recordSha256, valueString: record.sha256 }],
    role: 'source',
    what: {
      identifier: { system: own.identifier.session, value: context.sessionUuid },
      display: `${RECEIVED_FROM}${context.source}`,
    },
  }
  const { version } = record
  const before = { system: own.identifier.session, value: context.sessionUuid }
  const revised = revisionOf(version, before, `Version ${version - 1} of the session record`)
  const change = { about, revision: version, recorded: record.receivedAt }
  return provenance(change, targets, agent, [source, ...revised], context)
}

/**
 * Where the averages of a period come from: the gateway computed them when the period was closed; the readings are in
 * derivedFrom. Each revision has a Provenance of its own.
 *
 * @param averages as they are written in the same transaction.
 */
export function averageProvenance(
  averages: readonly Observation[],
  context: Pick<AverageContext, 'canonicalBase' | 'subject' | 'withIds' | 'period' | 'revision' | 'issued'>,
): Provenance {
  const own = ownUrls(context.canonicalBase)
  const { period, revision, issued } = context
  const derivation: ProvenanceEntity = {
    role: 'derivation',
    what: {
      identifier: { system: own.identifier.period, value: period },
      display: 'Readings of the measurement period',
    },
  }
  const identifiers = averages.flatMap(({ identifier }) => identifier?.[0] ?? [])
  const revised = identifiers.flatMap((before) =>
    revisionOf(revision, before, `Revision ${revision - 1} of this average`),
  )
  const targets = identifiers.map(({ value }) => ({ reference: `urn:uuid:${value}` }))
  const change = { about: period, revision, recorded: issued }
  return provenance(change, targets, [assembler(context.subject, own)], [derivation, ...revised], context)
}

/**
 * UUIDs of the Provenances that came before one of ours about the same thing, oldest first.
 *
 * @param uuid of that one; nothing came before one that is none of ours.
 */
export function earlierProvenances({ entity = [] }: Provenance, uuid: string): readonly string[] {
  const about = entity[0]?.what.identifier?.value
  if (about === undefined) return []
  const earlier: string[] = []
  for (let revision = 1; revision <= MOST_REVISIONS; revision += 1) {
    const one = provenanceUuid(about, revision)
    if (one === uuid) return earlier
    earlier.push(one)
  }
  return []
}

/** Common practice; no source fixes it: more than anybody corrects a session, and soon gone through. */
const MOST_REVISIONS = 1_000

/** What came before under the same identifier; nothing for the first. Source: FHIR R4 4.0.1, provenance-entity-role. */
function revisionOf(revision: number, identifier: Identifier, display: string): readonly ProvenanceEntity[] {
  return revision === 1 ? [] : [{ role: 'revision', what: { identifier, display } }]
}

interface Change {
  readonly about: string
  readonly revision: number
  readonly recorded: string
}

function provenance(
  { about, revision, recorded }: Change,
  target: readonly Reference[],
  agent: ProvenanceAgent[],
  entity: ProvenanceEntity[],
  context: Pick<ConversionContext, 'canonicalBase' | 'withIds'>,
): Provenance {
  const uuid = provenanceUuid(about, revision)
  const resource: Provenance = {
    resourceType: 'Provenance',
    meta: { tag: [{ system: ownUrls(context.canonicalBase).identifier.provenance, code: uuid }] },
    target: [...target],
    recorded,
    activity: revision === 1 ? CREATE : UPDATE,
    agent,
    entity,
  }
  if (context.withIds === true) resource.id = uuid
  return resource
}

const CREATE = concept(SYSTEM.dataOperation, 'CREATE', 'create')
const UPDATE = concept(SYSTEM.dataOperation, 'UPDATE', 'revise')
const ASSEMBLER = concept(SYSTEM.provenanceParticipant, 'assembler', 'Assembler')
const ENTERER = concept(SYSTEM.provenanceParticipant, 'enterer', 'Enterer')

/** A constant that is shared by every Provenance. */
function concept(system: string, code: string, display: string): CodeableConcept {
  return frozen({ coding: [{ system, code, display }] })
}

function assembler(subject: Reference, own: OwnUrls): ProvenanceAgent {
  return {
    type: ASSEMBLER,
    who: {
      type: 'Device',
      identifier: { system: own.identifier.gateway, value: 'home-bp-gateway' },
      display: 'Home blood pressure gateway',
    },
    onBehalfOf: subject,
  }
}
