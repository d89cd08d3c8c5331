import type { Reference } from 'fhir/r4.js'
import type { HeldPlace } from '../../../core/exchange/asked/transaction-request.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { type Current, findCurrent, foundIn } from '../looks/find-current.ts'
import { keepMatches, type LookedUpAll, lookUpResources } from '../looks/look-up-resources.ts'
import { mayUpdate, type Sendable } from '../looks/sendable-resources.ts'
import { placedAsHeld } from './placed-as-held.ts'
import { sentAsNew } from './send-as-new.ts'
import { replacementsToTakeBack } from './take-back-replacements.ts'
import { differsByReferencesAlone, wayOfUpdating } from './way-of-updating.ts'

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
  /** Whether what a search shows is read under its id: it may show what stood there before. */
  readonly readsAnew: boolean
  /** What this attempt has written already, by UUID. */
  readonly written: ReadonlyMap<string, unknown>
  /** The patient, by which what is there is compared with what is to be; absent: the conditional reference. */
  readonly subject: Reference | undefined
}

/**
 * Looks for what is to be brought up to date, and where what is there is to be left out, for all of it; what an index does
 * not show is read under the id that is known. What is left out is referred to where it is. Conditional creates may else be
 * written again in any case: the server notices what it holds.
 */
export async function prepareTransaction(
  { resources, keys }: Sendable,
  { leavesOut, readsAnew, written: before, subject }: LeftUnwritten,
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
  let canTell = true
  for (const sent of open) {
    if (there.includes(sent)) continue
    if (sent.intent === 'create') {
      written.push(sent)
      continue
    }
    const current = await currentOf(sent, looked, readsAnew, errand, by)
    const mayBeSame = canTell && current.kind === 'found' && differsByReferencesAlone(sent, current.match)
    const held = mayBeSame ? await placedAsHeld(sent, subject, keys, errand, by) : undefined
    if (held !== undefined && held.kind !== 'placed') {
      if (!mayUpdate(errand, sent)) return held
      // Whether it stands there just so cannot be told: it is written in any case, and nothing more is asked.
      canTell = false
    }
    const way = wayOfUpdating(held?.kind === 'placed' ? held.sent : sent, current, errand, by)
    switch (way.kind) {
      case 'make':
        written.push({ ...sent, intent: 'create' })
        break
      case 'same':
        by.ledger.addAt(sent, way.place)
        there.push(sent)
        break
      case 'update':
        places.set(sent.uuid, { ...way.place, current: way.current })
        written.push(sent)
        break
      case 'cannot-update': {
        if (sent.type === 'Provenance') {
          written.push({ ...sent, intent: 'create' })
          break
        }
        const asNew = await sentAsNew(sent, way.place, keys, errand, by)
        if (asNew.kind !== 'replacement') return asNew
        replacements.set(sent.uuid, asNew.sent.uuid)
        written.push(asNew.sent)
        break
      }
      default:
        return way
    }
  }
  const stay = updates.filter(({ uuid }) => !replacements.has(uuid))
  const back = await replacementsToTakeBack(stay, keys, errand, by)
  if (back.kind !== 'standing') return back
  for (const { sent, match } of back.standing) {
    places.set(sent.uuid, { ...match.place, current: match.resource })
    written.push(sent)
  }
  return { kind: 'prepared', resources: written, there, places, replacements }
}

/** As the search shows it; what it does not show, or is not taken at its word for, and of which an id is known, is read. */
function currentOf(
  sent: SentResource,
  looked: LookedUpAll,
  readsAnew: boolean,
  errand: Errand,
  by: Means,
): Promise<Current> | Current {
  const shown = looked.kind === 'found' ? looked.matches.get(sent.uuid) : undefined
  if (shown !== undefined && readsAnew) by.ledger.addAt(sent, { id: shown.place.id })
  const isRead = (shown === undefined || readsAnew) && by.ledger.get(sent.uuid)?.id !== undefined
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
): Promise<SentResource[]> {
  const creates = asked.filter(({ intent }) => intent === 'create')
  await by.ledger.load(creates.map(({ uuid }) => uuid))
  if (looked.kind !== 'found') return creates.filter(({ uuid }) => by.ledger.get(uuid) !== undefined)
  const { matches, unlooked } = looked
  keepMatches(creates, matches, by)
  return creates.filter(
    ({ uuid }) => matches.has(uuid) || (unlooked.has(uuid) && by.ledger.get(uuid) !== undefined),
  )
}
