import type { Observation } from 'fhir/r4.js'
import type { Match } from '../../../core/exchange/asked/look-up.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import { withoutServerNotes } from './without-server-notes.ts'

/** An Observation as it is put where it stands: entered in error, and else as it is there. */
export interface TakenBack {
  readonly sent: SentResource
  readonly match: Match
}

export function enteredInError(one: SentResource, match: Match): TakenBack {
  const { meta = {}, ...rest } = match.resource as Observation
  const resource: Observation = { ...rest, meta: withoutServerNotes(meta), status: 'entered-in-error' }
  return { sent: { ...one, resource, intent: 'update', refersTo: [] }, match }
}

/** Whether an Observation is not entered in error already. */
export function stands({ resource }: Match): boolean {
  return (resource as Partial<Observation>).status !== 'entered-in-error'
}
