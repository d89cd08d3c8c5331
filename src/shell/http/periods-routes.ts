import type { IRouter } from 'express'
import { z } from 'zod'
import { instantOf } from '../../core/basics/instant.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import { closePeriod } from '../../flow/close-period.ts'
import { openPeriod, type PeriodRequest } from '../../flow/open-period.ts'
import {
  answerJson,
  answerText,
  FHIR_ACCEPTED,
  FHIR_JSON_TYPE,
  JSON_TYPE,
  requireAccepted,
  valueOrRefusal,
} from './answer.ts'
import type { Door } from './door.ts'
import { methodNotAllowed } from './method-not-allowed.ts'
import { listed, pageOf, UUID_KEY } from './page-query.ts'
import { readJsonBody } from './read-json-body.ts'
import { refusedRequest } from './request-refused.ts'
import { localDay, nameText } from './request-schemas.ts'

export const periodRequest = z
  .strictObject({
    source: nameText,
    subject: nameText,
    protocol: nameText.describe('Id of a loaded protocol'),
    firstDay: localDay.describe('First local day of the period'),
    days: z.int().min(1).max(366).optional().describe('Local days; the protocol’s ideal when absent'),
    arm: z.enum(['left', 'right']).optional(),
  })
  .describe('The local days in which a patient measures under a protocol')

/** `/periods` and what hangs on one: closing it, its average, the bundle as it goes to the clinic. */
export function addPeriodsRoutes(router: IRouter, door: Door): void {
  const { store } = door.ports

  router.post('/periods', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { days, arm, ...written } = await readJsonBody(request, periodRequest, door)
    const asked: PeriodRequest = {
      ...written,
      ...(days === undefined ? {} : { days }),
      ...(arm === undefined ? {} : { arm }),
    }
    const { period, opened } = valueOrRefusal(await openPeriod(asked, caller.actor, door.ports))
    response.setHeader('Location', `/periods/${period.id}`)
    answerJson(response, opened ? 201 : 200, shownPeriod(period))
  })

  router.get('/periods', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const page = pageOf(request, UUID_KEY)
    answerJson(
      response,
      200,
      listed(await store.periodPage(page), page, (period) => period.id, shownPeriod),
    )
  })
  router.all('/periods', methodNotAllowed('GET', 'POST'))

  router.get('/periods/:id', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, shownPeriod(await heldPeriod(request.params.id, door)))
  })
  router.all('/periods/:id', methodNotAllowed('GET'))

  router.post('/periods/:id/close', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { id } = await heldPeriod(request.params.id, door)
    const { period, closedNow } = valueOrRefusal(await closePeriod(id, caller.actor, door.ports))
    answerJson(response, 200, { ...shownPeriod(period), closedNow })
  })
  router.all('/periods/:id/close', methodNotAllowed('POST'))

  router.get('/periods/:id/bundle', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, ...FHIR_ACCEPTED)
    const { bundle } = await issuedAverage(request.params.id, door)
    answerText(response, 200, FHIR_JSON_TYPE, bundle)
  })
  router.all('/periods/:id/bundle', methodNotAllowed('GET'))

  router.get('/periods/:id/average', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const { summary } = await issuedAverage(request.params.id, door)
    answerText(response, 200, JSON_TYPE, summary)
  })
  router.all('/periods/:id/average', methodNotAllowed('GET'))
}

async function heldPeriod(id: string, door: Door): Promise<Period> {
  const period = UUID_KEY.test(id) ? await door.ports.store.period(id) : undefined
  if (period !== undefined) return period
  throw refusedRequest(404, 'NOT_FOUND', 'path.id', 'the id of a period', 'Check the id.')
}

async function issuedAverage(id: string, door: Door): Promise<IssuedAverage> {
  const period = await heldPeriod(id, door)
  const average = await door.ports.store.issuedAverage(period.id)
  if (average !== undefined) return average
  throw refusedRequest(
    409,
    'NOT_YET',
    'path.id',
    `a closed period; this one is due at ${instantOf(period.dueMs).text}`,
    'Close the period, or ask again when it is due.',
  )
}

function shownPeriod({ dueMs, ...period }: Period): Omit<Period, 'dueMs'> & { readonly due: string } {
  return { ...period, due: instantOf(dueMs).text }
}
