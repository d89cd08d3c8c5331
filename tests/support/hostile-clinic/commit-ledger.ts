import {
  type ClinicResource,
  identifiersOf,
  isObject,
  items,
  ownKeyOf,
  type Version,
} from './clinic-resource.ts'
import type { KeptResources } from './kept-resources.ts'

/** One write that the clinic's server truly did. */
export interface CommittedWrite {
  /** From 0 on, in the order of commits. */
  readonly place: number
  readonly action: 'create' | 'update' | 'delete'
  readonly type: string
  readonly id: string
  readonly version: number
  /** Epoch ms. */
  readonly atMs: number
  /** Number of the request that did it; 0 for what was done behind everybody's back. */
  readonly request: number
  /** Value of the first identifier, else code of the first tag. */
  readonly key: string | undefined
  /** Value of the first identifier of the patient it is about, where that can be told. */
  readonly patient: string | undefined
}

/** What was written, in order: the judge of whether anything was done twice, lost, or out of turn. */
export class CommitLedger {
  readonly #writes: CommittedWrite[] = []
  readonly #first = new Map<string, CommittedWrite>()

  get writes(): readonly CommittedWrite[] {
    return this.#writes
  }

  note(action: CommittedWrite['action'], version: Version, request: number, kept: KeptResources): void {
    const { type, id, atMs } = version
    const resource = version.resource ?? kept.versions(type, id).at(-2)?.resource
    const write: CommittedWrite = {
      place: this.#writes.length,
      action,
      type,
      id,
      version: version.version,
      atMs,
      request,
      key: resource === undefined ? undefined : ownKeyOf(resource)?.value,
      patient: resource === undefined ? undefined : patientOf(resource, kept),
    }
    this.#writes.push(write)
    if (write.key !== undefined && !this.#first.has(write.key)) this.#first.set(write.key, write)
  }

  /** The write by which something with this key first came to be there. */
  firstOf(key: string): CommittedWrite | undefined {
    return this.#first.get(key)
  }

  /** Times a resource with this key was created, whatever became of it later. */
  timesCreated(key: string): number {
    return this.#writes.filter((write) => write.action === 'create' && write.key === key).length
  }

  /** Keys under which more than one resource was ever created. Patients left out: they are the clinic's own. */
  createdTwice(): readonly string[] {
    const times = new Map<string, number>()
    for (const { action, key, type } of this.#writes) {
      if (action !== 'create' || key === undefined || type === 'Patient') continue
      times.set(`${type} ${key}`, (times.get(`${type} ${key}`) ?? 0) + 1)
    }
    return [...times].filter(([, count]) => count > 1).map(([key]) => key)
  }

  /** The writes about one patient, in order. */
  aboutPatient(value: string): readonly CommittedWrite[] {
    return this.#writes.filter(({ patient }) => patient === value)
  }
}

/** By the subject; of a Provenance, by that of its first target. */
function patientOf(resource: ClinicResource, kept: KeptResources): string | undefined {
  const subject = resource.resourceType === 'Provenance' ? items(resource.target)[0] : resource.subject
  if (!isObject(subject)) return undefined
  if (isObject(subject.identifier) && subject.type === 'Patient') return String(subject.identifier.value)
  const [, type, id] = /^([A-Z]\w+)\/([^/]+)/.exec(String(subject.reference)) ?? []
  const held = type === undefined || id === undefined ? undefined : kept.current(type, id)
  if (held === undefined) return undefined
  return type === 'Patient' ? identifiersOf(held)[0]?.value : patientOf(held, kept)
}
