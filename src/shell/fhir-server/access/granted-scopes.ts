/** A SMART scope, taken apart: `system/Observation.cus?category=vital-signs`. */
interface SmartScope {
  /** `system`, `user`, `patient` with what stands before the type. */
  readonly context: string
  readonly type: string
  /** Of `cruds`. */
  readonly letters: ReadonlySet<string>
  /** Search parameters that narrow it; empty for none. */
  readonly query: string
}

const SMART_SCOPE = /^(system|user|patient)\/(\*|[A-Za-z]+)\.(read|write|\*|[cruds]+)(?:\?(.*))?$/

/** What version 1 of the scopes means in letters. Source: SMART App Launch 2.2, scopes for requesting clinical data. */
const LETTERS_OF_VERSION_1: ReadonlyMap<string, string> = new Map([
  ['read', 'rs'],
  ['write', 'cud'],
  ['*', 'cruds'],
])

/**
 * Whether everything that was asked for was granted, however it is written: in another order, split up, put together, as
 * version 1 or 2, by a wildcard, or with more beside it. A grant that is narrowed by a search covers only what was asked
 * with the same one. A scope that is none of SMART's must be granted as it stands.
 *
 * @param granted the `scope` of a token response, scopes with blanks between them.
 */
export function coversScopes(granted: string, asked: readonly string[]): boolean {
  const words = granted.split(/\s+/).filter((word) => word !== '')
  const given = words.flatMap((word) => smartScope(word) ?? [])
  return asked.every((word) => {
    const scope = smartScope(word)
    if (scope === undefined) return words.includes(word)
    return [...scope.letters].every((letter) => given.some((one) => allows(one, scope, letter)))
  })
}

function allows(given: SmartScope, asked: SmartScope, letter: string): boolean {
  return (
    given.context === asked.context &&
    (given.type === '*' || given.type === asked.type) &&
    given.letters.has(letter) &&
    (given.query === '' || given.query === asked.query)
  )
}

function smartScope(word: string): SmartScope | undefined {
  const [, context, type, suffix, query = ''] = SMART_SCOPE.exec(word) ?? []
  if (context === undefined || type === undefined || suffix === undefined) return undefined
  return { context, type, letters: new Set(LETTERS_OF_VERSION_1.get(suffix) ?? suffix), query }
}
