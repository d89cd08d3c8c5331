import { instantOf } from '../../core/basics/instant.ts'
import type { Ports } from '../ports/ports.ts'

/** What of the people’s data was shown. */
export type Shown =
  | 'session'
  | 'session-versions'
  | 'average'
  | 'average-bundle'
  | 'comparison'
  | 'averages-of-all'
  | 'delivery'
  | 'delivery-preview'
  | 'enrolment'
  | 'enrolments'

/**
 * Keeps who was shown what of the people’s data, before it is shown: nothing is shown of which no row is kept. Lists of ids
 * and states, and figures, speak of nobody and leave no row. That looking at a person’s data is recorded like changing it
 * is what ISO 27789 asks of audit trails of health records (from memory).
 *
 * @param about UUID of a session or period, id of a delivery, name of a source, id of a protocol; empty for all sources.
 * @throws StoreFailed
 */
export function recordRead(
  actor: string,
  what: Shown,
  about: string,
  { store, clock }: Pick<Ports, 'store' | 'clock'>,
  counts: Readonly<Record<string, number>> = {},
): Promise<void> {
  return store.recordAudit({
    at: instantOf(clock.now()).text,
    actor,
    action: 'record-read',
    about,
    outcome: 'done',
    detail: { what, ...counts },
  })
}
