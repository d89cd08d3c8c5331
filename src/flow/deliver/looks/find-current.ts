import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { ownPlaceOf } from '../../../core/exchange/answered/location.ts'
import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import type { Match } from '../../../core/exchange/asked/look-up.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means, SentAnswer } from '../errand/course.ts'
import { lookUpResources } from './look-up-resources.ts'

export type Current =
  | { readonly kind: 'found'; readonly match: Match }
  | { readonly kind: 'absent' }
  | { readonly kind: 'cannot-look'; readonly problem: ErrorCode }
  | Ending

/**
 * What a server holds of a resource now: read under the id that is known, else looked for by our identifier. A server
 * that cannot be searched and of which no id is known cannot be asked.
 */
export async function findCurrent(sent: SentResource, errand: Errand, by: Means): Promise<Current> {
  const ownId = errand.choice.rung === 'own-id' ? sent.uuid : undefined
  const id = by.ledger.get(sent.uuid)?.id ?? ownId
  if (id === undefined) return search(sent, errand, by)
  const answer = await by.ask({ method: 'GET', path: `${sent.type}/${id}` })
  const match = matchIn(answer, sent, id)
  if (match !== undefined) return { kind: 'found', match }
  if (answer.kind === 'heard') {
    if (answer.status === 410) return { kind: 'refused', problem: 'CLINIC_DELETED', said: answer.said }
    if (answer.status === 404) {
      const looked = await search(sent, errand, by)
      return looked.kind === 'cannot-look' && !errand.uncertain ? { kind: 'absent' } : looked
    }
  }
  const failure = readFailure(answer)
  return failure.kind === 'not-offered'
    ? { kind: 'cannot-look', problem: 'CLINIC_SEARCH_UNRELIABLE' }
    : failure
}

async function search(sent: SentResource, errand: Errand, by: Means): Promise<Current> {
  const looked = await lookUpResources([sent], errand, by)
  if (looked.kind !== 'found') return looked
  const match = looked.matches.get(sent.uuid)
  return match === undefined ? { kind: 'absent' } : { kind: 'found', match }
}

function matchIn(answer: SentAnswer, { type }: SentResource, id: string): Match | undefined {
  if (answer.kind !== 'heard' || answer.status !== 200 || answer.body.kind !== 'resource') return undefined
  const { resource } = answer.body
  if (resource.resourceType !== type) return undefined
  const version = ownPlaceOf(resource)?.version ?? answer.version
  return { place: { type, id, ...(version === undefined ? {} : { version }) }, resource }
}
