import type { Protocol } from '../../clinical/protocol/protocol.ts'
import { type Found, urlEndsWith } from '../found.ts'
import type { OwnStatements } from './own-statements.ts'
import { adheredTo, noteTexts } from './stated-average.ts'

/** The protocol an average says it keeps to. */
export type StatedProtocol =
  | { readonly known: 'yes'; readonly protocol: Protocol; readonly byNote: boolean }
  | { readonly known: 'no' }
  | { readonly known: 'none-stated' }

/**
 * By `workflow-adheresTo`, whose canonical ends in `protocol/<id>` under any base; else by our own extension; else by a
 * note that names exactly one protocol by its title.
 */
export function statedProtocol(
  average: Found,
  own: OwnStatements | undefined,
  protocols: ReadonlyMap<string, Protocol>,
): StatedProtocol {
  const stated = adheredTo(average)
  for (const { url } of stated) {
    const id = url.slice(url.lastIndexOf('/') + 1)
    const protocol = urlEndsWith(url, `protocol/${id}`) ? protocols.get(id) : undefined
    if (protocol !== undefined) return { known: 'yes', protocol, byNote: false }
  }
  if (stated.length > 0) return { known: 'no' }
  if (own?.protocol !== undefined) {
    const protocol = protocols.get(own.protocol.id)
    return protocol === undefined ? { known: 'no' } : { known: 'yes', protocol, byNote: false }
  }
  const protocol = namedInNotes(average, protocols)
  return protocol === undefined ? { known: 'none-stated' } : { known: 'yes', protocol, byNote: true }
}

function namedInNotes(average: Found, protocols: ReadonlyMap<string, Protocol>): Protocol | undefined {
  const text = noteTexts(average).join('\n').slice(0, NOTES_READ)
  if (text === '') return undefined
  const named = [...protocols.values()].filter(({ title }) => text.includes(title))
  const longest = named.reduce((a, b) => (b.title.length > a.title.length ? b : a), named[0] ?? NOBODY)
  return named.every(({ title }) => longest.title.includes(title))
    ? named.find((one) => one === longest)
    : undefined
}

/** Characters of the notes that are looked through for a protocol’s title. */
const NOTES_READ = 20_000
const NOBODY = { title: '' }
