import { type Request, type RequestHandler, Router } from 'express'
import { type Issue, inputError } from '../../../core/basics/issue.ts'
import { isNonEmpty } from '../../../core/basics/result.ts'
import { nearestKey } from '../../../core/json-text/nearest-key.ts'
import { placeText } from '../../../core/json-text/place-text.ts'
import { RequestRefused } from '../request-refused.ts'
import type { Paths } from './path-parts.ts'

/**
 * Refuses query parameters that the description of a route does not have, those given twice, and a body where none is
 * described: what is passed over makes a narrow question a wide one. Every route is held to its own description, so that
 * none can forget it; a path or method that is not described passes, and is refused where it leads. OPTIONS asks nothing.
 *
 * Throws RequestRefused (400) with one issue for each parameter, or one for the body.
 *
 * @param paths the description, which is made when the first request with a query or a body comes.
 */
export function declaredOnly(paths: () => Paths): readonly RequestHandler[] {
  let checks: Checks | undefined
  return [
    (request, response, next) => {
      if (request.method === 'OPTIONS' || !request.url.includes('?')) {
        next()
        return
      }
      checks ??= checksOf(paths())
      checks.parameters(request, response, next)
    },
    (request, response, next) => {
      if (!hasBody(request)) {
        next()
        return
      }
      checks ??= checksOf(paths())
      const check = checks.withoutBody[request.method]
      if (check === undefined) next()
      else check(request, response, next)
    },
  ]
}

interface Checks {
  readonly parameters: Router
  /** The routes of each method that take no body: of POST these are few, so that what is received costs no more. */
  readonly withoutBody: Readonly<Record<string, Router>>
}

function checksOf(paths: Paths): Checks {
  const newRouter = () => Router({ caseSensitive: true })
  const parameters = newRouter()
  const withoutBody = { GET: newRouter(), POST: newRouter(), PUT: newRouter(), DELETE: newRouter() }
  for (const [path, operations] of Object.entries(paths)) {
    const route = path.replaceAll(/\{(\w+)\}/g, ':$1')
    for (const [method, { parameters: described = [], requestBody }] of Object.entries(operations)) {
      const known = (described as readonly Described[]).filter((one) => one.in === 'query')
      const names = known.map(({ name }) => name)
      addCheck(parameters, method, route, (request) => refuseOthers(request, names))
      const bodiless = withoutBody[method.toUpperCase() as keyof typeof withoutBody]
      if (requestBody === undefined) addCheck(bodiless, method, route, () => refuseBody(names))
    }
  }
  return { parameters, withoutBody }
}

function addCheck(router: Router, method: string, path: string, refuse: (request: Request) => void): void {
  const check: RequestHandler = (request, _response, next) => {
    refuse(request)
    next('router')
  }
  const route = router.route(path)
  if (method === 'get') route.get(check)
  else if (method === 'post') route.post(check)
  else if (method === 'put') route.put(check)
  else if (method === 'delete') route.delete(check)
  else throw new Error(`no route has the method ${method}`)
}

interface Described {
  readonly name: string
  readonly in: string
}

/** Source: RFC 9112, 6.3: a request has a body where it names its length, or that it comes in pieces. */
function hasBody({ headers }: Request): boolean {
  const { 'content-length': length, 'transfer-encoding': encoding } = headers
  return encoding !== undefined || (length !== undefined && Number(length) !== 0)
}

function refuseBody(parameters: readonly string[]): never {
  throw new RequestRefused(400, [
    inputError(
      'structure',
      'UNKNOWN_KEY',
      'body',
      'no body',
      parameters.length === 0
        ? 'Send the request without a body: its path says all.'
        : `Send the request without a body, and what is meant as parameters: ${parameters.join(', ')}.`,
    ),
  ])
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
