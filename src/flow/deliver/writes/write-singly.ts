import type { Reference } from 'fhir/r4.js'
import { writeVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import { placedResource } from '../../../core/exchange/asked/placed-resource.ts'
import type { FhirRequest, ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import { isDenied } from '../../../core/exchange/route/ladder.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Course, CourseResult, Ending, Errand, Means } from '../errand/course.ts'
import { endingOf, type Failure } from '../errand/ending-of.ts'
import { findPatient } from '../looks/find-patient.ts'
import { keepMatches, lookUpResources } from '../looks/look-up-resources.ts'
import { leftOutOf, sendableResources } from '../looks/sendable-resources.ts'
import { sentAsNew } from './send-as-new.ts'
import { updateResource } from './update-resource.ts'

/** What tells the rungs apart on which resources are written one by one. */
export interface WayOfCreating {
  readonly request: (placed: SentResource) => FhirRequest
  readonly wrote: 'conditional-create' | 'create' | 'put'
  /**
   * Whether everything is looked for before it is created, and not only what is uncertain. `where-it-can`: what is there
   * must not be written over, but nothing is made twice where it cannot be looked for.
   */
  readonly looksFirst: boolean | 'where-it-can'
  /** What becomes of an uncertain entry when the server cannot be asked what it holds. */
  readonly inDoubt: 'write-again' | 'leave-to-person'
  /** Whether each step is kept at once, because nobody could be asked for it after a crash. */
  readonly keepsEachStep: boolean
}

/** One resource after the other, what is referred to before what refers to it. */
export function writeSingly(way: WayOfCreating): Course {
  return (errand, by) => new SingleWrites(way, errand, by).run()
}

class SingleWrites {
  readonly #way: WayOfCreating
  readonly #errand: Errand
  readonly #by: Means
  readonly #keys: ReadonlyMap<string, SentResource>
  readonly #resources: readonly SentResource[]
  /** What was sent as new in place of an update, by the UUID of what it replaces. */
  readonly #replacements = new Map<string, SentResource>()
  readonly #count = { created: 0, alreadyThere: 0, updated: 0 }
  /** What might be there already and cannot be looked for, and is not what is delivered. */
  #leftOut: ReadonlySet<string> = new Set()
  /** What the server was given and does not take, and is not what is delivered. */
  readonly #declined = new Set<string>()
  #subject: Reference = {}

  constructor(way: WayOfCreating, errand: Errand, by: Means) {
    this.#way = way
    this.#errand = errand
    this.#by = by
    const { resources, keys } = sendableResources(errand)
    this.#resources = resources
    this.#keys = keys
  }

  async run(): Promise<CourseResult> {
    const patient = await findPatient(this.#errand, this.#by)
    if (patient.kind !== 'found') return patient
    this.#subject = patient.reference
    await this.#by.ledger.load([...this.#keys.keys()])
    const ending = await this.#lookFirst()
    if (ending !== undefined) return ending
    for (const sent of this.#resources) {
      if (this.#leftOut.has(sent.uuid)) continue
      const ended = sent.intent === 'update' ? await this.#update(sent) : await this.#create(sent)
      if (ended !== undefined) return ended
    }
    const left = new Set([...this.#leftOut, ...this.#declined])
    return {
      kind: 'done',
      ...this.#count,
      ...leftOutOf({ resources: this.#resources, keys: this.#keys }, left),
    }
  }

  /** Learns which of the resources are there already, where that is not known and would not show by itself. */
  async #lookFirst(): Promise<Ending | undefined> {
    const { looksFirst, inDoubt } = this.#way
    const { uncertain } = this.#errand
    if (looksFirst === false && !uncertain) return undefined
    const open = this.#resources.filter(({ uuid }) => this.#by.ledger.get(uuid) === undefined)
    const looked = await lookUpResources(open, this.#errand, this.#by)
    if (looked.kind === 'found') {
      keepMatches(open, looked.matches, this.#by)
      if (inDoubt === 'leave-to-person' && (uncertain || looksFirst === true)) this.#leftOut = looked.unlooked
      return undefined
    }
    if (looked.kind !== 'cannot-look') return looked
    if (uncertain && inDoubt === 'leave-to-person') return { kind: 'park', problem: 'OUTCOME_UNKNOWN' }
    return looksFirst === true ? { kind: 'not-offered', problem: looked.problem } : undefined
  }

  async #create(sent: SentResource): Promise<Ending | undefined> {
    if (this.#by.ledger.get(sent.uuid) !== undefined) {
      this.#count.alreadyThere += 1
      return undefined
    }
    const verdict = writeVerdict(await this.#by.write(this.#way.request(this.#placed(sent))), this.#way.wrote)
    switch (verdict.kind) {
      case 'done': {
        const [outcome] = verdict.outcomes
        await this.#held(sent, outcome?.place)
        await this.#by.declined(sent.type)
        if (outcome?.what === 'already-there') this.#count.alreadyThere += 1
        else if (outcome?.what === 'updated') this.#count.updated += 1
        else this.#count.created += 1
        return undefined
      }
      case 'look':
        return this.#lookAgain(sent, endingOf(verdict))
      case 'not-offered':
        return this.#notOffered(
          sent,
          endingOf(verdict),
          this.#way.wrote === 'put' || verdict.ofCondition === true,
        )
      case 'conflict':
      case 'refused':
        return this.#unlessThere(sent, verdict)
      case 'patient':
        this.#by.patients.forget(this.#errand.destination.name, this.#errand.rendered.patient)
        return endingOf(verdict)
      default:
        return endingOf(verdict)
    }
  }

  /**
   * Servers were seen that fail a create whose condition matches, on an index of their own: it is looked for, unless it
   * was before. What is found is there; else the answer stands.
   */
  async #unlessThere(
    sent: SentResource,
    verdict: Failure & { readonly kind: 'conflict' | 'refused' },
  ): Promise<Ending | undefined> {
    const isOther =
      verdict.kind === 'refused' &&
      (this.#way.wrote !== 'conditional-create' || verdict.problem !== 'CLINIC_REFUSED')
    const looked = isOther ? undefined : await lookUpResources([sent], this.#errand, this.#by)
    const match = looked?.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
    if (match === undefined) return looked?.kind === 'refused' ? looked : endingOf(verdict)
    await this.#held(sent, match.place)
    this.#count.alreadyThere += 1
    return undefined
  }

  /** A conditional create was answered 412: several, one that the server does not match itself, or not offered. */
  async #lookAgain(sent: SentResource, notOffered: Ending): Promise<Ending | undefined> {
    const looked = await lookUpResources([sent], this.#errand, this.#by)
    if (looked.kind !== 'found' && looked.kind !== 'cannot-look') return looked
    const match = looked.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
    if (match === undefined) return this.#notOffered(sent, notOffered, true)
    await this.#held(sent, match.place)
    this.#count.alreadyThere += 1
    return undefined
  }

  /**
   * Observations are what is delivered: a way that is not offered for them is no way. A Device or Provenance is left out,
   * and what refers to it names it by its identifier; but only where the statement denies its type, or the server said so
   * again to an entry that had waited: one answer may come from something that stands before it.
   *
   * @param ofTheWay what is not taken is the condition, or the id of ours, and not the type: the next way has none.
   */
  async #notOffered(
    { type, uuid }: SentResource,
    notOffered: Ending,
    ofTheWay: boolean,
  ): Promise<Ending | undefined> {
    const { entry, route, choice } = this.#errand
    const denied = isDenied(route, choice.rung, type)
    if (type === 'Observation' || (ofTheWay && !denied)) return notOffered
    const before = route.declined?.[type]
    const isAgain = before !== undefined && entry.lastProblem === 'CLINIC_NOT_OFFERED'
    if (!denied && before !== 'again' && !isAgain) {
      await this.#by.declined(type, 'once')
      return { kind: 'not-now', problem: 'CLINIC_NOT_OFFERED', ...saidIn(notOffered) }
    }
    if (isAgain) await this.#by.declined(type, 'again')
    this.#declined.add(uuid)
    return undefined
  }

  async #update(sent: SentResource): Promise<Ending | undefined> {
    const updated = await updateResource(this.#placed(sent), this.#errand, this.#by)
    switch (updated.kind) {
      case 'updated':
      case 'same':
        await this.#held(sent, updated.place)
        this.#count[updated.kind === 'updated' ? 'updated' : 'alreadyThere'] += 1
        return undefined
      case 'absent':
        return this.#create(sent)
      case 'cannot-update': {
        const replacement = sentAsNew(sent, updated.place, this.#keys, this.#errand.destination)
        if (replacement === undefined) return { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' }
        this.#replacements.set(sent.uuid, replacement)
        return this.#createReplacement(replacement)
      }
      default:
        return updated
    }
  }

  async #createReplacement(replacement: SentResource): Promise<Ending | undefined> {
    await this.#by.ledger.load([replacement.uuid])
    if (
      this.#by.ledger.get(replacement.uuid) === undefined &&
      (this.#way.looksFirst !== false || this.#errand.uncertain)
    ) {
      const looked = await lookUpResources([replacement], this.#errand, this.#by)
      if (looked.kind === 'found') keepMatches([replacement], looked.matches, this.#by)
      else if (looked.kind !== 'cannot-look') return looked
    }
    return this.#create(replacement)
  }

  async #held(sent: SentResource, place: ResourcePlace | undefined): Promise<void> {
    this.#by.ledger.addAt(sent, place)
    if (this.#way.keepsEachStep) await this.#by.ledger.keep()
  }

  #placed(sent: SentResource): SentResource {
    const resource = placedResource(sent, (uuid) => this.#placeOf(uuid), this.#subject, this.#keys)
    return { ...sent, resource }
  }

  #placeOf(uuid: string): Reference | undefined {
    const replacement = this.#replacements.get(uuid)
    const held = this.#by.ledger.get(replacement?.uuid ?? uuid)
    if (held?.id !== undefined) return { reference: `${held.type}/${held.id}` }
    if (replacement === undefined) return undefined
    const { system, value } = replacement.key
    return { type: replacement.type, identifier: { system, value } }
  }
}

function saidIn({ said }: Ending): Pick<Ending, 'said'> {
  return said === undefined ? {} : { said }
}
