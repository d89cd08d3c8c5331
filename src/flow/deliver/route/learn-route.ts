import { readAbilities } from '../../../core/exchange/route/abilities.ts'
import { probeRequest, readProbe } from '../../../core/exchange/route/probe.ts'
import type { Route } from '../../../core/exchange/route/route.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import type { ClinicServers, Clock } from '../../ports/ports.ts'
import { NothingSent } from '../errand/attempt-broken-off.ts'
import type { Ending } from '../errand/course.ts'
import { keptOfTransactions } from './transactions-seen.ts'

/** Where every FHIR server tells what it can do. Source: FHIR R4 4.0.1 http.html, capabilities. */
const STATEMENT = 'metadata'

export type LearntRoute =
  | {
      readonly kind: 'learnt'
      readonly route: Route
      /** Whether the server answered everything, so that it need not be asked again for a while. */
      readonly whole: boolean
    }
  | Ending

/**
 * Asks a destination's server what it can do, and where it says that it takes transactions, whether it keeps them whole.
 * Nothing is written there. What turned out before not to work is forgotten, for the server may have been mended; what
 * was ever used is not.
 *
 * @throws NothingSent when the server cannot be reached.
 */
export async function learnRoute(
  before: Route,
  destination: FhirDestination,
  { clinic, clock }: { readonly clinic: ClinicServers; readonly clock: Clock },
): Promise<LearntRoute> {
  const told = await clinic.ask(destination, { method: 'GET', path: STATEMENT })
  if (told.kind === 'unsent') throw new NothingSent(told)
  if (told.kind === 'unheard') return { kind: 'not-now', problem: told.problem }
  const { status, retryAfterMs, body } = told
  if (PASSES.has(status) || (status >= 500 && before.abilities !== undefined)) {
    const wait = retryAfterMs === undefined ? {} : { retryAfterMs }
    return { kind: 'not-now', problem: 'CLINIC_BUSY', ...wait, said: told.said }
  }
  // A server may fail at nothing but its statement: it is served without one, and asked again in another round.
  if (status >= 500) return { kind: 'learnt', route: before, whole: false }
  const abilities = status === 200 && body.kind === 'resource' ? readAbilities(body.resource) : undefined
  const { abilities: _, conditions: __, references: ___, declined: ____, ...rest } = before
  const learnt = {
    ...rest,
    ...keptOfTransactions(before),
    address: destination.baseUrl,
    ...(abilities === undefined ? {} : { abilities }),
    ruledOut: [],
  }
  if (abilities?.transaction !== true) {
    return { kind: 'learnt', route: { ...learnt, probed: 'not-asked', learntMs: clock.now() }, whole: true }
  }
  const answer = await clinic.ask(destination, probeRequest())
  const probed = readProbe(answer)
  return {
    kind: 'learnt',
    route: { ...learnt, probed, learntMs: clock.now() },
    whole: probed !== 'not-asked',
  }
}

/** Statuses that say "not now". Source: RFC 9110 section 15, RFC 8470 section 5.2 (425), RFC 6585 section 4 (429). */
const PASSES: ReadonlySet<number> = new Set([408, 425, 429, 502, 503, 504])
