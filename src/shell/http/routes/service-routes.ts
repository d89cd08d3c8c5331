import type { IRouter } from 'express'
import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import { sqliteOf } from '../../../core/basics/gateway-error.ts'
import type { Ports } from '../../../flow/ports/ports.ts'
import { answerJson, answerText, requireAccepted } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { refusedRequest } from '../request-refused.ts'
import { addDocumentationRoutes } from './documentation-page-routes.ts'

/** Health, figures, and the pages and problems a client reads before it has a key. */
export function addServiceRoutes(router: IRouter, door: Door): void {
  router.get('/health/live', (_request, response) => answerJson(response, 200, { status: 'live' }))
  router.get('/health/ready', async (_request, response) => {
    const ready = await storeAnswers(door)
    answerJson(response, ready ? 200 : 503, { status: ready ? 'ready' : 'not-ready' })
  })
  router.all('/health/live', methodNotAllowed('GET'))
  router.all('/health/ready', methodNotAllowed('GET'))

  router.get('/metrics', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    const openMetrics = (request.headers.accept ?? '').includes('application/openmetrics-text')
    if (!openMetrics) requireAccepted(request, 'text/plain')
    const { contentType, text } = await door.metrics.text(openMetrics)
    answerText(response, 200, contentType, text)
  })
  router.all('/metrics', methodNotAllowed('GET'))

  addDocumentationRoutes(router)

  router.get('/problems/:code', (request, response) => {
    requireAccepted(request, 'application/json')
    const { code } = request.params
    const entry = Object.entries(ERROR_CODES).find(([known]) => known === code)
    if (entry === undefined) {
      throw refusedRequest(
        404,
        'NOT_FOUND',
        'path.code',
        'the code of a problem',
        'Use a code as an answer gave it.',
      )
    }
    const [meaning, remedy] = entry[1]
    answerJson(response, 200, { code, meaning, remedy })
  })
  router.all('/problems/:code', methodNotAllowed('GET'))
}

/** Whether the store answers a small question in time, and takes writes. */
async function storeAnswers({ ports }: Door): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<false>((resolve) => {
    timer = setTimeout(() => resolve(false), READY_WITHIN_MS)
  })
  const asked = storeWorks(ports).catch((error: unknown) => {
    ports.log.warn('store-does-not-answer', { code: 'STORE_FAILED', ...sqliteOf(error) })
    return false
  })
  try {
    return await Promise.race([asked, late])
  } finally {
    clearTimeout(timer)
  }
}

async function storeWorks({ store, log }: Ports): Promise<boolean> {
  await store.sources()
  const sqlite = await store.writeProblem()
  if (sqlite === undefined) return true
  log.warn('store-takes-no-writes', { code: 'STORE_FAILED', sqlite })
  return false
}

const READY_WITHIN_MS = 2_000
