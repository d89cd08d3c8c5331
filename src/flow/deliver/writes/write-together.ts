import type { Reference } from 'fhir/r4.js'
import { transactionVerdict } from '../../../core/exchange/answered/transaction-verdict.ts'
import type { WriteOutcome } from '../../../core/exchange/answered/write-verdict.ts'
import { placedResource } from '../../../core/exchange/asked/placed-resource.ts'
import { halves, transactionRequest } from '../../../core/exchange/asked/transaction-request.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { CourseResult, Ending, Errand, Means } from '../errand/course.ts'
import { endingOf, type Failure } from '../errand/ending-of.ts'
import { findPatient } from '../looks/find-patient.ts'
import { refersByCondition } from '../looks/refers-by-condition.ts'
import { leftOutOf, type Sendable, sendableResources } from '../looks/sendable-resources.ts'
import { keepOutcomes } from '../outcomes/keep-outcomes.ts'
import { seenOutcomes } from '../outcomes/seen-outcomes.ts'
import { type Prepared, prepareTransaction } from './prepare-transaction.ts'
import { TRIES } from './update-resource.ts'

/** A delivery as one transaction, or as few as its server has room for. */
export class TransactionWrites {
  readonly #errand: Errand
  readonly #by: Means
  readonly #sendable: Sendable
  readonly #outcomes = new Map<string, WriteOutcome['what']>()
  /** Absent: the conditional reference, which the server resolves. */
  #subject: Reference | undefined
  /**
   * Whether what is there is looked for and left out: an earlier attempt may have made it, or the server fails what
   * matches.
   */
  #leavesOut: boolean
  /** Whether what was to be brought up to date stood there in another version than the one that was shown. */
  #wasStale = false
  /** How many resources the last transaction had. */
  #posted = 0
  /** Why what is there came to be left out, where it was an answer of this attempt. */
  #failedBy: Failure | undefined

  constructor(errand: Errand, by: Means) {
    this.#errand = errand
    this.#by = by
    this.#sendable = sendableResources(errand)
    this.#leavesOut = errand.uncertain || by.conditions()?.seen === 'failing'
  }

  async run(): Promise<CourseResult> {
    if (!refersByCondition(this.#errand, this.#by)) {
      const patient = await findPatient(this.#errand, this.#by)
      if (patient.kind !== 'found') return patient
      this.#subject = patient.reference
    }
    return this.#writeAll()
  }

  /**
   * Goes on after the whole was posted as it was rendered, and failed.
   *
   * @param posted UUIDs in the order of the transaction.
   */
  async afterFailure(verdict: Failure, posted: readonly string[]): Promise<CourseResult> {
    const { resources, keys } = this.#sendable
    await this.#keepSeen(
      posted.flatMap((uuid) => keys.get(uuid) ?? []),
      verdict,
    )
    const nothing = { there: [], places: new Map(), replacements: new Map() }
    const prepared: Prepared = { kind: 'prepared', resources, ...nothing }
    this.#posted = resources.length
    const ended = await this.#failed(verdict, resources, prepared)
    if (ended === 'again') return this.#writeAll()
    return ended ?? this.#done()
  }

  /**
   * Looks, then writes; again when what was looked at was overtaken by another writer, or where the server failed what may
   * have been there, when that turns out to be so.
   */
  async #writeAll(): Promise<CourseResult> {
    for (let tries = 1; tries <= TRIES; tries += 1) {
      const unwritten = {
        leavesOut: this.#leavesOut,
        readsAnew: this.#wasStale,
        written: this.#outcomes,
        subject: this.#subject,
      }
      const prepared = await prepareTransaction(this.#sendable, unwritten, this.#errand, this.#by)
      if (prepared.kind !== 'prepared') return prepared
      const { resources, there } = prepared
      if (this.#failedBy !== undefined && resources.length >= this.#posted) return endingOf(this.#failedBy)
      for (const { uuid } of there) this.#outcomes.set(uuid, 'already-there')
      this.#posted = resources.length
      const ended = resources.length === 0 ? undefined : await this.#post(resources, prepared)
      if (ended === undefined) {
        if (this.#failedBy !== undefined) await this.#by.sawConditions({ seen: 'failing' })
        return this.#done()
      }
      if (ended !== 'again') return ended
    }
    return { kind: 'not-now', problem: 'CLINIC_BUSY' }
  }

  async #post(
    resources: readonly SentResource[],
    prepared: Prepared,
  ): Promise<CourseResult | 'again' | undefined> {
    const here = new Set(resources.map(({ uuid }) => uuid))
    const placed = resources.map((sent) => this.#placed(sent, here, prepared))
    const answer = await this.#by.write(transactionRequest(placed, prepared.places))
    const verdict = transactionVerdict(
      answer,
      resources.map(({ intent }) => intent),
    )
    if (verdict.kind === 'done') return this.#keep(resources, verdict.outcomes)
    await this.#keepSeen(resources, verdict)
    return this.#failed(verdict, resources, prepared)
  }

  /** Where single entries failed inside a 200, what was done of the others: each was looked for. */
  async #keepSeen(written: readonly SentResource[], { parts = [] }: Failure): Promise<void> {
    if (parts.every((part) => part === undefined)) return
    await this.#keep(written, await seenOutcomes(written, parts, this.#errand, this.#by))
  }

  /** What was to be brought up to date, was not found and is there all the same stands as it was before: again. */
  async #keep(
    written: readonly SentResource[],
    outcomes: readonly (WriteOutcome | undefined)[],
  ): Promise<'again' | Ending | undefined> {
    const meant = written.map((sent) => ({ ...sent, intent: this.#intentOf(sent) }))
    let isBehind = false
    for (const [index, { uuid, intent }] of meant.entries()) {
      const what = outcomes[index]?.what
      if (what === undefined || this.#outcomes.has(uuid)) continue
      if (intent === 'update' && what === 'already-there') isBehind = true
      else this.#outcomes.set(uuid, what)
    }
    const mistaken = await keepOutcomes(meant, outcomes, this.#errand, this.#by, {
      byReference: this.#subject === undefined,
    })
    if (mistaken !== undefined) return mistaken
    return isBehind ? 'again' : undefined
  }

  /** What the delivery means to do with a resource, however it is written. */
  #intentOf({ uuid, intent }: SentResource): SentResource['intent'] {
    return this.#sendable.keys.get(uuid)?.intent ?? intent
  }

  async #failed(
    verdict: Failure,
    resources: readonly SentResource[],
    prepared: Prepared,
  ): Promise<CourseResult | 'again' | undefined> {
    switch (verdict.kind) {
      case 'stale':
        // It may as well be a create that failed for being there.
        this.#leavesOut = true
        this.#wasStale = true
        return 'again'
      case 'too-large': {
        const [first, second] = halves(resources) ?? []
        if (first === undefined || second === undefined) return endingOf(verdict)
        return (await this.#post(first, prepared)) ?? this.#post(second, prepared)
      }
      case 'patient':
      case 'conflict':
      case 'look':
      case 'not-offered':
      case 'refused':
        return (await this.#becauseOfPatient(verdict)) ?? this.#becauseOfWhatIsThere(verdict)
      default:
        return endingOf(verdict)
    }
  }

  /**
   * Whether the patient is why: servers fail a conditional reference with any of 400, 404, 412 and 422, and not all say
   * what they mean. One who is found by a search is named directly from here on.
   */
  async #becauseOfPatient(verdict: Failure): Promise<Ending | 'again' | undefined> {
    const isSaid = verdict.kind === 'patient'
    const { destination, rendered } = this.#errand
    if (this.#subject !== undefined) {
      this.#by.patients.forget(destination.name, rendered.patient)
      return isSaid ? endingOf(verdict) : undefined
    }
    const patient = await findPatient(this.#errand, this.#by)
    if (patient.kind === 'found') {
      if (!isSaid && !patient.created) return undefined
      this.#subject = patient.reference
      return 'again'
    }
    const cannotTell = patient.kind === 'stop' || patient.problem === 'PATIENT_NOT_MATCHED'
    if (cannotTell) return isSaid ? endingOf(verdict) : undefined
    return verdict.said === undefined ? patient : { said: verdict.said, ...patient }
  }

  /**
   * What a 412 means is told by what is there: doubles, everything already, or a way that is not offered. A 409 or a
   * refusal may come from an index of the server's own, which it fails on where a condition should have matched: what is
   * there is looked for once, and left out.
   */
  #becauseOfWhatIsThere(verdict: Failure): Ending | 'again' {
    if (this.#leavesOut || !mayBeThere(verdict)) return endingOf(verdict)
    this.#leavesOut = true
    this.#failedBy = verdict
    return 'again'
  }

  #placed(sent: SentResource, here: ReadonlySet<string>, { places, replacements }: Prepared): SentResource {
    const placeOf = (uuid: string): Reference | undefined => {
      const own = replacements.get(uuid) ?? uuid
      if (here.has(own)) return { reference: `urn:uuid:${own}` }
      const place = places.get(own) ?? this.#by.ledger.get(own)
      return place?.id === undefined ? undefined : { reference: `${place.type}/${place.id}` }
    }
    return { ...sent, resource: placedResource(sent, placeOf, this.#subject, this.#sendable.keys) }
  }

  #done(): CourseResult {
    const count = { created: 0, alreadyThere: 0, updated: 0 }
    for (const what of this.#outcomes.values()) count[what === 'already-there' ? 'alreadyThere' : what] += 1
    return { kind: 'done', ...count, ...leftOutOf(this.#sendable) }
  }
}

/** Whether the whole may have failed because something of it is there. What failed by itself, inside a 200, says why. */
function mayBeThere(verdict: Failure): boolean {
  const { kind } = verdict
  if (kind === 'conflict' || kind === 'look') return true
  return kind === 'refused' && verdict.problem === 'CLINIC_REFUSED' && verdict.parts === undefined
}
