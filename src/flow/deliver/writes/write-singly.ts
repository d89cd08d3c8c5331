import type { Reference } from 'fhir/r4.js'
import { placedResource } from '../../../core/exchange/asked/placed-resource.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Course, CourseResult, Ending, Errand, Means } from '../errand/course.ts'
import { findPatient } from '../looks/find-patient.ts'
import { keepMatches, lookUpResources } from '../looks/look-up-resources.ts'
import { leftOutOf, sendableResources } from '../looks/sendable-resources.ts'
import { createResource, type WayOfCreating } from './create-resource.ts'
import { sentAsNew } from './send-as-new.ts'
import { replacementsToTakeBack } from './take-back-replacements.ts'
import { TRIES, updateResource } from './update-resource.ts'

/** What tells the rungs apart on which resources are written one by one. */
export interface WayOfWriting extends WayOfCreating {
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
export function writeSingly(way: WayOfWriting): Course {
  return (errand, by) => new SingleWrites(way, errand, by).run()
}

class SingleWrites {
  readonly #way: WayOfWriting
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

  constructor(way: WayOfWriting, errand: Errand, by: Means) {
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
      const ended = sent.intent === 'update' ? await this.#update(sent) : await this.#createOnce(sent)
      if (ended !== undefined) return ended
    }
    const kept = await this.#takeBack()
    if (kept !== undefined) return kept
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

  async #createOnce(sent: SentResource): Promise<Ending | undefined> {
    const isHeld = this.#by.ledger.get(sent.uuid) !== undefined
    const ended = isHeld ? 'there' : await this.#create(sent)
    if (ended !== 'there') return ended
    this.#count.alreadyThere += 1
    return undefined
  }

  async #create(sent: SentResource): Promise<Ending | 'there' | undefined> {
    const created = await createResource(this.#placed(sent), this.#way, this.#errand, this.#by)
    switch (created.kind) {
      case 'created':
      case 'updated':
        await this.#held(sent, created.place)
        this.#count[created.kind] += 1
        return undefined
      case 'there':
        await this.#held(sent, created.place)
        return 'there'
      case 'declined':
        this.#declined.add(sent.uuid)
        return undefined
      default:
        return created
    }
  }

  /**
   * Brings up to date what is there, and makes what is not. One that turns out to be there when it is made stands as it was
   * before, so it is brought up to date after all.
   */
  async #update(sent: SentResource): Promise<Ending | undefined> {
    for (let tries = 1; tries <= TRIES; tries += 1) {
      const updated = await updateResource(this.#placed(sent), this.#errand, this.#by)
      switch (updated.kind) {
        case 'updated':
        case 'same':
          await this.#held(sent, updated.place)
          this.#count[updated.kind === 'updated' ? 'updated' : 'alreadyThere'] += 1
          return undefined
        case 'absent': {
          const ended = await this.#create(sent)
          if (ended !== 'there') return ended
          continue
        }
        case 'cannot-update': {
          if (sent.type === 'Provenance') return this.#createOnce(sent)
          const asNew = await sentAsNew(sent, updated.place, this.#keys, this.#errand, this.#by)
          if (asNew.kind !== 'replacement') return asNew
          this.#replacements.set(sent.uuid, asNew.sent)
          return this.#createReplacement(asNew.sent)
        }
        default:
          return updated
      }
    }
    return { kind: 'not-now', problem: 'CLINIC_BUSY' }
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
    return this.#createOnce(replacement)
  }

  /** What was sent as new at a time when the server took no update, of what it now holds as it should be. */
  async #takeBack(): Promise<Ending | undefined> {
    const updates = this.#resources.filter(
      ({ uuid, intent }) => intent === 'update' && !this.#replacements.has(uuid),
    )
    const back = await replacementsToTakeBack(updates, this.#keys, this.#errand, this.#by)
    if (back.kind !== 'standing') return back
    for (const { sent } of back.standing) {
      const updated = await updateResource(sent, this.#errand, this.#by)
      switch (updated.kind) {
        case 'updated':
        case 'same':
          await this.#held(sent, updated.place)
          this.#count.updated += 1
          break
        case 'absent':
          break
        case 'cannot-update':
          return { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' }
        default:
          return updated
      }
    }
    return undefined
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
