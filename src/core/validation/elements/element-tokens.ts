import { ELEMENT_TABLE } from './element-table.generated.js'

/** One element as the table writes it: see `element-table.generated.d.ts`. */
export interface Token {
  readonly name: string
  readonly isChoice: boolean
  readonly isRequired: boolean
  readonly repeats: boolean
  /** Each with its targets and words: `Reference(Patient,Group)`. */
  readonly types: readonly string[]
}

const TOKEN = /^([A-Za-z]\w*)(\[x\])?([?!*+])(.+)$/

/** The elements of a type, those of its base first, and whether it is a resource. */
export function readTokens(name: string): {
  readonly tokens: readonly Token[]
  readonly isResource: boolean
} {
  const words = (ELEMENT_TABLE[name] ?? '').split(' ')
  const [base = ''] = words
  const hasBase = Object.hasOwn(ELEMENT_TABLE, base)
  const tokens = (hasBase ? words.slice(1) : words).filter((word) => word !== '').map(readToken)
  return {
    tokens: hasBase ? [...readTokens(base).tokens, ...tokens] : tokens,
    isResource: isResourceBase(base) || isResourceBase(name),
  }
}

function readToken(word: string): Token {
  const [, name = '', choice, cardinality = '', types = ''] = TOKEN.exec(word) ?? []
  if (name === '') throw new Error(`The element table has ${word}`)
  return {
    name,
    isChoice: choice !== undefined,
    isRequired: cardinality === '!' || cardinality === '+',
    repeats: cardinality === '*' || cardinality === '+',
    types: (types === '*' ? (ELEMENT_TABLE['*'] ?? '') : types).split('|'),
  }
}

/** The JSON property of an element as one of its types: `valueQuantity`. */
export function propertyOf({ name, isChoice }: Token, typeName: string): string {
  return isChoice ? name + typeName.charAt(0).toUpperCase() + typeName.slice(1) : name
}

function isResourceBase(name: string): boolean {
  return name === 'Resource' || name === 'DomainResource'
}

/** The names of all R4 resource types. */
export const RESOURCE_TYPES: ReadonlySet<string> = new Set(
  Object.entries(ELEMENT_TABLE)
    .filter(([, words]) => words.startsWith('DomainResource ') || words.startsWith('Resource '))
    .map(([name]) => name),
)
