import { isFrozenThroughout } from './frozen.ts'
import type { JsonObject } from './json-object.ts'

/**
 * Writes a JSON value as `JSON.stringify` does, with every character beyond ASCII escaped, but writes what never changes
 * once only: the text of a value that is frozen with all that is in it is remembered. Resources are made mostly of such
 * constants.
 *
 * In ASCII, because one apostrophe of typesetters makes an engine keep, copy and encode all of a text in twice the room;
 * to a reader of JSON both are the same text. Source: RFC 8259 section 7.
 *
 * @param value made of objects, arrays, texts, finite numbers, booleans and null; members that are undefined are left
 *   out. A `toJSON` method is not called.
 */
export function writeJson(value: unknown): string {
  written = ''
  write(value)
  return written
}

/** A JSON text with every character beyond ASCII escaped: the same value, in the form `writeJson` gives it. */
export function inAscii(json: string): string {
  return BEYOND_ASCII.test(json) ? json.replace(EACH_BEYOND_ASCII, escaped) : json
}

const BEYOND_ASCII = /[\u0080-\uffff]/
const EACH_BEYOND_ASCII = /[\u0080-\uffff]/g

function escaped(character: string): string {
  return `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`
}

/**
 * What was written so far. Only ever added to at its end: engines keep a text that grows so as a chain, and lay that
 * out in one go when it is read.
 */
let written = ''

function write(value: unknown): void {
  if (typeof value === 'string') writeText(value)
  else if (typeof value !== 'object' || value === null) written += JSON.stringify(value) ?? 'null'
  else if (Object.isFrozen(value)) writeConstant(value)
  else writeContent(value)
}

function writeContent(value: object): void {
  if (Array.isArray(value)) writeList(value)
  else writeObject(value as JsonObject)
}

function writeList(items: readonly unknown[]): void {
  written += '['
  for (let i = 0; i < items.length; i++) {
    if (i > 0) written += ','
    write(items[i])
  }
  written += ']'
}

function writeObject(object: JsonObject): void {
  let isFirst = true
  for (const name in object) {
    const value = object[name]
    if (value === undefined || !Object.hasOwn(object, name)) continue
    written += isFirst ? named(name).first : named(name).next
    isFirst = false
    write(value)
  }
  written += isFirst ? '{}' : '}'
}

/** Texts of constants, each laid out as one: a chain would be followed again wherever it stands. */
const texts = new WeakMap<object, string>()

function writeConstant(value: object): void {
  const known = texts.get(value)
  if (known !== undefined) {
    written += known
  } else if (isFrozenThroughout(value)) {
    const text = inAscii(JSON.stringify(value))
    texts.set(value, text)
    written += text
  } else writeContent(value)
}

/** Texts that need no escape: printable ASCII without the quote and the backslash. */
const PLAIN = /^[ !#-[\]-~]*$/

function writeText(text: string): void {
  if (PLAIN.test(text)) written += `"${text}"`
  else written += inAscii(JSON.stringify(text))
}

/** The name of a member, behind the brace or the comma that goes before it. */
interface WrittenName {
  readonly first: string
  readonly next: string
}

/** Names of members are few and come again and again. */
const names = new Map<string, WrittenName>()
const MOST_NAMES = 1000

function named(name: string): WrittenName {
  const known = names.get(name)
  if (known !== undefined) return known
  const text = inAscii(JSON.stringify(name))
  const made = { first: `{${text}:`, next: `,${text}:` }
  if (names.size < MOST_NAMES) names.set(name, made)
  return made
}
