import type { Issue } from '../../../core/basics/issue.ts'
import { nearestKey } from '../../../core/json-text/nearest-key.ts'
import { settingsProblem } from '../settings-refused.ts'

/**
 * An id that no loaded document has. Lists those there are; it names the nearest, and never repeats the id itself.
 *
 * @param what the kind of document, with its article: "a threshold set".
 */
export function notLoaded(at: string, id: string, what: string, known: Iterable<string>): Issue {
  const ids = [...known]
  const meant = nearestKey(id, ids)
  const hint = meant === undefined ? '' : ` Did you mean “${meant}”?`
  return settingsProblem(at, `one of: ${ids.join(', ')}`, `Name ${what} that is loaded.${hint}`)
}
