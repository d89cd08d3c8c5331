import type { IRouter } from 'express'
import { verifyAudit } from '../../../flow/prove/verify-audit.ts'
import { answerJson, requireAccepted } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { auditFilterOf } from '../request/audit-filter.ts'
import { keptPlaceOf } from '../request/kept-place.ts'
import { listed, NUMBER_KEY, pageOf } from '../request/page-query.ts'

/**
 * `GET /audit`: who did what, when, in order, each row with the hash that chains it to the one before, all or those of one
 * action, actor or thing; and
 * `GET /audit/verify`: whether every row still follows from the one before, through the place that was kept. The answer is
 * 200 either way.
 */
export function addAuditRoutes(router: IRouter, door: Door): void {
  router.get('/audit', async (request, response) => {
    await door.access.allow(request, 'audit')
    requireAccepted(request, 'application/json')
    const page = pageOf(request, NUMBER_KEY)
    const rows = await door.ports.store.auditPage({ ...page, ...auditFilterOf(request) })
    answerJson(
      response,
      200,
      listed(
        rows,
        page,
        (row) => String(row.seq),
        (row) => row,
      ),
    )
  })
  router.all('/audit', methodNotAllowed('GET'))

  router.get('/audit/verify', async (request, response) => {
    await door.access.allow(request, 'audit')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, await verifyAudit(door.ports.store.followAudit, keptPlaceOf(request)))
  })
  router.all('/audit/verify', methodNotAllowed('GET'))
}
