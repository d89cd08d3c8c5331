import type { IRouter } from 'express'
import { z } from 'zod'
import type { Period } from '../../../core/registry/period.ts'
import { toldPeriod } from '../../../flow/operate/told-period.ts'
import { closeNow } from '../../../flow/periods/close-now.ts'
import { openPeriod, type PeriodRequest } from '../../../flow/periods/open-period.ts'
import { withdrawPeriod } from '../../../flow/periods/withdraw-period.ts'
import { answerJson, requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { listed, pageOf, UUID_KEY } from '../request/page-query.ts'
import { periodFilterOf } from '../request/period-filter.ts'
import { readJsonBody } from '../request/read-json-body.ts'
import { localDay, nameText } from '../request/request-schemas.ts'
import { refusedRequest } from '../request-refused.ts'

export const periodRequest = z
  .strictObject({
    source: nameText,
    subject: nameText,
    protocol: nameText
      .optional()
      .describe('Id of a protocol or recording rule that is loaded; the destination’s own when absent'),
    firstDay: localDay.describe('First local day of the period'),
    days: z
      .int()
      .min(1)
      .max(366)
      .optional()
      .describe('Local days; when absent the protocol’s ideal, and 2 for a 24-hour recording'),
    arm: z.enum(['left', 'right']).optional(),
  })
  .describe('The local days in which a patient measures under a protocol')

/** `/periods`: opening, listing, closing and withdrawing them. What comes of one is in `period-averages-routes.ts`. */
export function addPeriodsRoutes(router: IRouter, door: Door): void {
  const { store } = door.ports

  router.post('/periods', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { protocol, days, arm, ...written } = await readJsonBody(request, periodRequest, door)
    const asked: PeriodRequest = {
      ...written,
      ...(protocol === undefined ? {} : { protocol }),
      ...(days === undefined ? {} : { days }),
      ...(arm === undefined ? {} : { arm }),
    }
    const { period, opened } = valueOrRefusal(await openPeriod(asked, caller.actor, door.ports))
    response.setHeader('Location', `/periods/${period.id}`)
    answerJson(response, opened ? 201 : 200, toldPeriod(period))
  })

  router.get('/periods', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const page = pageOf(request, UUID_KEY)
    const filter = await periodFilterOf(request, door)
    answerJson(
      response,
      200,
      listed(await store.periodPage({ ...page, ...filter }), page, (period) => period.id, toldPeriod),
    )
  })
  router.all('/periods', methodNotAllowed('GET', 'POST'))

  router.get('/periods/:id', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, toldPeriod(await heldPeriod(request.params.id, door)))
  })
  router.delete('/periods/:id', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { id } = await heldPeriod(request.params.id, door)
    const withdrawn = valueOrRefusal(await withdrawPeriod(id, caller.actor, door.ports))
    const { period, withdrawnNow, queued } = withdrawn
    answerJson(response, 200, { ...toldPeriod(period), withdrawnNow, queued })
  })
  router.all('/periods/:id', methodNotAllowed('GET', 'DELETE'))

  router.post('/periods/:id/close', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { id } = await heldPeriod(request.params.id, door)
    const closed = valueOrRefusal(await closeNow(id, caller.actor, door.ports))
    const { period, closedNow, issuedNow } = closed
    answerJson(response, 200, { ...toldPeriod(period), closedNow, issuedNow })
  })
  router.all('/periods/:id/close', methodNotAllowed('POST'))
}

/** @throws RequestRefused (404) when there is none of that id. */
export async function heldPeriod(id: string, door: Door): Promise<Period> {
  const period = UUID_KEY.test(id) ? await door.ports.store.period(id) : undefined
  if (period !== undefined) return period
  throw refusedRequest(404, 'NOT_FOUND', 'path.id', 'the id of a period', 'Check the id.')
}
