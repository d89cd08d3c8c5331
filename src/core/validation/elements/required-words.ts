import type { Issue } from '../../basics/issue.ts'
import { type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { REQUIRED_WORDS } from './element-table.generated.js'

/** The concepts of a value set with codes of one system. */
export interface ConceptWords {
  readonly system: string
  readonly codes: ReadonlySet<string>
}

const codes = new Map<string, ReadonlySet<string>>()

/** The codes of a required value set. The same set for each element that is bound to it. */
export function codesOf(name: string): ReadonlySet<string> {
  let known = codes.get(name)
  if (known === undefined) {
    known = new Set((REQUIRED_WORDS[name] ?? '').split(' '))
    codes.set(name, known)
  }
  return known
}

export function conceptsOf(name: string): ConceptWords {
  const [system = '', ...words] = (REQUIRED_WORDS[name] ?? '').split(' ')
  return { system, codes: new Set(words) }
}

/** Whether one of the codings is in the value set, or there is none and a text alone cannot be judged: then it is not. */
export function isRequiredConcept({ coding }: JsonObject, concepts: ConceptWords): boolean {
  return objectsOf(coding).some(
    ({ system, code }) => system === concepts.system && typeof code === 'string' && concepts.codes.has(code),
  )
}

export function wrongConcept(at: string, { system, codes: words }: ConceptWords): Issue {
  return {
    severity: 'error',
    type: 'code-invalid',
    code: 'STRUCTURE',
    at,
    expected: `a coding of ${system} with one of ${[...words].join(', ')}`,
    remedy: 'Add a coding from the value set that R4 requires here.',
  }
}
