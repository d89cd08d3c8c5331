import { chooseRung } from '../../core/exchange/ladder.ts'
import type { DeliveryRound } from './delivery-round.ts'

/**
 * Names of the destinations whose entries are marked before anything of them is sent. Where the server cannot be asked
 * what it holds, a person is, about everything that was begun when a process died; so it is worth a durable write to know
 * what was not begun. Everywhere else an entry counts as begun when it is claimed.
 */
export function markedDestinations({ at, routes }: DeliveryRound): readonly string[] {
  return [...at.catalogue.destinations.values()]
    .filter((one) => one.kind === 'fhir' && chooseRung(routes.get(one.name), one.rung).rung === 'create-only')
    .map(({ name }) => name)
}
