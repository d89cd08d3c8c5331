import { hash } from 'node:crypto'

/**
 * A name-based UUID: the same namespace and name give the same id on every machine. Source: RFC 9562 section 5.5.
 *
 * Written here because it names every resource on the receiving path, several to a session: it is several times
 * faster than the general library, which the tests use as the second opinion.
 *
 * @param namespace a UUID in lower case with hyphens.
 */
export function uuidV5(namespace: string, name: string): string {
  const digest = hash('sha1', namespaceAndName(namespace, name), 'hex')
  const variant = ((Number.parseInt(digest.charAt(16), 16) & 0x3) | 0x8).toString(16)
  return `${digest.slice(0, 8)}-${digest.slice(8, 12)}-5${digest.slice(13, 16)}-${variant}${digest.slice(17, 20)}-${digest.slice(20, 32)}`
}

const NAMESPACE_BYTES = 16
const BYTES_PER_CHARACTER = 3

/** One buffer for all short names: the last namespace stands at its start, and each name is written behind it. */
const scratch = Buffer.alloc(1024)
let namespaceInScratch = ''

function namespaceAndName(namespace: string, name: string): Buffer {
  if (namespaceInScratch !== namespace) {
    scratch.write(namespace.replaceAll('-', ''), 0, NAMESPACE_BYTES, 'hex')
    namespaceInScratch = namespace
  }
  if (name.length * BYTES_PER_CHARACTER > scratch.length - NAMESPACE_BYTES) {
    return Buffer.concat([scratch.subarray(0, NAMESPACE_BYTES), Buffer.from(name, 'utf8')])
  }
  return scratch.subarray(0, NAMESPACE_BYTES + scratch.write(name, NAMESPACE_BYTES, 'utf8'))
}

/**
 * The name-based UUIDs that stand in a text, in lower case with hyphens, as often as they do.
 *
 * Looked for by the hyphen and the digit that tell their version, which takes a tenth of the time of a pattern for all of
 * one: a bundle is hundreds of kilobytes.
 */
export function* uuidV5sIn(text: string): Generator<string, void> {
  for (let at = text.indexOf(VERSION); at !== -1; at = text.indexOf(VERSION, at + 1)) {
    const found = text.slice(Math.max(0, at - VERSION_AT), at - VERSION_AT + UUID_CHARACTERS)
    if (UUID_V5.test(found)) yield found
  }
}

const VERSION = '-5'
const VERSION_AT = 13
const UUID_CHARACTERS = 36
const UUID_V5 = /^[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/
