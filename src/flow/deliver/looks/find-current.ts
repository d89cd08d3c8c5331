import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { ownPlaceOf } from '../../../core/exchange/answered/location.ts'
import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import type { Match } from '../../../core/exchange/asked/look-up.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means, SentAnswer } from '../errand/course.ts'
import { type LookedUpAll, lookUpResources } from './look-up-resources.ts'

export type Current =
  | { readonly kind: 'found'; readonly match: Match }
  /** It never was there, or is there no more: it may be made. */
  | { readonly kind: 'absent' }
  | { readonly kind: 'cannot-look'; readonly problem: ErrorCode }
  | Ending

/**
 * What a server holds now of a resource that is to be brought up to date: read under the id that is known, else looked for
 * by our identifier, which may show only later what is there. A server that cannot be searched and of which no id is known
 * cannot be asked.
 */
export async function findCurrent(sent: SentResource, errand: Errand, by: Means): Promise<Current> {
  const held = by.ledger.get(sent.uuid)
  const ownId = errand.choice.rung === 'own-id' ? sent.uuid : undefined
  const id = held?.id ?? ownId
  const search = () => lookUpResources([sent], errand, by)
  if (id === undefined) return foundIn(await search(), sent, by)
  const answer = await by.ask({ method: 'GET', path: `${sent.type}/${id}` })
  const match = matchIn(answer, sent, id)
  if (match !== undefined) return { kind: 'found', match }
  const status = answer.kind === 'heard' ? answer.status : undefined
  if (answer.kind === 'heard' && status === 410) {
    return { kind: 'refused', problem: 'CLINIC_DELETED', said: answer.said }
  }
  if (status === 404 && (held === undefined || held.id !== undefined)) {
    return goneUnless(await search(), sent, errand)
  }
  const failure = readFailure(answer)
  // A client may be allowed to search and not to read.
  return failure.kind === 'not-offered' || status === 403 ? foundIn(await search(), sent, by) : failure
}

/**
 * The same of what a search came to. What is known to be held and is not shown is waited for: it is as good as certain that
 * an index lags, and nothing must be made beside it.
 */
export function foundIn(looked: LookedUpAll, sent: SentResource, { ledger }: Means): Current {
  if (looked.kind !== 'found') return looked
  const match = looked.matches.get(sent.uuid)
  if (match !== undefined) return { kind: 'found', match }
  return ledger.get(sent.uuid) === undefined
    ? { kind: 'absent' }
    : { kind: 'not-now', problem: 'CLINIC_NOT_SHOWN', quiet: true }
}

/** What stands no more under the id it had is gone, unless it is found under another one. */
function goneUnless(looked: LookedUpAll, { uuid }: SentResource, { uncertain }: Errand): Current {
  if (looked.kind === 'cannot-look') return uncertain ? looked : { kind: 'absent' }
  if (looked.kind !== 'found') return looked
  const match = looked.matches.get(uuid)
  return match === undefined ? { kind: 'absent' } : { kind: 'found', match }
}

function matchIn(answer: SentAnswer, { type }: SentResource, id: string): Match | undefined {
  if (answer.kind !== 'heard' || answer.status !== 200 || answer.body.kind !== 'resource') return undefined
  const { resource } = answer.body
  if (resource.resourceType !== type) return undefined
  const version = ownPlaceOf(resource)?.version ?? answer.version
  return { place: { type, id, ...(version === undefined ? {} : { version }) }, resource }
}
