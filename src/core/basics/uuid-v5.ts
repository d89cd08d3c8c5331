import { hash } from 'node:crypto'

/**
 * A name-based UUID: the same namespace and name give the same id on every machine. Source: RFC 9562
 * section 5.5. Written here because it names every resource on the receiving path: one digest call is ten
 * times faster than the general library, which the tests use as the second opinion.
 *
 * @param namespace a UUID in lower case with hyphens.
 */
export function uuidV5(namespace: string, name: string): string {
  const digest = hash('sha1', Buffer.concat([namespaceBytes(namespace), Buffer.from(name, 'utf8')]), 'hex')
  const variant = ((Number.parseInt(digest.charAt(16), 16) & 0x3) | 0x8).toString(16)
  return `${digest.slice(0, 8)}-${digest.slice(8, 12)}-5${digest.slice(13, 16)}-${variant}${digest.slice(17, 20)}-${digest.slice(20, 32)}`
}

const known = new Map<string, Buffer>()

function namespaceBytes(namespace: string): Buffer {
  let bytes = known.get(namespace)
  if (bytes === undefined) {
    bytes = Buffer.from(namespace.replaceAll('-', ''), 'hex')
    if (known.size < 64) known.set(namespace, bytes)
  }
  return bytes
}
