import type { ElementRules } from './element-rules.ts'
import { type Finding, finding, softened } from './finding.ts'

/** An absent element that a profile says systems must be able to fill. */
export function unsupported({ mustSupport, id }: ElementRules, at: string): Finding {
  const by = { name: 'must-support', rank: mustSupport?.rank ?? 0 }
  const expected = `${id}, which ${mustSupport?.name} marks must-support, where it is known`
  const found = finding(`support ${id}`, 'informational', by, at, expected, 'Send it where you hold it.')
  return softened(found, 'information')
}
