import AsyncLock from 'async-lock'
import type { Reference } from 'fhir/r4.js'
import { transactionVerdict } from '../../../core/exchange/answered/transaction-verdict.ts'
import type { WriteOutcome } from '../../../core/exchange/answered/write-verdict.ts'
import { placedResource } from '../../../core/exchange/asked/placed-resource.ts'
import { transactionRequest } from '../../../core/exchange/asked/transaction-request.ts'
import { type SentResource, uuidIn } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { endingOf } from '../errand/ending-of.ts'
import { findPatient } from '../looks/find-patient.ts'
import { lookUpResources } from '../looks/look-up-resources.ts'
import { refersByCondition } from '../looks/refers-by-condition.ts'
import { sendableResources } from '../looks/sendable-resources.ts'
import { isDouble, sawDouble } from './double-made.ts'
import { notToBeTrusted } from './not-to-be-trusted.ts'

/** One proof at a time for each destination. */
const proofs = new AsyncLock({ maxPending: Number.POSITIVE_INFINITY })

/**
 * Makes sure, before a transaction relies on its conditions for what the server holds already, that it keeps to them:
 * servers were seen that honour a conditional create and pass over `ifNoneExist` in a bundle. Proven once for each
 * destination, by posting one resource that is held, the monitor where there is one, in a transaction of its own.
 *
 * Undefined when the transaction may be posted: it relies on nothing, or on what was proven. A double that the proof made
 * is told by its place; nothing else was made.
 */
export async function proveConditions(errand: Errand, by: Means): Promise<Ending | undefined> {
  if (by.conditions() === undefined) {
    const shown = await heldAlready(errand, by)
    if (shown === undefined) return undefined
    const ending = await proofs.acquire(errand.destination.name, async () =>
      by.conditions() === undefined ? prove(shown, errand, by) : undefined,
    )
    if (ending !== undefined) return ending
  }
  return by.conditions()?.seen === 'passed-over' ? notToBeTrusted(errand) : undefined
}

async function heldAlready(errand: Errand, by: Means): Promise<SentResource | undefined> {
  const uuids = errand.rendered.outline.flatMap(({ fullUrl, intent }) =>
    intent === 'create' ? (uuidIn(fullUrl) ?? []) : [],
  )
  await by.ledger.load(uuids)
  const held = uuids.filter((uuid) => by.ledger.get(uuid) !== undefined)
  if (held.length === 0) return undefined
  const resources = sendableResources(errand).resources.filter(({ uuid }) => held.includes(uuid))
  return resources.find(({ type }) => type === 'Device') ?? resources[0]
}

async function prove(shown: SentResource, errand: Errand, by: Means): Promise<Ending | undefined> {
  // An earlier proof may have been done without anyone hearing of it.
  if (errand.uncertain && (await areSeveral(shown, errand, by))) return sawDouble(undefined, by)
  const subject = await subjectOf(shown, errand, by)
  if (subject !== undefined && 'kind' in subject) return subject
  const alone = placedAlone(shown, subject, errand, by)
  const answer = await by.write(transactionRequest([alone], new Map()))
  const verdict = transactionVerdict(answer, ['create'])
  switch (verdict.kind) {
    case 'done': {
      const [outcome] = verdict.outcomes
      if (await madeAgain(shown, outcome, errand, by)) await sawDouble(outcome?.place, by)
      else {
        // The clinic may have removed the one that was known, and it is another one that matched or was made.
        by.ledger.addAt(shown, outcome?.place)
        if (outcome?.what !== 'created') await by.sawConditions({ seen: 'honoured' })
      }
      return undefined
    }
    case 'conflict':
      await by.sawConditions({ seen: 'failing' })
      return undefined
    case 'refused':
      if (verdict.problem === 'CLINIC_REFUSED') await by.sawConditions({ seen: 'failing' })
      return undefined
    case 'unknown':
      if (answer.kind !== 'heard' || answer.status < 500) return endingOf(verdict)
      await by.sawConditions({ seen: 'failing' })
      return undefined
    case 'look':
    case 'patient':
    case 'too-large':
      // The transaction itself shows what is the matter.
      return undefined
    default:
      return endingOf(verdict)
  }
}

/**
 * The patient as they are named in the proof: outright where they can be found, as long as it was not seen where a reference
 * leads, for a double must not stand in another's record. Undefined: by the conditional reference, or nobody is named.
 */
async function subjectOf(
  { type }: SentResource,
  errand: Errand,
  by: Means,
): Promise<Reference | Ending | undefined> {
  const mayRefer = refersByCondition(errand, by)
  if (mayRefer && (type === 'Device' || by.references()?.seen === 'resolved')) return undefined
  const patient = await findPatient(errand, by)
  if (patient.kind === 'found') return patient.reference
  return mayRefer && patient.kind === 'park' ? undefined : patient
}

/** Whether the server made what it held. One that it held no more it was right to make. */
async function madeAgain(
  { uuid }: SentResource,
  outcome: WriteOutcome | undefined,
  errand: Errand,
  by: Means,
): Promise<boolean> {
  const before = by.ledger.get(uuid)?.id
  const id = outcome?.place?.id
  const isElsewhere = before !== undefined && id !== undefined && before !== id
  if (outcome?.what !== 'created' && !isElsewhere) return false
  return isDouble(uuid, outcome?.place, errand, by)
}

async function areSeveral(sent: SentResource, errand: Errand, by: Means): Promise<boolean> {
  const looked = await lookUpResources([sent], errand, by)
  return looked.kind === 'refused' && looked.problem === 'CLINIC_DUPLICATES'
}

function placedAlone(
  sent: SentResource,
  subject: Reference | undefined,
  errand: Errand,
  by: Means,
): SentResource {
  const placeOf = (uuid: string): Reference | undefined => {
    const { type, id } = by.ledger.get(uuid) ?? {}
    return id === undefined ? undefined : { reference: `${type}/${id}` }
  }
  return { ...sent, resource: placedResource(sent, placeOf, subject, sendableResources(errand).keys) }
}
