import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { type ClinicSaid, SAID_CHARACTERS } from '../../outbox/entry.ts'
import { parsedJson } from './any-json.ts'

/** Characters kept of what is no FHIR. */
const FIRST_CHARACTERS = 200

/** Characters of it that are looked at, before its tags are taken out. */
const LOOKED_AT = 4096

/**
 * What is kept of an answer for an operator, and nothing of a resource in it, which may hold health data.
 *
 * - An OperationOutcome as it came; of the responses to a transaction those that failed; cut to `SAID_CHARACTERS`.
 * - Of a page or a text, by which a proxy or a firewall speaks: its media type and first characters, without tags and
 *   with every number masked, since nobody knows what it quotes.
 *
 * @param text the body, or what was read of it.
 */
export function saidOf(status: number, contentType: string | undefined, text: string): ClinicSaid {
  const kept = keptOf(text.trim(), mediaType(contentType))
  return kept === '' ? { status } : { status, text: kept.slice(0, SAID_CHARACTERS) }
}

function keptOf(text: string, type: string): string {
  if (text === '') return ''
  const resource = parsedJson(text)
  if (!isJsonObject(resource) || typeof resource.resourceType !== 'string') return firstWords(text, type)
  if (resource.resourceType === 'OperationOutcome') return text
  const failed = resource.resourceType === 'Bundle' ? objectsOf(resource.entry).flatMap(failedResponse) : []
  return failed.length === 0
    ? `${type}: a FHIR resource`
    : JSON.stringify({ resourceType: 'Bundle', type: resource.type, entry: failed })
}

/** An entry of a transaction-response that is no success, with its status and outcome alone. */
function failedResponse({ response }: JsonObject): readonly JsonObject[] {
  if (!isJsonObject(response)) return []
  const { status, outcome } = response
  if (typeof status === 'string' && status.startsWith('2')) return []
  return [{ response: { status, outcome } }]
}

function firstWords(text: string, type: string): string {
  const words = text
    .slice(0, LOOKED_AT)
    .replace(/<(script|style)\b[\s\S]*?<\/\1\s*>/gi, ' ')
    .replace(/<[^<>]*(?:>|$)/g, ' ')
    .replace(/\p{Number}+/gu, '#')
    .replace(/[\s\p{Control}]+/gu, ' ')
    .trim()
  return words === '' ? type : `${type}: ${words.slice(0, FIRST_CHARACTERS)}`
}

/** RFC 9110 section 8.3.1, without its parameters. */
function mediaType(contentType = ''): string {
  const [type = ''] = contentType.toLowerCase().split(';')
  return /^[\w!#$&^.+-]{1,64}\/[\w!#$&^.+-]{1,64}$/.test(type.trim()) ? type.trim() : 'no media type'
}
