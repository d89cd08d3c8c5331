import { chooseRung } from '../../../core/exchange/route/ladder.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import type { Ports } from '../../ports/ports.ts'
import type { KnownRoutes } from './known-routes.ts'

/**
 * Names of the destinations whose entries are marked before anything of them is sent. Where the server cannot be asked
 * what it holds, a person is, about everything that was begun when a process died; so it is worth a durable write to know
 * what was not begun. Everywhere else an entry counts as begun when it is claimed.
 */
export function markedDestinations(
  { catalogue }: Pick<Ports, 'catalogue'>,
  routes: KnownRoutes,
): readonly string[] {
  return [...catalogue.destinations.values()]
    .filter((one) => one.kind === 'fhir' && isMarked(one, routes))
    .map(({ name }) => name)
}

/**
 * A server that was not asked yet, or gives no statement, may turn out to be served on the last rung while the entry is
 * claimed. For most that is one write for each of the few that are claimed before the first answer.
 */
function isMarked({ name, rung }: FhirDestination, routes: KnownRoutes): boolean {
  const route = routes.get(name)
  if (rung === undefined && route.abilities === undefined) return true
  return chooseRung(route, rung).rung === 'create-only'
}
