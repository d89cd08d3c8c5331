import type { Request } from 'express'
import { PERIOD_STATES } from '../../../core/registry/period.ts'
import { unknownInPeriodFilter } from '../../../flow/operate/unknown-in-period-filter.ts'
import type { PeriodFilter } from '../../../flow/ports/ports.ts'
import type { Door } from '../door.ts'
import { queryText } from './page-query.ts'
import { choiceOf, refuseUnknownNames } from './query-words.ts'

/**
 * Reads which periods are meant.
 *
 * @throws RequestRefused (400) for a state that is none; (404) for a source, subject or protocol that nobody knows.
 */
export async function periodFilterOf(
  request: Request,
  { ports }: Pick<Door, 'ports'>,
): Promise<PeriodFilter> {
  const source = queryText(request, 'source')
  const subject = queryText(request, 'subject')
  const state = choiceOf(request, 'state', PERIOD_STATES)
  const protocol = queryText(request, 'protocol')
  const filter = {
    ...(source === undefined ? {} : { source }),
    ...(subject === undefined ? {} : { subject }),
    ...(state === undefined ? {} : { state }),
    ...(protocol === undefined ? {} : { protocol }),
  }
  refuseUnknownNames(await unknownInPeriodFilter(filter, ports))
  return filter
}
