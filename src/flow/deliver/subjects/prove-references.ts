import { hash } from 'node:crypto'
import AsyncLock from 'async-lock'
import type { ReferenceShown } from '../../../core/exchange/route/route.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import { afterMistake, broughtOver } from '../errand/after-mistake.ts'
import type { CourseResult, Errand, Means } from '../errand/course.ts'
import { refersByCondition } from '../looks/refers-by-condition.ts'
import { sendableResources } from '../looks/sendable-resources.ts'
import { findsNobody } from './finds-nobody.ts'
import { takeBackMisplaced } from './take-back-misplaced.ts'
import { whoseRecord } from './whose-record.ts'

/** How often a server is looked at that does not tell where things went. Common practice. */
const LOOKS = 3

/** Attempts after which what is not shown is believed. Common practice: an index lags by minutes at most. */
const ATTEMPTS_NOT_SHOWN = 3

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
  if (!isUnproven(errand, by)) return write(asSeenByNow(errand, by))
  return proofs.acquire(errand.destination.name, async () =>
    isUnproven(errand, by) ? writeAndProve(errand, by, write) : write(asSeenByNow(errand, by)),
  )
}

/** Another delivery may have seen, since this one set out, where the references of both led. */
function asSeenByNow(errand: Errand, by: Means): Errand {
  const references = by.references()
  if (references === undefined || references === errand.route.references) return errand
  return afterMistake({ ...errand, route: { ...errand.route, references } })
}

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
  return proven(await write(errand), errand, by, write)
}

/**
 * What was done, in whole or in part, once it was seen where it went. What may be in the wrong record counts as in doubt
 * meanwhile, so that an attempt that ends here is followed by one that looks again.
 */
async function proven(result: CourseResult, errand: Errand, by: Means, write: Write): Promise<CourseResult> {
  const { ledger } = by
  const asked = askedFor(errand, by)
  const held = asked.flatMap(({ uuid }) => ledger.get(uuid) ?? [])
  ledger.doubt(asked.map(({ uuid }) => uuid))
  if (asked.length === 0 || ASKED_LATER.has(result.kind) || isToBeBroughtOver(by)) return result
  const { lastProblem, attempts } = errand.entry
  const wasNotShown = lastProblem === 'CLINIC_NOT_SHOWN'
  const isBelieved = wasNotShown && attempts >= ATTEMPTS_NOT_SHOWN
  for (const sent of asked) {
    const record = await whoseRecord(sent, errand, by)
    if (record === undefined) return { kind: 'not-now', problem: 'CLINIC_BUSY', quiet: true }
    if (record === 'not-shown' && !isBelieved) {
      return { kind: 'not-now', problem: 'CLINIC_NOT_SHOWN', quiet: true }
    }
    if (typeof record === 'object') {
      await by.sawReferences({ seen: 'passed-over', ...record })
      const brought = await write(broughtOver(errand))
      if (brought.kind === 'done') return brought
      await takeBackMisplaced(errand, by)
      ledger.doubt(asked.map(({ uuid }) => uuid))
      return brought
    }
    if (wasNotShown || ledger.writtenByReference.has(sent.uuid)) {
      await by.sawReferences(record === 'theirs' ? resolved(errand, by) : untold(wasNotShown, by))
      break
    }
  }
  for (const one of held) ledger.add(one)
  return result
}

/** Endings after which the server is asked nothing more for now. */
const ASKED_LATER: ReadonlySet<CourseResult['kind']> = new Set(['not-now', 'unknown', 'stop'])

/** On the next rung, as what may refer to something that was taken for another. */
function isToBeBroughtOver(by: Means): boolean {
  return by.conditions()?.seen === 'passed-over'
}

function resolved(errand: Errand, by: Means): ReferenceShown {
  const isSecond = by.references()?.ofOne !== undefined
  return isSecond ? { seen: 'resolved' } : { seen: 'resolved', ofOne: markOf(errand) }
}

/** One that was waited for was looked for often enough. */
function untold(wasWaitedFor: boolean, by: Means): ReferenceShown {
  const before = by.references()?.looks ?? 0
  return { seen: 'untold', looks: wasWaitedFor ? LOOKS : before + 1 }
}

/**
 * The Observations that may have been put somewhere by the reference: what this attempt wrote, and before it whatever else
 * is there, where an attempt before went unheard.
 */
function askedFor(errand: Errand, { ledger }: Means): readonly SentResource[] {
  const there = sendableResources(errand).resources.filter(
    ({ uuid, type }) => type === 'Observation' && ledger.get(uuid) !== undefined,
  )
  const isWritten = ({ uuid }: SentResource) => ledger.writtenByReference.has(uuid)
  const before = errand.uncertain ? there.filter((one) => !isWritten(one)) : []
  return [...before, ...there.filter(isWritten)]
}
