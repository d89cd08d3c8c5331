import {
  type ClinicResource,
  codesOf,
  identifiersOf,
  isObject,
  type Token,
  tagsOf,
} from './clinic-resource.ts'

/** One search parameter with what it may be: any of the alternatives will do, but every criterion must hold. */
export interface Criterion {
  readonly parameter: SearchParameter
  readonly alternatives: readonly Token[]
}

/** The search parameters the server knows. `patient` and `subject` compare the reference as text. */
export const SEARCH_PARAMETERS = ['_id', '_tag', 'identifier', 'code', 'patient', 'subject'] as const
export type SearchParameter = (typeof SEARCH_PARAMETERS)[number]

/**
 * Reads the criteria of a query, and the names of what is unknown in it. Alternatives are parted by commas; `\,`, `\|`,
 * `\$` and `\\` stand for the character itself. `code` means `|code`-less: `system|value`, `|value` (no system),
 * `system|` (any value) and `value` (any system) are told apart.
 * Source: FHIR R4 4.0.1 search.html#token and #escaping.
 */
export function readCriteria(query: URLSearchParams): {
  readonly criteria: readonly Criterion[]
  readonly unknown: readonly string[]
} {
  const criteria: Criterion[] = []
  const unknown: string[] = []
  for (const [name, text] of query) {
    if (RESULT_PARAMETERS.has(name)) continue
    const parameter = SEARCH_PARAMETERS.find((one) => one === name)
    if (parameter === undefined) unknown.push(name)
    else criteria.push({ parameter, alternatives: partedBy(text, ',').map(readToken) })
  }
  return { criteria, unknown }
}

/** The same, of whichever system. */
export function withoutSystems(criteria: readonly Criterion[]): readonly Criterion[] {
  return criteria.map(({ parameter, alternatives }) => ({
    parameter,
    alternatives: alternatives.map(({ system: _, ...value }) => value),
  }))
}

/** They shape an answer and select nothing. `_page` is the server's own, of its `next` links. */
const RESULT_PARAMETERS = new Set(['_count', '_format', '_total', '_sort', '_summary', '_elements', '_page'])

/** A system that is the empty text means: without a system. */
function readToken(text: string): Token {
  const [first = '', second] = partedBy(text, '|')
  if (second === undefined) return { value: unescaped(first) }
  return { system: unescaped(first), ...(second === '' ? {} : { value: unescaped(second) }) }
}

/** Splits at a character that no backslash stands before. */
function partedBy(text: string, character: string): readonly string[] {
  const parts = ['']
  for (let at = 0; at < text.length; at += 1) {
    const here = text.charAt(at)
    const isEscape = here === '\\' && at + 1 < text.length
    if (here === character) parts.push('')
    else parts[parts.length - 1] += isEscape ? here + text.charAt(at + 1) : here
    if (isEscape) at += 1
  }
  return parts
}

function unescaped(text: string): string {
  return text.replace(/\\([\\,|$])/g, '$1')
}

export function meets(resource: ClinicResource, criteria: readonly Criterion[]): boolean {
  return criteria.every(({ parameter, alternatives }) => {
    const tokens = tokensOf(resource, parameter)
    return alternatives.some((asked) => tokens.some((token) => isAsked(token, asked)))
  })
}

function isAsked(token: Token, asked: Token): boolean {
  const sameSystem = asked.system === undefined || asked.system === (token.system ?? '')
  return sameSystem && (asked.value === undefined || asked.value === token.value)
}

function tokensOf(resource: ClinicResource, parameter: SearchParameter): readonly Token[] {
  switch (parameter) {
    case '_id':
      return [{ value: String(resource.id) }]
    case '_tag':
      return tagsOf(resource)
    case 'identifier':
      return identifiersOf(resource)
    case 'code':
      return codesOf(resource)
    case 'patient':
    case 'subject':
      return referenceTokens(resource.subject)
  }
}

/** `Patient/1` is found as that and as `1`. */
function referenceTokens(reference: unknown): readonly Token[] {
  const text = isObject(reference) ? reference.reference : undefined
  if (typeof text !== 'string') return []
  return [{ value: text }, { value: text.replace(/^.*\//, '') }]
}
