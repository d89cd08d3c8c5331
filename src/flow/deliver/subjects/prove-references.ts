import { hash } from 'node:crypto'
import AsyncLock from 'async-lock'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { ReferenceShown } from '../../../core/exchange/route/route.ts'
import { uuidIn } from '../../../core/exchange/sent-resource.ts'
import type { HeldResource } from '../../../core/outbox/entry.ts'
import { broughtOver } from '../errand/after-mistake.ts'
import type { CourseResult, Errand, Means } from '../errand/course.ts'
import { refersByCondition } from '../looks/refers-by-condition.ts'
import { findsNobody } from './finds-nobody.ts'
import { takeBackMisplaced } from './take-back-misplaced.ts'
import { whoseRecord } from './whose-record.ts'

type Write = (errand: Errand) => Promise<CourseResult>

/** One proof at a time for each destination: nothing else is written by a reference that is not proven. */
const proofs = new AsyncLock({ maxPending: Number.POSITIVE_INFINITY })

/**
 * Writes a transaction, and makes sure with two patients of each destination that its server puts the record in the place of
 * a conditional reference that it asks for: one that passes over the parameter would put readings into another person's
 * record, and one that keeps the reference as it is written puts them into none.
 *
 * Before the first transaction its search is asked for identifiers that nobody has; after it, what was written is read, and
 * the record it stands in. Where that is another one, or none, it is brought over to the patient at once, or where that
 * cannot be done, taken back.
 *
 * Source: FHIR R4 4.0.1 http.html#trules, conditional references; search.html, a server may ignore unknown parameters.
 */
export async function withProvenReferences(errand: Errand, by: Means, write: Write): Promise<CourseResult> {
  if (!isUnproven(errand, by)) return write(errand)
  return proofs.acquire(errand.destination.name, async () =>
    isUnproven(errand, by) ? writeAndProve(errand, by, write) : write(errand),
  )
}

/** How often a server is looked at that does not show where things went. Common practice. */
const LOOKS = 3

/**
 * Not seen yet, or not often enough; or of one other patient alone, whose record the server may take for everybody's.
 */
function isUnproven(errand: Errand, by: Means): boolean {
  if (!refersByCondition(errand, by)) return false
  const { seen, ofOne, looks = 0 } = by.references() ?? {}
  if (seen === undefined || (seen === 'untold' && looks < LOOKS)) return true
  return ofOne !== undefined && ofOne !== markOf(errand)
}

/** Tells patients apart without naming them. */
function markOf({ rendered: { patient } }: Errand): string {
  return hash('sha256', JSON.stringify([patient.system, patient.value]))
}

async function writeAndProve(errand: Errand, by: Means, write: Write): Promise<CourseResult> {
  const nobody = by.references() === undefined ? await findsNobody(errand, by) : undefined
  if (typeof nobody === 'object') return nobody
  if (nobody === false) {
    await by.sawReferences({ seen: 'passed-over' })
    return write(errand.uncertain ? broughtOver(errand) : errand)
  }
  const result = await write(errand)
  return result.kind === 'done' ? proven(result, errand, by, write) : result
}

/**
 * What was done once it was seen where it went. What may be in the wrong record counts as in doubt meanwhile, so that an
 * attempt that ends here is followed by one that looks again.
 */
async function proven(result: CourseResult, errand: Errand, by: Means, write: Write): Promise<CourseResult> {
  const { ledger } = by
  const asked = askedFor(errand, by)
  ledger.doubt(asked.map(({ uuid }) => uuid))
  for (const held of asked) {
    const record = await whoseRecord(held, errand, by)
    if (record === undefined) return { kind: 'not-now', problem: 'CLINIC_BUSY', quiet: true }
    if (record === 'not-theirs') {
      await by.sawReferences({ seen: 'passed-over', misplaced: held })
      const brought = await write(broughtOver(errand))
      if (brought.kind !== 'done') await takeBackMisplaced(errand, by)
      return brought
    }
    if (ledger.writtenByReference.has(held.uuid)) {
      await by.sawReferences(record === 'theirs' ? resolved(errand, by) : untold(by))
      break
    }
  }
  for (const held of asked) ledger.add(held)
  return result
}

function resolved(errand: Errand, by: Means): ReferenceShown {
  const isSecond = by.references()?.ofOne !== undefined
  return isSecond ? { seen: 'resolved' } : { seen: 'resolved', ofOne: markOf(errand) }
}

function untold(by: Means): ReferenceShown {
  return { seen: 'untold', looks: (by.references()?.looks ?? 0) + 1 }
}

type Placed = HeldResource & ResourcePlace

/**
 * The Observations that may have been put somewhere by the reference, and of which it is known where they are: what this
 * attempt wrote, and before it whatever else is there, where an attempt before went unheard.
 */
function askedFor({ rendered, uncertain }: Errand, { ledger }: Means): readonly Placed[] {
  const placed = rendered.outline.flatMap(({ fullUrl, type }): readonly Placed[] => {
    const held = type === 'Observation' ? ledger.get(uuidIn(fullUrl) ?? '') : undefined
    return held?.id === undefined ? [] : [{ ...held, id: held.id }]
  })
  const isWritten = ({ uuid }: Placed) => ledger.writtenByReference.has(uuid)
  const before = uncertain ? placed.filter((one) => !isWritten(one)) : []
  return [...before, ...placed.filter(isWritten)]
}
