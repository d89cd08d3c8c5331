/**
 * A member name as a normalized path has it: `['two words']`. Source: RFC 9535 section 2.7.
 */
export function normalizedName(name: string): string {
  return PLAIN.test(name) ? `['${name}']` : `['${name.replaceAll(ESCAPED, escapeOf)}']`
}

const PLAIN = /^[\w -]*$/
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what the RFC has escaped
const ESCAPED = /[\u0000-\u001f'\\]/g

const SHORT: Readonly<Record<string, string>> = {
  '\b': '\\b',
  '\t': '\\t',
  '\n': '\\n',
  '\f': '\\f',
  '\r': '\\r',
  "'": "\\'",
  '\\': '\\\\',
}

function escapeOf(character: string): string {
  return SHORT[character] ?? `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`
}

/** Names and positions as a normalized path without its `$`. */
export function normalizedSteps(steps: readonly (string | number)[]): string {
  let path = ''
  for (const step of steps) path += typeof step === 'number' ? `[${step}]` : normalizedName(step)
  return path
}
