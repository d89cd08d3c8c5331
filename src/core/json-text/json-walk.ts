import type { InputPath } from './place-text.ts'

/** Where a text stops being JSON. */
export interface JsonFault {
  /** 0-based offset of the first character that cannot stand there; the length of a text that ends too early. */
  readonly offset: number
  /** What could have stood there: "a comma or ]". */
  readonly expected: string
}

/**
 * Walks a text by the grammar of RFC 8259 and tells every key it meets, so that what `JSON.parse` keeps to itself
 * can be said: where it gave up, and which key came twice. Ten times slower, hence only for texts to be refused.
 *
 * @param onKey told the path that ends with the key, and whether its object has had that key already.
 * @returns where the text stops being JSON; undefined when it is JSON throughout.
 */
export function walkJson(
  text: string,
  onKey: (path: InputPath, repeated: boolean) => void,
): JsonFault | undefined {
  const open: Open[] = []
  let awaited: Awaited = 'a JSON value'
  let at = 0
  while (true) {
    at = endOf(WHITE_SPACE, text, at) ?? at
    const character = text.charAt(at)
    const inside = open.at(-1)
    if (awaited === 'the end of the text') {
      return at === text.length ? undefined : { offset: at, expected: awaited }
    }
    if (character === closing(awaited)) {
      open.pop()
      awaited = afterValue(open.at(-1))
      at++
    } else if (isKeyAwaited(awaited) && inside !== undefined && character === '"') {
      const end = stringEnd(text, at)
      if (typeof end !== 'number') return end
      const key = String(JSON.parse(text.slice(at, end)))
      inside.step = key
      const path = open.map(({ step }) => step)
      onKey(path, inside.keys.has(key))
      inside.keys.add(key)
      awaited = 'a colon'
      at = end
    } else if (awaited === 'a colon' && character === ':') {
      awaited = 'a JSON value'
      at++
    } else if (isCommaAwaited(awaited) && inside !== undefined && character === ',') {
      if (typeof inside.step === 'number') inside.step++
      awaited = inside.isArray ? 'a JSON value' : 'a key in double quotes'
      at++
    } else if (isValueAwaited(awaited) && (character === '{' || character === '[')) {
      const isArray = character === '['
      open.push({ isArray, keys: new Set(), step: isArray ? 0 : '' })
      awaited = isArray ? 'a JSON value or ]' : 'a key in double quotes or }'
      at++
    } else if (isValueAwaited(awaited)) {
      const end = character === '"' ? stringEnd(text, at) : endOf(NUMBER_OR_WORD, text, at)
      if (end === undefined) return { offset: at, expected: awaited }
      if (typeof end !== 'number') return end
      awaited = afterValue(inside)
      at = end
    } else {
      return { offset: at, expected: awaited }
    }
  }
}

/** An object or array that is not closed yet. */
interface Open {
  readonly isArray: boolean
  /** Keys met so far; of an array none. */
  readonly keys: Set<string>
  /** The key or index of the value that is being read. */
  step: string | number
}

/** What may come next, in the words a fault is told with. */
type Awaited =
  | 'a JSON value'
  | 'a JSON value or ]'
  | 'a key in double quotes'
  | 'a key in double quotes or }'
  | 'a colon'
  | 'a comma or }'
  | 'a comma or ]'
  | 'the end of the text'

function closing(awaited: Awaited): string | undefined {
  const last = awaited.at(-1)
  return last === '}' || last === ']' ? last : undefined
}

function isKeyAwaited(awaited: Awaited): boolean {
  return awaited.startsWith('a key')
}

function isValueAwaited(awaited: Awaited): boolean {
  return awaited.startsWith('a JSON value')
}

function isCommaAwaited(awaited: Awaited): boolean {
  return awaited.startsWith('a comma')
}

function afterValue(inside: Open | undefined): Awaited {
  if (inside === undefined) return 'the end of the text'
  return inside.isArray ? 'a comma or ]' : 'a comma or }'
}

const WHITE_SPACE = /[ \t\n\r]*/y
const NUMBER_OR_WORD = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null/y
const ESCAPE = /\\(?:["\\/bfnrt]|u[0-9A-Fa-f]{4})/y

/** Offset after what the pattern matches at `at`; undefined when it does not match there. */
function endOf(pattern: RegExp, text: string, at: number): number | undefined {
  pattern.lastIndex = at
  return pattern.test(text) ? pattern.lastIndex : undefined
}

/** Offset after the closing quote of the string that begins at `start`. */
function stringEnd(text: string, start: number): number | JsonFault {
  let at = start + 1
  while (at < text.length) {
    const character = text.charAt(at)
    if (character === '"') return at + 1
    if (character < ' ') return { offset: at, expected: 'control characters in a string written as escapes' }
    if (character === '\\') {
      const end = endOf(ESCAPE, text, at)
      if (end === undefined) return { offset: at, expected: 'an escape that JSON knows' }
      at = end
    } else {
      at++
    }
  }
  return { offset: at, expected: 'a closing double quote' }
}
