import { LRUCache } from 'lru-cache'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Store } from '../../../flow/ports/ports.ts'

/** Links remembered, and for how long one is trusted when another process may have changed it. */
const MOST = 10_000
const TRUSTED_MS = 30_000

/** A subject that is not enrolled: remembered too, or every session of such a subject would ask again. */
const NOT_ENROLLED = Symbol('not enrolled')

/**
 * A store that remembers enrolments: each session received needs one, and they hardly change. Saving one here forgets
 * what was remembered of it at once; a change made by another process is seen after 30 seconds.
 */
export function rememberEnrolments(store: Store): Store {
  const remembered = new LRUCache<string, Enrolment | typeof NOT_ENROLLED>({ max: MOST, ttl: TRUSTED_MS })
  let saves = 0

  async function enrolments(
    source: string,
    subjects: readonly string[],
  ): Promise<readonly (Enrolment | undefined)[]> {
    const known = subjects.map((subject) => remembered.get(key(source, subject)))
    const unknown = subjects.filter((_, index) => known[index] === undefined)
    if (unknown.length === 0) return known.map(enrolmentOf)

    const savesBefore = saves
    const asked = (await store.enrolments(source, unknown)).map((enrolment) => enrolment ?? NOT_ENROLLED)
    // An answer that a save overtook may be old: it is used for this call and not remembered.
    if (saves === savesBefore) {
      for (const [index, subject] of unknown.entries()) {
        remembered.set(key(source, subject), asked[index] ?? NOT_ENROLLED)
      }
    }
    let next = 0
    return known.map((one) => enrolmentOf(one ?? asked[next++]))
  }

  return {
    ...store,
    enrolments,
    async saveEnrolment(enrolment, audit) {
      const saved = await store.saveEnrolment(enrolment, audit)
      saves += 1
      remembered.delete(key(enrolment.source, enrolment.subject))
      return saved
    },
  }
}

function enrolmentOf(known: Enrolment | typeof NOT_ENROLLED | undefined): Enrolment | undefined {
  return known === NOT_ENROLLED ? undefined : known
}

/** Subjects may hold any character, so the parts are kept apart by their lengths. */
function key(source: string, subject: string): string {
  return `${source.length}:${source}${subject}`
}
