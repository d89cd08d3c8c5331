import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { findCurrent } from '../looks/find-current.ts'
import { mayUpdate, type Sendable } from '../looks/sendable-resources.ts'
import { enteredInError, stands, type TakenBack } from './entered-in-error.ts'
import { learnOfReplacements, replacementAt, replacementsBefore, revisionOf } from './replacements.ts'

/**
 * What was sent as new in place of resources, while their server took no update, and still stands. It is to be taken back
 * once these themselves say what is so: else two of each would stand. What the clinic removed stands no more; what cannot
 * be looked for is left to a person.
 *
 * @param updates resources that are brought up to date where they are.
 */
export async function replacementsToTakeBack(
  updates: readonly SentResource[],
  keys: Sendable['keys'],
  errand: Errand,
  by: Means,
): Promise<{ readonly kind: 'standing'; readonly standing: readonly TakenBack[] } | Ending> {
  const possible = updates
    .filter((sent) => sent.type === 'Observation' && mayUpdate(errand, sent))
    .flatMap((sent) => possibleReplacements(sent, keys))
  const ending = await learnOfReplacements(possible, errand, by)
  if (ending !== undefined) return ending
  const standing: TakenBack[] = []
  for (const one of possible.filter(({ uuid }) => by.ledger.get(uuid) !== undefined)) {
    const current = await findCurrent(one, errand, by)
    switch (current.kind) {
      case 'found':
        if (stands(current.match)) standing.push(enteredInError(one, current.match))
        break
      case 'absent':
        break
      case 'cannot-look':
        return { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' }
      default:
        if (current.kind !== 'refused' || current.problem !== 'CLINIC_DELETED') return current
    }
  }
  return { kind: 'standing', standing }
}

function possibleReplacements(sent: SentResource, keys: Sendable['keys']): readonly SentResource[] {
  const revision = revisionOf(sent, keys)
  if (revision === undefined) return []
  return [...replacementsBefore(sent, revision), replacementAt(sent, revision.uuid)]
}
