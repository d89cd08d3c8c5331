import type { IRouter } from 'express'
import { instantOf } from '../../core/basics/instant.ts'
import type { OutboxEntry, OutboxState } from '../../core/outbox/entry.ts'
import { answerJson, requireAccepted } from './answer.ts'
import type { Door } from './door.ts'
import { methodNotAllowed } from './method-not-allowed.ts'
import { listed, NUMBER_KEY, pageOf, queryText } from './page-query.ts'
import { refusedRequest } from './request-refused.ts'

const STATES: readonly OutboxState[] = ['waiting', 'claimed', 'settled', 'given-up']

/** `/deliveries`: what is on its way to a clinic, what arrived, and what was given up and can be tried again by hand. */
export function addDeliveriesRoutes(router: IRouter, door: Door): void {
  const { store, clock } = door.ports

  router.get('/deliveries', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const page = pageOf(request, NUMBER_KEY)
    const state = stateOf(queryText(request, 'state'))
    const entries = await store.deliveryPage(state === undefined ? page : { ...page, state })
    answerJson(
      response,
      200,
      listed(entries, page, (entry) => String(entry.id), shownEntry),
    )
  })
  router.all('/deliveries', methodNotAllowed('GET'))

  router.post('/deliveries/:id/retry', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const id = NUMBER_KEY.test(request.params.id) ? Number(request.params.id) : undefined
    const now = clock.now()
    const queued =
      id !== undefined &&
      (await store.retryDelivery(id, now, {
        at: instantOf(now).text,
        actor: caller.actor,
        action: 'delivery-retried',
        about: String(id),
        outcome: 'done',
        detail: {},
      }))
    if (!queued) {
      throw refusedRequest(
        404,
        'NOT_FOUND',
        'path.id',
        'the id of a given-up delivery',
        'List those with ?state=given-up.',
      )
    }
    answerJson(response, 200, { id, state: 'waiting' })
  })
  router.all('/deliveries/:id/retry', methodNotAllowed('POST'))
}

function stateOf(text: string | undefined): OutboxState | undefined {
  if (text === undefined) return undefined
  const state = STATES.find((one) => one === text)
  if (state !== undefined) return state
  throw refusedRequest(
    400,
    'NOT_A_CHOICE',
    'query.state',
    `one of: ${STATES.join(', ')}`,
    'Use one of the words listed.',
  )
}

function shownEntry({ dueMs, ...entry }: OutboxEntry): Omit<OutboxEntry, 'dueMs'> & { readonly due: string } {
  return { ...entry, due: instantOf(dueMs).text }
}
