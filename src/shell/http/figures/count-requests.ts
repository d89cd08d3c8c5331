import type { RequestHandler } from 'express'
import type { AnsweredRequest } from './request-figures.ts'

/**
 * Counts every request once its connection has no more to do with it. One whose client went away before the whole answer
 * was written counts as `broken-off`.
 */
export function countRequests(count: (request: AnsweredRequest) => void): RequestHandler {
  return (request, response, next) => {
    const started = performance.now()
    response.once('close', () => {
      const pattern: unknown = request.route?.path
      count({
        method: request.method,
        route: typeof pattern === 'string' ? pattern : undefined,
        status: response.writableFinished ? String(response.statusCode) : 'broken-off',
        seconds: (performance.now() - started) / 1000,
      })
    })
    next()
  }
}
