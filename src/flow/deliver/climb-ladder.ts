import type { FhirRequest } from '../../core/exchange/fhir-exchange.ts'
import { chooseRung } from '../../core/exchange/route/ladder.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import type { Rung } from '../../core/registry/rung.ts'
import type { RenderedDelivery } from '../render/rendered-delivery.ts'
import { conditionalCreateCourse } from './courses/conditional-create.ts'
import { createOnlyCourse } from './courses/create-only.ts'
import { lookOnlyCourse } from './courses/look-only.ts'
import { ownIdCourse } from './courses/own-id.ts'
import { searchFirstCourse } from './courses/search-first.ts'
import { transactionCourse } from './courses/transaction.ts'
import type { DeliveryRound } from './delivery-round.ts'
import { afterLoss } from './errand/after-loss.ts'
import { afterMistake } from './errand/after-mistake.ts'
import { NothingSent } from './errand/attempt-broken-off.ts'
import type { Course, CourseResult, Means, SentAnswer } from './errand/course.ts'
import type { HeldLedger } from './errand/held-ledger.ts'
import { conditionsSeen, referencesSeen } from './route/transactions-seen.ts'
import type { ClaimInTime } from './turns/claims-in-time.ts'

const COURSES: Readonly<Record<Rung, Course>> = {
  transaction: transactionCourse,
  'conditional-create': conditionalCreateCourse,
  'own-id': ownIdCourse,
  'search-first': searchFirstCourse,
  'create-only': createOnlyCourse,
}

/** What came of the ladder, and on which rung; no rung when none was tried. */
export interface Climbed {
  readonly result: CourseResult
  readonly rung?: Rung
}

/**
 * Brings a delivery to a FHIR server on the best rung that works. One that turns out not to is ruled out, and the next is
 * tried at once, in the same attempt.
 *
 * @throws ClaimLost, NothingSent as `Means` does.
 */
export async function climbLadder(
  claim: ClaimInTime,
  destination: FhirDestination,
  rendered: RenderedDelivery,
  ledger: HeldLedger,
  round: DeliveryRound,
): Promise<Climbed> {
  const { name } = destination
  const { routes } = round
  const unlearnt = await routes.learn(destination)
  if (unlearnt !== undefined) return { result: unlearnt }
  let tried: Rung | undefined
  for (;;) {
    const route = routes.get(name)
    // Another delivery was told meanwhile that the server will have nothing from us.
    if (route.stopped !== undefined) return { result: { kind: 'stop', problem: route.stopped.problem } }
    const choice = chooseRung(route, destination.rung)
    const { rung } = choice
    if (rung === undefined || rung === tried) {
      if (tried === undefined && (await routes.learnAgain(destination))) continue
      const result = { kind: 'park', problem: 'CLINIC_NO_WAY' } as const
      return tried === undefined ? { result } : { result, rung: tried }
    }
    if (rung === 'create-only' && route.restored) {
      await routes.stop(name, 'STORE_COPIED')
      return { result: { kind: 'stop', problem: 'STORE_COPIED' } }
    }
    tried = rung
    const { entry } = claim
    const uncertain = entry.uncertain || ledger.isInDoubt
    const chosen = { ...choice, rung }
    const brought = await afterLoss(rendered, { entry, destination, route, choice: chosen }, round.at)
    const errand = afterMistake({
      entry,
      destination,
      rendered: brought,
      route,
      choice: chosen,
      uncertain,
    })
    const course = rendered.lookedFor === true ? lookOnlyCourse : COURSES[rung]
    const result = await course(errand, meansOf(claim, destination, rung, ledger, round))
    if (result.kind !== 'not-offered') return { result, rung }
    await routes.ruleOut(destination, rung, result.problem)
  }
}

function meansOf(
  claim: ClaimInTime,
  destination: FhirDestination,
  rung: Rung,
  ledger: HeldLedger,
  { at, routes, patients }: DeliveryRound,
): Means {
  const ask = async (request: FhirRequest): Promise<SentAnswer> => {
    await claim.renew()
    const answer = await at.clinic.ask(destination, request)
    if (answer.kind === 'unsent') throw new NothingSent(answer)
    return answer
  }
  return {
    ask,
    async write(request) {
      await routes.use(destination.name, rung)
      await claim.begin()
      const answer = await ask(request)
      const nothingDone = answer.kind === 'heard' && answer.status >= 300 && answer.status < 500
      if (!nothingDone) await routes.wrote(destination.name, rung)
      return answer
    },
    conditions: () => routes.get(destination.name).conditions,
    sawConditions: (conditions) => routes.sawTransactions(destination, conditionsSeen(conditions)),
    references: () => routes.get(destination.name).references,
    sawReferences: (shown) => routes.sawTransactions(destination, referencesSeen(shown, at.clock.now())),
    declined: (type, times) => routes.declined(destination.name, type, times),
    ledger,
    patients,
  }
}
