import type { IRouter, Request } from 'express'
import { instantOf } from '../../../core/basics/instant.ts'
import { averagesFor, type IssuedAverage } from '../../../core/registry/period.ts'
import { comparePeriodProtocols } from '../../../flow/periods/compare-protocols.ts'
import { recordRead } from '../../../flow/prove/record-read.ts'
import {
  answerJson,
  answerText,
  FHIR_ACCEPTED,
  FHIR_JSON_TYPE,
  JSON_TYPE,
  requireAccepted,
  valueOrRefusal,
} from '../answer/answer.ts'
import type { Door } from '../door.ts'
import type { Caller } from '../guard/access.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { refusedRequest } from '../request-refused.ts'
import { heldPeriod } from './periods-routes.ts'

/**
 * What comes of a period: its newest average and every one before, each as people read it and as it goes to the clinic,
 * and the same readings under every protocol.
 */
export function addPeriodAveragesRoutes(router: IRouter, door: Door): void {
  router.get('/periods/:id/average', async (request, response) => {
    const { actor } = await allowed(request, door, 'application/json')
    const { id } = request.params
    const averages = await issuedAverages(id, door)
    const newest = await newestOf(id, averages, door)
    await recordRead(actor, 'average', id, door.ports)
    answerText(response, 200, JSON_TYPE, shownAverage(newest, averages))
  })
  router.all('/periods/:id/average', methodNotAllowed('GET'))

  router.get('/periods/:id/bundle', async (request, response) => {
    const { actor } = await allowed(request, door, ...FHIR_ACCEPTED)
    const { id } = request.params
    const { bundle } = await newestOf(id, await issuedAverages(id, door), door)
    await recordRead(actor, 'average-bundle', id, door.ports)
    answerText(response, 200, FHIR_JSON_TYPE, bundle)
  })
  router.all('/periods/:id/bundle', methodNotAllowed('GET'))

  router.get('/periods/:id/averages', async (request, response) => {
    await allowed(request, door, 'application/json')
    const averages = await issuedAverages(request.params.id, door)
    answerJson(response, 200, { items: averages.map((one) => placeOf(one, averages)) })
  })
  router.all('/periods/:id/averages', methodNotAllowed('GET'))

  router.get('/periods/:id/averages/:revision', async (request, response) => {
    const { actor } = await allowed(request, door, 'application/json')
    const { id, revision } = request.params
    const averages = await issuedAverages(id, door)
    const average = revisionOf(revision, averages)
    await recordRead(actor, 'average', id, door.ports, { revision: average.revision })
    answerText(response, 200, JSON_TYPE, shownAverage(average, averages))
  })
  router.all('/periods/:id/averages/:revision', methodNotAllowed('GET'))

  router.get('/periods/:id/averages/:revision/bundle', async (request, response) => {
    const { actor } = await allowed(request, door, ...FHIR_ACCEPTED)
    const { id, revision } = request.params
    const { bundle, ...average } = revisionOf(revision, await issuedAverages(id, door))
    await recordRead(actor, 'average-bundle', id, door.ports, { revision: average.revision })
    answerText(response, 200, FHIR_JSON_TYPE, bundle)
  })
  router.all('/periods/:id/averages/:revision/bundle', methodNotAllowed('GET'))

  router.get('/periods/:id/comparison', async (request, response) => {
    const { actor } = await allowed(request, door, 'application/json')
    const period = await heldPeriod(request.params.id, door)
    const compared = valueOrRefusal(await comparePeriodProtocols(period, door.ports))
    await recordRead(actor, 'comparison', period.id, door.ports)
    answerJson(response, 200, compared)
  })
  router.all('/periods/:id/comparison', methodNotAllowed('GET'))
}

async function allowed(request: Request, door: Door, ...types: readonly string[]): Promise<Caller> {
  const caller = await door.access.allow(request, 'read', 'operate')
  requireAccepted(request, ...types)
  return caller
}

/** All averages of a period, the first one first; at least one. @throws RequestRefused (409) when there is none yet. */
async function issuedAverages(id: string, door: Door): Promise<readonly IssuedAverage[]> {
  const period = await heldPeriod(id, door)
  const averages = await door.ports.store.issuedAverages(period.id)
  if (averages.length > 0) return averages
  if (period.state === 'withdrawn') {
    throw refusedRequest(
      409,
      'PERIOD_WITHDRAWN',
      'path.id',
      'a period that was not withdrawn before it had an average',
      'Open a period again where these days are meant to be averaged.',
    )
  }
  throw refusedRequest(
    409,
    'NOT_YET',
    'path.id',
    `a closed period; this one is due at ${instantOf(period.dueMs).text}`,
    'Close the period once its last day is over, or ask again when it is due.',
  )
}

/** The newest for the clinic that the person is linked to; where it was issued none yet, the newest of all. */
async function newestOf(id: string, averages: readonly IssuedAverage[], door: Door): Promise<IssuedAverage> {
  const { source, subject } = await heldPeriod(id, door)
  const [enrolment] = await door.ports.store.enrolments(source, [subject])
  const own = enrolment === undefined ? [] : averagesFor(enrolment.destination, averages)
  const newest = own.at(-1) ?? averages.at(-1)
  if (newest === undefined) throw new Error('a period with averages has a newest one')
  return newest
}

function revisionOf(text: string, averages: readonly IssuedAverage[]): IssuedAverage {
  const found = averages.find(({ revision }) => String(revision) === text)
  if (found !== undefined) return found
  throw refusedRequest(
    404,
    'NOT_FOUND',
    'path.revision',
    `a revision of this average, 1 to ${averages.length}`,
    'List them at /periods/{id}/averages.',
  )
}

/** Which of a period's averages it is, and where those before and after it for the same destination are. */
function placeOf(
  { period, revision, issued, destination, takesBack }: IssuedAverage,
  averages: readonly IssuedAverage[],
) {
  const own = averagesFor(destination, averages)
  const place = own.findIndex((one) => one.revision === revision)
  const at = (other: IssuedAverage | undefined) => other && `/periods/${period}/averages/${other.revision}`
  return {
    revision,
    destination,
    issued,
    status: takesBack === true ? 'entered-in-error' : revision === 1 ? 'final' : 'amended',
    previous: at(own[place - 1]),
    successor: at(own[place + 1]),
  }
}

/** The summary goes in as it was issued. */
function shownAverage(average: IssuedAverage, averages: readonly IssuedAverage[]): string {
  const head = JSON.stringify(placeOf(average, averages))
  return `${head.slice(0, -1)},${average.summary.slice(1)}`
}
