import type { IRouter, Request } from 'express'
import { instantOf } from '../../../core/basics/instant.ts'
import type { IssuedAverage } from '../../../core/registry/period.ts'
import { comparePeriodProtocols } from '../../../flow/periods/compare-protocols.ts'
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
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { refusedRequest } from '../request-refused.ts'
import { heldPeriod } from './periods-routes.ts'

/**
 * What comes of a period: its newest average and every one before, each as people read it and as it goes to the clinic,
 * and the same readings under every protocol.
 */
export function addPeriodAveragesRoutes(router: IRouter, door: Door): void {
  router.get('/periods/:id/average', async (request, response) => {
    await allowed(request, door, 'application/json')
    const averages = await issuedAverages(request.params.id, door)
    answerText(response, 200, JSON_TYPE, shownAverage(newestOf(averages), averages))
  })
  router.all('/periods/:id/average', methodNotAllowed('GET'))

  router.get('/periods/:id/bundle', async (request, response) => {
    await allowed(request, door, ...FHIR_ACCEPTED)
    const averages = await issuedAverages(request.params.id, door)
    answerText(response, 200, FHIR_JSON_TYPE, newestOf(averages).bundle)
  })
  router.all('/periods/:id/bundle', methodNotAllowed('GET'))

  router.get('/periods/:id/averages', async (request, response) => {
    await allowed(request, door, 'application/json')
    const averages = await issuedAverages(request.params.id, door)
    answerJson(response, 200, { items: averages.map((one) => placeOf(one, averages)) })
  })
  router.all('/periods/:id/averages', methodNotAllowed('GET'))

  router.get('/periods/:id/averages/:revision', async (request, response) => {
    await allowed(request, door, 'application/json')
    const { id, revision } = request.params
    const averages = await issuedAverages(id, door)
    answerText(response, 200, JSON_TYPE, shownAverage(revisionOf(revision, averages), averages))
  })
  router.all('/periods/:id/averages/:revision', methodNotAllowed('GET'))

  router.get('/periods/:id/averages/:revision/bundle', async (request, response) => {
    await allowed(request, door, ...FHIR_ACCEPTED)
    const { id, revision } = request.params
    const averages = await issuedAverages(id, door)
    answerText(response, 200, FHIR_JSON_TYPE, revisionOf(revision, averages).bundle)
  })
  router.all('/periods/:id/averages/:revision/bundle', methodNotAllowed('GET'))

  router.get('/periods/:id/comparison', async (request, response) => {
    await allowed(request, door, 'application/json')
    const period = await heldPeriod(request.params.id, door)
    answerJson(response, 200, valueOrRefusal(await comparePeriodProtocols(period, door.ports)))
  })
  router.all('/periods/:id/comparison', methodNotAllowed('GET'))
}

async function allowed(request: Request, door: Door, ...types: readonly string[]): Promise<void> {
  await door.access.allow(request, 'read', 'operate')
  requireAccepted(request, ...types)
}

/** All averages of a period, the first one first; at least one. @throws RequestRefused (409) when there is none yet. */
async function issuedAverages(id: string, door: Door): Promise<readonly IssuedAverage[]> {
  const period = await heldPeriod(id, door)
  const averages = await door.ports.store.issuedAverages(period.id)
  if (averages.length > 0) return averages
  throw refusedRequest(
    409,
    'NOT_YET',
    'path.id',
    `a closed period; this one is due at ${instantOf(period.dueMs).text}`,
    'Close the period once its last day is over, or ask again when it is due.',
  )
}

function newestOf(averages: readonly IssuedAverage[]): IssuedAverage {
  const newest = averages.at(-1)
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

/** Which of a period's averages it is, and where those before and after it are. */
function placeOf({ period, revision, issued }: IssuedAverage, averages: readonly IssuedAverage[]) {
  const at = (other: number) =>
    averages.some((one) => one.revision === other) ? `/periods/${period}/averages/${other}` : undefined
  return {
    revision,
    issued,
    status: revision === 1 ? 'final' : 'amended',
    previous: at(revision - 1),
    successor: at(revision + 1),
  }
}

/** The summary goes in as it was issued. */
function shownAverage(average: IssuedAverage, averages: readonly IssuedAverage[]): string {
  const head = JSON.stringify(placeOf(average, averages))
  return `${head.slice(0, -1)},${average.summary.slice(1)}`
}
