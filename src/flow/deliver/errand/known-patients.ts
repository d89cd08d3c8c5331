import { LRUCache } from 'lru-cache'
import type { PatientIdentifier } from '../../../core/exchange/asked/patient-search.ts'

/**
 * Patients remembered, and for how long: the clinic may merge a record at any time. Common practice; no source fixes it.
 */
const MOST = 10_000
const BELIEVED_MS = 60_000

/** The clinic's own ids of patients who were found a moment ago, and the form of search that each server offers. */
export class KnownPatients {
  readonly #ids = new LRUCache<string, string>({ max: MOST, ttl: BELIEVED_MS })
  readonly #forms = new Map<string, SearchForm>()

  id(destination: string, patient: PatientIdentifier): string | undefined {
    return this.#ids.get(keyOf(destination, patient))
  }

  remember(destination: string, patient: PatientIdentifier, id: string): void {
    this.#ids.set(keyOf(destination, patient), id)
  }

  forget(destination: string, patient: PatientIdentifier): void {
    this.#ids.delete(keyOf(destination, patient))
  }

  /** Forms of search to try, the one that worked before first. */
  forms(destination: string): readonly SearchForm[] {
    const known = this.#forms.get(destination)
    return known === undefined ? ['post', 'get'] : [known]
  }

  worked(destination: string, form: SearchForm): void {
    this.#forms.set(destination, form)
  }
}

export type SearchForm = 'post' | 'get'

/** Systems and values may hold any character, so the parts are told apart as JSON does. */
export function keyOf(destination: string, { system, value }: PatientIdentifier): string {
  return JSON.stringify([destination, system, value])
}
