import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { AnsweredResource } from '../../../core/exchange/answered/answer-body.ts'
import { ownPlaceOf } from '../../../core/exchange/answered/location.ts'
import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import type { Match } from '../../../core/exchange/asked/look-up.ts'
import { standsForSent } from '../../../core/exchange/asked/stands-for-sent.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means, SentAnswer } from '../errand/course.ts'
import { type LookedUpAll, lookUpResources } from './look-up-resources.ts'
import { standingIn } from './standing-in.ts'

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
 *
 * What stands under an id that the server chose is looked at before it is believed to be ours: a server that was replaced or
 * set back may have given the id to something of somebody else, which is not written over.
 */
export async function findCurrent(sent: SentResource, errand: Errand, by: Means): Promise<Current> {
  const held = by.ledger.get(sent.uuid)
  const ownId = errand.choice.rung === 'own-id' ? sent.uuid : undefined
  const id = held?.id ?? ownId
  const search = () => lookUpResources([sent], errand, by)
  if (id === undefined) return foundIn(await search(), sent, by)
  const answer = await by.ask({ method: 'GET', path: `${sent.type}/${id}` })
  const standing = standingIn(answer, sent.type)
  if (standing !== undefined) {
    return id === sent.uuid || standsForSent(standing, sent)
      ? { kind: 'found', match: matchAt(standing, id, answer) }
      : foundElsewhere(await search(), sent)
  }
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

/** What has an id that we know, and is not ours, may be found under another one; else nobody can tell where ours went. */
function foundElsewhere(looked: LookedUpAll, { uuid }: SentResource): Current {
  if (looked.kind !== 'found' && looked.kind !== 'cannot-look') return looked
  const match = looked.kind === 'found' ? looked.matches.get(uuid) : undefined
  return match === undefined ? { kind: 'refused', problem: 'CLINIC_HOLDS_ANOTHER' } : { kind: 'found', match }
}

function matchAt(resource: AnsweredResource, id: string, answer: SentAnswer): Match {
  const heard = answer.kind === 'heard' ? answer.version : undefined
  const version = ownPlaceOf(resource)?.version ?? heard
  const type = resource.resourceType
  return { place: { type, id, ...(version === undefined ? {} : { version }) }, resource }
}
