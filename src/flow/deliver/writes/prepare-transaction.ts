import type { HeldPlace } from '../../../core/exchange/asked/transaction-request.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
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
 * Looks for what is to be brought up to date, and where what is there is to be left out, for all of it. What is left out is
 * referred to where it is. Conditional creates may else be written again in any case: the server notices what it holds.
 */
export async function prepareTransaction(
  { resources, keys }: Sendable,
  { leavesOut, written: before }: LeftUnwritten,
  errand: Errand,
  by: Means,
): Promise<Prepared | Ending> {
  const { destination } = errand
  const open = resources.filter(({ uuid, intent }) => intent === 'update' || !before.has(uuid))
  const asked = open.filter(({ intent }) => leavesOut || intent === 'update')
  const looked = await lookUpResources(asked, errand, by)
  if (looked.kind !== 'found' && looked.kind !== 'cannot-look') return looked
  const there = leavesOut ? await keepThose(asked, looked, by) : []

  const places = new Map<string, HeldPlace>()
  const replacements = new Map<string, string>()
  const written: SentResource[] = []
  for (const sent of open) {
    const match = looked.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
    if (there.includes(sent)) continue
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
  return { kind: 'prepared', resources: written, there, places, replacements }
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
