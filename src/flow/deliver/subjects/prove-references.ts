import AsyncLock from 'async-lock'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import { uuidIn } from '../../../core/exchange/sent-resource.ts'
import type { HeldResource } from '../../../core/outbox/entry.ts'
import { broughtOver } from '../errand/after-misplacing.ts'
import type { CourseResult, Errand, Means } from '../errand/course.ts'
import { refersByCondition } from '../looks/refers-by-condition.ts'
import { findsNobody } from './finds-nobody.ts'
import { takeBackMisplaced } from './take-back-misplaced.ts'
import { whoseRecord } from './whose-record.ts'

/** One proof at a time for each destination: nothing else is written by a reference that is not proven. */
const proofs = new AsyncLock({ maxPending: Number.POSITIVE_INFINITY })

/**
 * Writes a transaction, and makes sure once for each destination that its server puts the record in the place of a
 * conditional reference that it asks for: one that passes over the parameter would put readings into another person's
 * record, and one that keeps the reference as it is written puts them into none.
 *
 * Before the first transaction its search is asked for identifiers that nobody has; after it, what was written is read, and
 * the record it stands in. Where that is another one, or none, it is brought over to the patient at once, or where that
 * cannot be done, taken back.
 *
 * Source: FHIR R4 4.0.1 http.html#trules, conditional references; search.html, a server may ignore unknown parameters.
 */
export async function withProvenReferences(
  errand: Errand,
  by: Means,
  write: (errand: Errand) => Promise<CourseResult>,
): Promise<CourseResult> {
  if (!isUnproven(errand, by)) return write(errand)
  return proofs.acquire(errand.destination.name, async () =>
    isUnproven(errand, by) ? writeAndProve(errand, by, write) : write(errand),
  )
}

function isUnproven(errand: Errand, by: Means): boolean {
  return refersByCondition(errand, by) && by.references() === undefined
}

async function writeAndProve(
  errand: Errand,
  by: Means,
  write: (errand: Errand) => Promise<CourseResult>,
): Promise<CourseResult> {
  const nobody = await findsNobody(errand, by)
  if (typeof nobody === 'object') return nobody
  if (nobody === false) {
    await by.sawReferences('passed-over')
    return write(errand.uncertain ? broughtOver(errand) : errand)
  }
  const observations = errand.rendered.outline.flatMap(({ fullUrl, type }) =>
    type === 'Observation' ? (uuidIn(fullUrl) ?? []) : [],
  )
  await by.ledger.load(observations)
  const unheard = errand.uncertain ? observations.filter((uuid) => by.ledger.get(uuid) === undefined) : []
  const result = await write(errand)
  if (result.kind !== 'done') return result
  // What went unheard was made by the same reference; what was there for any other reason says nothing of it.
  const { written } = by.ledger
  const shown =
    placed(
      observations.filter((uuid) => written.has(uuid)),
      by,
    ) ?? placed(unheard, by)
  if (shown === undefined) return result
  const record = await whoseRecord(shown, errand, by)
  if (record === undefined) return result
  if (record === 'not-theirs') {
    await by.sawReferences('passed-over', shown)
    const brought = await write(broughtOver(errand))
    if (brought.kind !== 'done') await takeBackMisplaced(errand, by)
    return brought
  }
  if (written.has(shown.uuid)) await by.sawReferences(record === 'theirs' ? 'resolved' : 'untold')
  return result
}

/** The first of these of which it is known where it is. */
function placed(uuids: readonly string[], by: Means): (HeldResource & ResourcePlace) | undefined {
  for (const uuid of uuids) {
    const held = by.ledger.get(uuid)
    if (held?.id !== undefined) return { ...held, id: held.id }
  }
  return undefined
}
