import type { IRouter, Request } from 'express'
import type { Issue } from '../../../core/basics/issue.ts'
import { OUTBOX_STATES, type OutboxState, STUCK_STATES } from '../../../core/outbox/entry.ts'
import { confirmDelivery } from '../../../flow/operate/confirm-delivery.ts'
import { previewDelivery } from '../../../flow/operate/preview-delivery.ts'
import { retryDeliveries, retryDelivery } from '../../../flow/operate/retry-deliveries.ts'
import { NO_SUCH_DELIVERY, type Steered } from '../../../flow/operate/steer-delivery.ts'
import { toldDelivery, toldInFull } from '../../../flow/operate/told-delivery.ts'
import { recordRead } from '../../../flow/prove/record-read.ts'
import { answerJson, requireAccepted } from '../answer/answer.ts'
import { statusOfIssue } from '../answer/status-of-issue.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { deliveryFilterOf } from '../request/delivery-filter.ts'
import { listed, NUMBER_KEY, pageOf } from '../request/page-query.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'

/**
 * `/deliveries`: what is on its way to a clinic, what arrived, what waits for a person and why. What a clinic's server
 * said, and what would be sent, may speak of a patient: those are for operators alone.
 */
export function addDeliveriesRoutes(router: IRouter, door: Door): void {
  const { ports } = door

  router.get('/deliveries', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const page = pageOf(request, NUMBER_KEY)
    const filter = await deliveryFilterOf(request, OUTBOX_STATES, door)
    const entries = await ports.store.deliveryPage({ ...page, ...filter })
    answerJson(
      response,
      200,
      listed(entries, page, ({ id }) => String(id), toldDelivery),
    )
  })
  router.all('/deliveries', methodNotAllowed('GET'))

  router.post('/deliveries/retry', async (request, response) => {
    const { actor } = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const filter = await deliveryFilterOf(request, STUCK_STATES, door)
    if (Object.keys(filter).length === 0) {
      throw refusedRequest(
        400,
        'MISSING_KEY',
        'query',
        'at least one of: state, destination, source, kind, problem, queuedBefore',
        'Say which deliveries are meant, such as ?state=given-up.',
      )
    }
    answerJson(response, 200, { retried: await retryDeliveries(filter, actor, ports) })
  })
  router.all('/deliveries/retry', methodNotAllowed('POST'))

  router.get('/deliveries/:id', async (request, response) => {
    const { actor } = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const id = idOf(request)
    const delivery = id === undefined ? undefined : await ports.store.delivery(id)
    if (delivery === undefined) throw noDelivery()
    await recordRead(actor, 'delivery', String(delivery.id), ports)
    answerJson(response, 200, toldInFull(delivery))
  })
  router.all('/deliveries/:id', methodNotAllowed('GET'))

  router.get('/deliveries/:id/preview', async (request, response) => {
    const { actor } = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const id = idOf(request)
    const preview = id === undefined ? undefined : await previewDelivery(id, ports)
    if (preview === undefined) throw noDelivery()
    await recordRead(actor, 'delivery-preview', String(preview.id), ports)
    answerJson(response, 200, preview)
  })
  router.all('/deliveries/:id/preview', methodNotAllowed('GET'))

  router.post('/deliveries/:id/retry', async (request, response) => {
    const { actor } = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const id = idOf(request)
    if (id === undefined) throw noDelivery()
    requireSteered(await retryDelivery(id, actor, ports))
    answerJson(response, 200, { id, state: 'waiting' })
  })
  router.all('/deliveries/:id/retry', methodNotAllowed('POST'))

  router.post('/deliveries/:id/confirm', async (request, response) => {
    const { actor } = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const id = idOf(request)
    if (id === undefined) throw noDelivery()
    requireSteered(await confirmDelivery(id, actor, ports))
    answerJson(response, 200, { id, state: 'settled' })
  })
  router.all('/deliveries/:id/confirm', methodNotAllowed('POST'))
}

function idOf({ params }: Request<{ id: string }>): number | undefined {
  return NUMBER_KEY.test(params.id) ? Number(params.id) : undefined
}

/** @throws RequestRefused: 404 when there is no such delivery, 409 with its state when it is in another one. */
function requireSteered(steered: Steered): void {
  if (!steered.ok) throw refusalToSteer(steered.issue, steered.state)
}

function noDelivery(): RequestRefused {
  return refusalToSteer(NO_SUCH_DELIVERY)
}

function refusalToSteer(issue: Issue, state?: OutboxState): RequestRefused {
  const beside = state === undefined ? {} : { state }
  return new RequestRefused(statusOfIssue(issue), [{ ...issue, at: 'path.id' }], { beside })
}
