import type { Match } from '../../../core/exchange/asked/look-up.ts'
import type { HeldPlace } from '../../../core/exchange/asked/transaction-request.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { type Current, findCurrent, foundIn } from '../looks/find-current.ts'
import { keepMatches, type LookedUpAll, lookUpResources } from '../looks/look-up-resources.ts'
import type { Sendable } from '../looks/sendable-resources.ts'
import { sentAsNew } from './send-as-new.ts'
import { mayUpdate } from './update-resource.ts'

/** The resources of a transaction as they are to be written, given what the server holds of them. */
export interface Prepared {
  readonly kind: 'prepared'
  readonly resources: readonly SentResource[]
  /** What is there already, and was left out for that. */
  readonly there: readonly SentResource[]
  /** Where the server holds what is to be brought up to date, by UUID. */
  readonly places: ReadonlyMap<string, HeldPlace>
  /** What is sent as new in place of an update: by the UUID of what it stands for, its own. */
  readonly replacements: ReadonlyMap<string, string>
}

/** What of a transaction need not be written. */
export interface LeftUnwritten {
  /** Whether everything is looked for, and what is there and was only to be created is left out. */
  readonly leavesOut: boolean
  /** What this attempt has written already, by UUID. */
  readonly written: ReadonlyMap<string, unknown>
}

/**
 * Looks for what is to be brought up to date, and where what is there is to be left out, for all of it; what an index does not
 * show is read under the id that is known. What is left out is referred to where it is. Conditional creates may else be written
 * again in any case: the server notices what it holds.
 */
export async function prepareTransaction(
  { resources, keys }: Sendable,
  { leavesOut, written: before }: LeftUnwritten,
  errand: Errand,
  by: Means,
): Promise<Prepared | Ending> {
  const open = resources.filter(({ uuid, intent }) => intent === 'update' || !before.has(uuid))
  const updates = open.filter(({ intent }) => intent === 'update')
  await by.ledger.load(updates.map(({ uuid }) => uuid))
  const asked = open.filter(({ intent }) => leavesOut || intent === 'update')
  const looked = await lookUpResources(asked, errand, by)
  if (looked.kind !== 'found' && looked.kind !== 'cannot-look') return looked
  const there = leavesOut ? await keepThose(asked, looked, by) : []

  const places = new Map<string, HeldPlace>()
  const replacements = new Map<string, string>()
  const written: SentResource[] = []
  for (const sent of open) {
    if (there.includes(sent)) continue
    if (sent.intent === 'create') {
      written.push(sent)
      continue
    }
    const current = await currentOf(sent, looked, errand, by)
    const way = wayOfUpdating(sent, current, errand)
    switch (way.kind) {
      case 'make':
        written.push({ ...sent, intent: 'create' })
        break
      case 'update': {
        const { match } = way
        if (match !== undefined) places.set(sent.uuid, { ...match.place, current: match.resource })
        written.push(sent)
        break
      }
      case 'cannot-update': {
        const replacement = sentAsNew(sent, way.place, keys, errand.destination)
        if (replacement === undefined) return { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' }
        replacements.set(sent.uuid, replacement.uuid)
        written.push(replacement)
        break
      }
      default:
        return way
    }
  }
  return { kind: 'prepared', resources: written, there, places, replacements }
}

type WayOfUpdating =
  | { readonly kind: 'make' }
  /** Where it was found; without a match, by our identifier. */
  | { readonly kind: 'update'; readonly match?: Match }
  | { readonly kind: 'cannot-update'; readonly place?: ResourcePlace }
  | Ending

function wayOfUpdating(sent: SentResource, current: Current, errand: Errand): WayOfUpdating {
  switch (current.kind) {
    case 'absent':
      return { kind: 'make' }
    case 'found': {
      const { match } = current
      return mayUpdate(errand, sent)
        ? { kind: 'update', match }
        : { kind: 'cannot-update', place: match.place }
    }
    case 'cannot-look': {
      const may = mayUpdate(errand, sent) && mayUpdateByCondition(errand, sent)
      return { kind: may ? 'update' : 'cannot-update' }
    }
    default:
      return current
  }
}

/** As the search shows it; what it does not show, and of which an id is known, is read. */
function currentOf(
  sent: SentResource,
  looked: LookedUpAll,
  errand: Errand,
  by: Means,
): Promise<Current> | Current {
  const isShown = looked.kind === 'found' && looked.matches.has(sent.uuid)
  const isRead = !isShown && by.ledger.get(sent.uuid)?.id !== undefined
  return isRead ? findCurrent(sent, errand, by) : foundIn(looked, sent, by)
}

/**
 * Of what was only to be created, what is there: found, or where it could not be looked for, known as held. Both are
 * remembered, for what refers to it names its place.
 */
async function keepThose(
  asked: readonly SentResource[],
  looked: LookedUpAll,
  by: Means,
): Promise<readonly SentResource[]> {
  const creates = asked.filter(({ intent }) => intent === 'create')
  await by.ledger.load(creates.map(({ uuid }) => uuid))
  if (looked.kind !== 'found') return creates.filter(({ uuid }) => by.ledger.get(uuid) !== undefined)
  const { matches, unlooked } = looked
  keepMatches(creates, matches, by)
  return creates.filter(
    ({ uuid }) => matches.has(uuid) || (unlooked.has(uuid) && by.ledger.get(uuid) !== undefined),
  )
}

/** Whether an update may go by our identifier, where nobody can say under which id the server holds it. */
function mayUpdateByCondition({ route }: Errand, { type }: SentResource): boolean {
  return route.abilities === undefined || route.abilities.types[type].conditionalUpdate
}
