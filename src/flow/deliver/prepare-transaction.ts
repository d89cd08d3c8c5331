import type { SentResource } from '../../core/exchange/sent-resource.ts'
import type { HeldPlace } from '../../core/exchange/transaction-request.ts'
import type { Done, Ending, Errand, Means } from './course.ts'
import { type LookedUpAll, lookUpResources } from './look-up-resources.ts'
import { sentAsNew } from './send-as-new.ts'
import type { Sendable } from './sendable-resources.ts'
import { mayUpdate } from './update-resource.ts'

/** The resources of a transaction as they are to be written, given what the server holds of them. */
export interface Prepared {
  readonly kind: 'prepared'
  readonly resources: readonly SentResource[]
  /** Where the server holds what is to be brought up to date, by UUID. */
  readonly places: ReadonlyMap<string, HeldPlace>
  /** What is sent as new in place of an update: by the UUID of what it stands for, its own. */
  readonly replacements: ReadonlyMap<string, string>
}

/**
 * Looks for what is to be brought up to date, and when the entry is uncertain for all of it. When everything is there that
 * was only to be created, there is nothing left to write. Conditional creates may be written again in any case: the server
 * notices what it holds.
 */
export async function prepareTransaction(
  { resources, keys }: Sendable,
  errand: Errand,
  by: Means,
): Promise<Prepared | Done | Ending> {
  const { uncertain, destination } = errand
  const asked = resources.filter(({ intent }) => uncertain || intent === 'update')
  const looked = await lookUpResources(asked, errand, by)
  if (looked.kind !== 'found' && looked.kind !== 'cannot-look') return looked
  if (uncertain && isAllThere(resources, looked)) {
    return { kind: 'done', created: 0, alreadyThere: resources.length, updated: 0 }
  }

  const places = new Map<string, HeldPlace>()
  const replacements = new Map<string, string>()
  const written: SentResource[] = []
  for (const sent of resources) {
    const match = looked.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
    if (sent.intent === 'create') written.push(sent)
    else if (looked.kind === 'found' && match === undefined) written.push({ ...sent, intent: 'create' })
    else if (mayUpdate(errand, sent) && (match !== undefined || mayUpdateByCondition(errand, sent))) {
      if (match !== undefined) places.set(sent.uuid, { ...match.place, current: match.resource })
      written.push(sent)
    } else {
      const replacement = sentAsNew(sent, match?.place, keys, destination)
      if (replacement === undefined) return { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' }
      replacements.set(sent.uuid, replacement.uuid)
      written.push(replacement)
    }
  }
  return { kind: 'prepared', resources: written, places, replacements }
}

function isAllThere(resources: readonly SentResource[], looked: LookedUpAll): boolean {
  return (
    looked.kind === 'found' &&
    resources.every(({ uuid, intent }) => intent === 'create' && looked.matches.has(uuid))
  )
}

/** Whether an update may go by our identifier, where nobody can say under which id the server holds it. */
function mayUpdateByCondition({ route }: Errand, { type }: SentResource): boolean {
  return route.abilities === undefined || route.abilities.types[type].conditionalUpdate
}
