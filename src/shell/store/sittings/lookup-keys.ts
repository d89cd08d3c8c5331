import { hash } from 'node:crypto'

/** Turns a source and its id into a number below 2^48. Two ids may share one, so a hit is always confirmed. */
export type IdKey = (source: string, id: string) => number

/**
 * The first 48 bits of SHA-256 over source, line feed and id. Made from the business key rather than from the UUID,
 * so that a changed canonical base cannot let a session in twice; cryptographic, so that nobody can choose ids that
 * all meet in one place.
 */
export const idKey: IdKey = (source, id) =>
  Number.parseInt(hash('sha256', `${source}\n${id}`, 'hex').slice(0, 12), 16)

/** The first 48 bits of a UUID in its usual text. */
export function uuidKey(uuid: string): number {
  return Number.parseInt(uuid.slice(0, 8) + uuid.slice(9, 13), 16)
}

/** 32-bit FNV-1a of a subject within its source. Source: draft-eastlake-fnv, offset basis and prime for 32 bits. */
export function subjectKey(sourceNo: number, subject: string): number {
  let key = (0x811c9dc5 ^ sourceNo) >>> 0
  for (let at = 0; at < subject.length; at += 1) key = Math.imul(key ^ subject.charCodeAt(at), 0x01000193)
  return key >>> 0
}
