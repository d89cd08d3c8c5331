import { hash } from 'node:crypto'
import type { Issue } from '../../src/core/basics/issue.ts'
import { isJsonObject, objectsOf } from '../../src/core/basics/json-object.ts'
import { convertText } from '../../src/flow/check/convert-record.ts'
import { readStored } from '../../src/flow/check/read-stored.ts'
import type { MappedArrival } from '../../src/flow/intake/mapped-intake.ts'
import type { Ports } from '../../src/flow/ports/ports.ts'
import type { Outcome } from '../../src/flow/receive/receive-sessions.ts'
import { showsCanary } from './canaries.ts'

/** What is not as it must be with what became of one arrival, as sentences. */
export async function outcomeFaults(
  arrival: MappedArrival,
  outcome: Outcome,
  at: Ports,
): Promise<readonly string[]> {
  const isPlaced = arrival.sources.some(({ line, path }) => line !== undefined || path !== undefined)
  const faults = issueFaults(arrival.remarks, isPlaced)
  if (outcome.kind === 'refused') return [...faults, ...issueFaults(outcome.issues, isPlaced)]
  if (!('receipt' in outcome)) return faults
  return [...faults, ...(await keptFaults(arrival, outcome, at))]
}

/**
 * An issue says where, what was expected and what to do, and nothing of what was sent.
 *
 * @param isPlaced whether the record it is about has a place of its own.
 */
function issueFaults(issues: readonly Issue[], isPlaced: boolean): readonly string[] {
  return issues.flatMap((issue) => {
    const { code, at, from, line, expected, remedy, mapping = '' } = issue
    const faults: string[] = []
    if (expected === '' || !/[.!]$/.test(remedy)) faults.push(`${code} does not say what to do`)
    const hasPlace = isPlaced || at !== '' || from !== undefined || line !== undefined
    if (!hasPlace && !OF_THE_WHOLE.has(code)) faults.push(`${code} has no place`)
    if (showsCanary([at, from, expected, remedy, mapping].join('\n')))
      faults.push(`${code} shows what was sent`)
    return faults
  })
}

/** Codes of issues with what was sent as a whole: there is no place inside it to name. */
const OF_THE_WHOLE: ReadonlySet<string> = new Set([
  // A document of FHIR without any Observation.
  'MISSING_KEY',
  'NOT_IN_ENCODING',
  'NOT_JSON',
  'STRUCTURE',
  'TOLERATED',
  'TOO_DEEP',
  'TOO_LARGE',
  'WRONG_TYPE',
])

type Kept = Extract<Outcome, { readonly receipt: unknown }>

async function keptFaults(
  { incoming, sources }: MappedArrival,
  { kind, receipt }: Kept,
  at: Ports,
): Promise<readonly string[]> {
  const faults: string[] = []
  const newest = await at.store.session(receipt.source, receipt.id)
  const versions = await at.store.sessionVersions(receipt.session)
  const stored = versions.find(({ version }) => version === receipt.version)
  if (stored === undefined || newest === undefined) return [`a session that is ${kind} is not there`]
  if (newest.version !== versions.length) faults.push('the newest version is not the last one')
  if (stored.sha256 !== receipt.sha256 || hash('sha256', stored.raw, 'hex') !== stored.sha256)
    faults.push('what is kept is not what the receipt names')
  if (stored.withdrawn) return faults

  const [enrolment] = await at.store.enrolments(stored.source, [stored.subject])
  readStored(stored, enrolment, at)
  const converted = convertText(stored.raw, {
    source: stored.source,
    canonicalBase: at.catalogue.canonicalBase,
    person: enrolment,
    receivedMs: Date.parse(stored.receivedAt),
    attention: at.policy.attention,
  })
  if (!converted.ok) faults.push(`its Observations do not validate: ${converted.issues[0].code}`)
  else if (converted.value.observations.length === 0) faults.push('it becomes no Observation')
  if (kind === 'same') return faults

  if ('text' in incoming && stored.raw !== withoutMark(incoming.text))
    faults.push('it is not kept as it was sent')
  const { sent } = (await at.store.mappedFrom(stored.seq)) ?? {}
  if (!('sitting' in incoming))
    return sent === undefined ? faults : [...faults, 'it is kept as if it had been mapped']
  if (stored.raw !== incoming.sitting.text) faults.push('it is not kept as it was mapped')
  if (sent !== sources.map(({ text }) => `${text}\n`).join('')) faults.push('its source text is not kept')
  const numbers = new Set(sources.flatMap(({ value }) => [...numbersIn(value)]))
  const measured = objectsOf(incoming.sitting.record.readings).flatMap(({ systolic, diastolic, pulse }) => [
    ...numbersIn([systolic, diastolic, pulse]),
  ])
  if (measured.some((value) => !numbers.has(value))) faults.push('a value is none that was sent')
  return faults
}

function withoutMark(text: string): string {
  return text.replace(/^\ufeff/, '')
}

/** Every number in a value, also those written as texts, with a decimal point or comma. */
function* numbersIn(value: unknown): Generator<number> {
  if (typeof value === 'number') yield value
  else if (typeof value === 'string') yield Number(value.replace(',', '.'))
  else if (Array.isArray(value)) for (const item of value) yield* numbersIn(item)
  else if (isJsonObject(value)) for (const member of Object.values(value)) yield* numbersIn(member)
}
