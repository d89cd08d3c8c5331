import type { Bundle } from 'fhir/r4.js'
import type { SentResource } from '../sent-resource.ts'

/** What a transaction of ours asks for, entry by entry: as much as is asked of one that is posted as it stands. */
export interface OutlinedEntry {
  readonly fullUrl: string
  /** R4 resource type. */
  readonly type: string
  readonly intent: SentResource['intent']
}

/** @throws TypeError when it is no transaction that `core/fhir` makes. */
export function outlineOf({ entry = [] }: Bundle): readonly OutlinedEntry[] {
  return entry.map(({ fullUrl, resource, request }) => {
    if (fullUrl === undefined || resource === undefined || request === undefined) {
      throw new TypeError('an entry is no resource that we send')
    }
    const { resourceType: type } = resource
    return { fullUrl, type, intent: request.method === 'PUT' ? 'update' : 'create' }
  })
}

const ENTRY = '{"fullUrl":"'
const RESOURCE = /\{"fullUrl":"([^"\\]+)","resource":\{"resourceType":"([A-Za-z]+)"/y
const REQUEST = '"request":{"method":"'
const METHOD = /"request":\{"method":"(POST|PUT)"/y

/**
 * The same from its JSON text, without parsing it, which for an average with its readings costs more than all the rest of
 * a delivery. Undefined when the text is not as `writeJson` writes a bundle of ours: it is to be parsed then.
 *
 * Inside a JSON string every quotation mark has a backslash before it, so what is looked for here is only found where
 * it is the name of a member; and no resource that we send has a member `fullUrl` or `request` of its own.
 */
export function outlineOfText(text: string): readonly OutlinedEntry[] | undefined {
  const outline: OutlinedEntry[] = []
  for (let at = text.indexOf(ENTRY); at !== -1; ) {
    const [, fullUrl, type] = matchAt(RESOURCE, text, at) ?? []
    const next = text.indexOf(ENTRY, at + 1)
    // From behind: what is asked stands at the end of an entry, behind the resource, which is long.
    const request = text.lastIndexOf(REQUEST, next === -1 ? text.length : next)
    const [, method] = request < at ? [] : (matchAt(METHOD, text, request) ?? [])
    if (fullUrl === undefined || type === undefined || method === undefined) return undefined
    outline.push({ fullUrl, type, intent: method === 'PUT' ? 'update' : 'create' })
    at = next
  }
  return outline.length === 0 ? undefined : outline
}

function matchAt(sticky: RegExp, text: string, at: number): RegExpExecArray | null {
  sticky.lastIndex = at
  return sticky.exec(text)
}
