import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { PeriodFilter, Ports } from '../ports/ports.ts'
import { unknownSource } from './unknown-in-filter.ts'

type At = Pick<Ports, 'store' | 'catalogue'>

/**
 * The names of a filter of periods that mean nothing, as `unknownInFilter` has it for deliveries. A protocol that is
 * loaded no more is known as long as a period under it is kept, and a subject as long as one of it is.
 *
 * @returns an issue for each, `at` the key of the filter.
 */
export async function unknownInPeriodFilter(filter: PeriodFilter, at: At): Promise<readonly Issue[]> {
  const issues = [...(await unknownSource(filter.source, at.store))]
  if (
    issues.length === 0 &&
    filter.subject !== undefined &&
    !(await isKnownSubject(filter.subject, filter, at))
  )
    issues.push(
      inputError(
        'not-found',
        'UNKNOWN_SUBJECT',
        'subject',
        'an enrolled subject',
        'Correct the name, or enrol it.',
      ),
    )
  if (filter.protocol !== undefined && !(await isKnownProtocol(filter.protocol, at))) {
    const ids = [...at.catalogue.protocols.keys(), ...at.catalogue.recordingRules.keys()].join(', ')
    issues.push(
      inputError(
        'not-found',
        'UNKNOWN_PROTOCOL',
        'protocol',
        `one of: ${ids}`,
        'Use a protocol that is loaded.',
      ),
    )
  }
  return issues
}

async function isKnownSubject(subject: string, { source }: PeriodFilter, { store }: At): Promise<boolean> {
  const sources = source === undefined ? (await store.sources()).map(({ name }) => name) : [source]
  for (const name of sources) {
    const [enrolment] = await store.enrolments(name, [subject])
    if (enrolment !== undefined) return true
  }
  const of = { subject, ...(source === undefined ? {} : { source }) }
  return (await store.periodPage({ limit: 1, ...of })).length > 0
}

async function isKnownProtocol(protocol: string, { store, catalogue }: At): Promise<boolean> {
  if (catalogue.protocols.has(protocol) || catalogue.recordingRules.has(protocol)) return true
  return (await store.periodPage({ limit: 1, protocol })).length > 0
}
