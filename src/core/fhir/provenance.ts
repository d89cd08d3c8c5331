import type { Coding, Provenance, ProvenanceAgent, ProvenanceEntity, Reference } from 'fhir/r4.js'
import type { Session } from '../clinical/session.ts'
import { SYSTEM } from './codes.ts'
import type { ConversionContext } from './conversion-context.ts'
import { provenanceUuid } from './identifiers.ts'
import { type OwnUrls, ownUrls } from './own-urls.ts'

/** The submission a session came in. */
export interface SubmittedRecord {
  /** SHA-256 of the record as it was received, lower-case hex. */
  readonly sha256: string
  /** RFC 3339 text in UTC. */
  readonly receivedAt: string
}

/**
 * Where the resources of a session come from: the gateway assembled them on the patient's behalf from one record,
 * named by its id and the SHA-256 of its bytes. A typed record also names the patient as the one who entered it.
 *
 * The gateway is an agent and not `Observation.device`, which is the cuff. Codes are those of 4.0.1, which has no
 * `transmitter` yet. Source: FHIR R4 4.0.1 provenance.html, provenance-participant-type.
 */
export function submissionProvenance(
  session: Session,
  targets: readonly Reference[],
  context: ConversionContext,
  record: SubmittedRecord,
): Provenance {
  const own = ownUrls(context.canonicalBase)
  const agent = [assembler(context.subject, own)]
  if (session.entry === 'typed') agent.push({ type: participant('enterer', 'Enterer'), who: context.subject })
  const source: ProvenanceEntity = {
    extension: [{ url: own.extension.recordSha256, valueString: record.sha256 }],
    role: 'source',
    what: {
      identifier: { system: own.identifier.session, value: context.sessionUuid },
      display: `Session record received from ${context.source}`,
    },
  }
  return provenance(context.sessionUuid, targets, record.receivedAt, agent, source, context)
}

/** Where an average comes from: the gateway computed it when the period was closed; the readings are in derivedFrom. */
export function averageProvenance(
  period: string,
  target: Reference,
  issued: string,
  context: Pick<ConversionContext, 'canonicalBase' | 'subject' | 'withIds'>,
): Provenance {
  const own = ownUrls(context.canonicalBase)
  const derivation: ProvenanceEntity = {
    role: 'derivation',
    what: {
      identifier: { system: own.identifier.period, value: period },
      display: 'Readings of the measurement period',
    },
  }
  return provenance(period, [target], issued, [assembler(context.subject, own)], derivation, context)
}

function provenance(
  about: string,
  target: readonly Reference[],
  recorded: string,
  agent: ProvenanceAgent[],
  entity: ProvenanceEntity,
  context: Pick<ConversionContext, 'canonicalBase' | 'withIds'>,
): Provenance {
  const uuid = provenanceUuid(about)
  const resource: Provenance = {
    resourceType: 'Provenance',
    meta: { tag: [{ system: ownUrls(context.canonicalBase).identifier.provenance, code: uuid }] },
    target: [...target],
    recorded,
    activity: { coding: [CREATE] },
    agent,
    entity: [entity],
  }
  if (context.withIds === true) resource.id = uuid
  return resource
}

const CREATE: Coding = Object.freeze({ system: SYSTEM.dataOperation, code: 'CREATE', display: 'create' })

function assembler(subject: Reference, own: OwnUrls): ProvenanceAgent {
  return {
    type: participant('assembler', 'Assembler'),
    who: {
      type: 'Device',
      identifier: { system: own.identifier.gateway, value: 'home-bp-gateway' },
      display: 'Home blood pressure gateway',
    },
    onBehalfOf: subject,
  }
}

function participant(code: string, display: string): NonNullable<ProvenanceAgent['type']> {
  return { coding: [{ system: SYSTEM.provenanceParticipant, code, display }] }
}
