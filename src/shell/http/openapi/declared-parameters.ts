import { type Request, type RequestHandler, Router } from 'express'
import { type Issue, inputError } from '../../../core/basics/issue.ts'
import { isNonEmpty } from '../../../core/basics/result.ts'
import { nearestKey } from '../../../core/json-text/nearest-key.ts'
import { placeText } from '../../../core/json-text/place-text.ts'
import { RequestRefused } from '../request-refused.ts'
import type { Paths } from './path-parts.ts'

/**
 * Refuses query parameters that the description of a route does not have, and those given twice: one that is passed over
 * makes a narrow question a wide one. Every route is held to its own description, so that none can forget it; a path or
 * method that is not described passes, and is refused where it leads.
 *
 * Throws RequestRefused (400) with one issue for each parameter.
 *
 * @param paths the description, which is made when the first request with a query comes.
 */
export function declaredParametersOnly(paths: () => Paths): RequestHandler {
  let checks: Router | undefined
  return (request, response, next) => {
    if (!request.url.includes('?')) {
      next()
      return
    }
    checks ??= checksOf(paths())
    checks(request, response, next)
  }
}

function checksOf(paths: Paths): Router {
  const router = Router()
  for (const [path, operations] of Object.entries(paths)) {
    const route = router.route(path.replaceAll(/\{(\w+)\}/g, ':$1'))
    for (const [method, { parameters = [] }] of Object.entries(operations)) {
      const known = (parameters as readonly Described[]).filter((one) => one.in === 'query')
      const names = known.map(({ name }) => name)
      const check: RequestHandler = (request, _response, next) => {
        refuseOthers(request, names)
        next('router')
      }
      if (method === 'get') route.get(check)
      else if (method === 'post') route.post(check)
      else if (method === 'put') route.put(check)
      else if (method === 'delete') route.delete(check)
      else throw new Error(`no route has the method ${method}`)
    }
  }
  return router
}

interface Described {
  readonly name: string
  readonly in: string
}

function refuseOthers(request: Request, names: readonly string[]): void {
  const issues = Object.entries(request.query).flatMap(([name, value]): Issue[] => {
    const at = placeText(['query', name])
    if (!names.includes(name)) return [unknownParameter(at, name, names)]
    if (typeof value === 'string') return []
    return [inputError('structure', 'WRONG_TYPE', at, 'one value', 'Give the parameter once.')]
  })
  if (isNonEmpty(issues)) throw new RequestRefused(400, issues)
}

function unknownParameter(at: string, name: string, names: readonly string[]): Issue {
  const meant = nearestKey(name, names)
  return inputError(
    'structure',
    'UNKNOWN_KEY',
    at,
    names.length === 0 ? 'no parameters' : `only the parameters ${names.join(', ')}`,
    meant === undefined
      ? 'Remove the parameter, or correct its spelling.'
      : `Did you mean “${meant}”? If not, remove the parameter.`,
  )
}
