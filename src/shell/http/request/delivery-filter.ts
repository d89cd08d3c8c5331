import type { Request } from 'express'
import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import { readInstant } from '../../../core/basics/instant.ts'
import { OUTBOX_KINDS, OUTBOX_STATES, type OutboxState } from '../../../core/outbox/entry.ts'
import { unknownInFilter } from '../../../flow/operate/unknown-in-filter.ts'
import type { DeliveryFilter } from '../../../flow/ports/ports.ts'
import type { Door } from '../door.ts'
import { refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'
import { choiceOf, refuseUnknownNames } from './query-words.ts'

/** What `delivery-filter` reads, for the description of the API. */
export const DELIVERY_QUERY = [
  ['state', OUTBOX_STATES.join(', ')],
  ['destination', 'Name of a destination'],
  ['source', 'Name of a registered source'],
  ['kind', OUTBOX_KINDS.join(', ')],
  ['problem', 'A code, such as CLINIC_REFUSED'],
  ['queuedBefore', 'RFC 3339 time with offset'],
] as const

/**
 * Reads which deliveries are meant.
 *
 * @param states those that can be meant.
 * @throws RequestRefused (400) for a word that is none of the choices, or a time that cannot be read; (404) for a
 *   destination or source that nobody knows.
 */
export async function deliveryFilterOf(
  request: Request,
  states: readonly OutboxState[],
  { ports }: Pick<Door, 'ports'>,
): Promise<DeliveryFilter> {
  const filter = filterOf(request, states)
  refuseUnknownNames(await unknownInFilter(filter, ports))
  return filter
}

function filterOf(request: Request, states: readonly OutboxState[]): DeliveryFilter {
  const state = choiceOf(request, 'state', states)
  const kind = choiceOf(request, 'kind', OUTBOX_KINDS)
  const problem = choiceOf(request, 'problem', Object.keys(ERROR_CODES), 'a code of /problems/{code}')
  const destination = queryText(request, 'destination')
  const source = queryText(request, 'source')
  const queuedBeforeMs = momentOf(request, 'queuedBefore')
  return {
    ...(state === undefined ? {} : { state }),
    ...(kind === undefined ? {} : { kind }),
    ...(problem === undefined ? {} : { problem }),
    ...(destination === undefined ? {} : { destination }),
    ...(source === undefined ? {} : { source }),
    ...(queuedBeforeMs === undefined ? {} : { queuedBeforeMs }),
  }
}

function momentOf(request: Request, name: string): number | undefined {
  const text = queryText(request, name)
  if (text === undefined) return undefined
  const instant = readInstant(text)
  if (instant !== undefined) return instant.epochMs
  throw refusedRequest(
    400,
    'BAD_TIME',
    `query.${name}`,
    'an RFC 3339 time with seconds and offset',
    'Send a time such as 2026-03-02T06:41:00Z.',
  )
}
