import type { RequestHandler } from 'express'
import { refusedRequest } from '../request-refused.ts'

/** Answers a path that exists with a method it does not have: 405 with Allow, or the bare list to OPTIONS. */
export function methodNotAllowed(...methods: readonly string[]): RequestHandler {
  const allowed = [...(methods.includes('GET') ? ['HEAD'] : []), ...methods, 'OPTIONS'].join(', ')
  return (request, response) => {
    if (request.method === 'OPTIONS') {
      response.setHeader('Allow', allowed)
      response.statusCode = 204
      response.end()
      return
    }
    throw refusedRequest(
      405,
      'METHOD_NOT_ALLOWED',
      'method',
      `one of: ${allowed}`,
      'Use one of the methods listed.',
      {
        Allow: allowed,
      },
    )
  }
}
