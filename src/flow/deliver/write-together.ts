import type { Reference } from 'fhir/r4.js'
import { placedResource } from '../../core/exchange/placed-resource.ts'
import type { SentResource } from '../../core/exchange/sent-resource.ts'
import { halves, transactionRequest } from '../../core/exchange/transaction-request.ts'
import { transactionVerdict } from '../../core/exchange/transaction-verdict.ts'
import type { WriteOutcome } from '../../core/exchange/write-verdict.ts'
import type { CourseResult, Ending, Errand, Means } from './course.ts'
import { endingOf, type Failure } from './ending-of.ts'
import { findPatient } from './find-patient.ts'
import { keepOutcomes } from './keep-outcomes.ts'
import { lookUpResources } from './look-up-resources.ts'
import { type Prepared, prepareTransaction } from './prepare-transaction.ts'
import { leftOutOf, type Sendable, sendableResources } from './sendable-resources.ts'
import { TRIES } from './update-resource.ts'

/** A delivery as one transaction, or as few as its server has room for. */
export class TransactionWrites {
  readonly #errand: Errand
  readonly #by: Means
  readonly #sendable: Sendable
  readonly #outcomes = new Map<string, WriteOutcome['what']>()
  /** Absent: the conditional reference, which the server resolves. */
  #subject: Reference | undefined

  constructor(errand: Errand, by: Means) {
    this.#errand = errand
    this.#by = by
    this.#sendable = sendableResources(errand)
  }

  async run(): Promise<CourseResult> {
    if (this.#errand.destination.patient.by !== 'conditional-reference') {
      const patient = await findPatient(this.#errand, this.#by)
      if (patient.kind !== 'found') return patient
      this.#subject = patient.reference
    }
    return this.#writeAll()
  }

  /** Goes on after the whole was posted as it was rendered, and failed. */
  async afterFailure(verdict: Failure): Promise<CourseResult> {
    const { resources } = this.#sendable
    const prepared: Prepared = { kind: 'prepared', resources, places: new Map(), replacements: new Map() }
    const ended = await this.#failed(verdict, resources, prepared)
    if (ended === 'again') return this.#writeAll()
    return ended ?? this.#done()
  }

  /** Looks, then writes; again when what was looked at was overtaken by another writer. */
  async #writeAll(): Promise<CourseResult> {
    let last: Ending = { kind: 'not-now', problem: 'CLINIC_BUSY' }
    for (let tries = 1; tries <= TRIES; tries += 1) {
      const prepared = await prepareTransaction(this.#sendable, this.#errand, this.#by)
      if (prepared.kind !== 'prepared') return prepared
      const ended = await this.#post(prepared.resources, prepared)
      if (ended === undefined) return this.#done()
      if (ended !== 'again') return ended
      last = { kind: 'not-now', problem: 'CLINIC_BUSY' }
    }
    return last
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
    if (verdict.kind !== 'done') return this.#failed(verdict, resources, prepared)
    for (const [index, { what }] of verdict.outcomes.entries()) {
      const sent = resources[index]
      if (sent !== undefined && !this.#outcomes.has(sent.uuid)) this.#outcomes.set(sent.uuid, what)
    }
    await keepOutcomes(resources, verdict.outcomes, this.#errand, this.#by)
    return undefined
  }

  async #failed(
    verdict: Failure,
    resources: readonly SentResource[],
    prepared: Prepared,
  ): Promise<CourseResult | 'again' | undefined> {
    switch (verdict.kind) {
      case 'stale':
        return 'again'
      case 'too-large': {
        const [first, second] = halves(resources) ?? []
        if (first === undefined || second === undefined) return endingOf(verdict)
        return (await this.#post(first, prepared)) ?? this.#post(second, prepared)
      }
      case 'patient':
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

  /** What a 412 means is told by what is there: doubles, everything already, or a way that is not offered. */
  async #becauseOfWhatIsThere(verdict: Failure): Promise<CourseResult> {
    if (verdict.kind !== 'look') return endingOf(verdict)
    const { resources } = this.#sendable
    const looked = await lookUpResources(resources, this.#errand, this.#by)
    if (looked.kind === 'cannot-look') return endingOf(verdict)
    if (looked.kind !== 'found') return looked
    const isAllThere = resources.every(({ uuid, intent }) => intent === 'create' && looked.matches.has(uuid))
    return isAllThere
      ? { kind: 'done', created: 0, alreadyThere: resources.length, updated: 0 }
      : endingOf(verdict)
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
