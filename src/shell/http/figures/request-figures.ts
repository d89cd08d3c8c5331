import { Counter, Histogram, type Registry } from 'prom-client'

/** A request that was answered, or whose client went away before. */
export interface AnsweredRequest {
  readonly method: string
  /** The pattern of its route, such as `/deliveries/:id`; undefined where none was reached. */
  readonly route: string | undefined
  /** As a number, or `broken-off`. */
  readonly status: string
  readonly seconds: number
}

/** Requests answered since the start, and how long they took. Gives what counts one of them. */
export function requestFigures(registry: Registry): (request: AnsweredRequest) => void {
  const registers = [registry]
  const requests = new Counter({
    name: 'home_bp_http_requests_total',
    help: 'Requests answered since the start, by method, pattern of the route and status; 401 and 403 are refused keys',
    labelNames: ['method', 'route', 'status'] as const,
    registers,
  })
  const durations = new Histogram({
    name: 'home_bp_http_request_duration_seconds',
    help: 'From the head of a request to the end of its answer, by method and pattern of the route',
    labelNames: ['method', 'route'] as const,
    buckets: [0.001, 0.005, 0.025, 0.1, 0.5, 2.5, 10, 60],
    registers,
  })
  return ({ method, route = NO_ROUTE, status, seconds }) => {
    const known = METHODS.has(method) ? method : 'other'
    requests.inc({ method: known, route, status })
    durations.observe({ method: known, route }, seconds)
  }
}

/** One name for all paths that lead nowhere, so that who tries many makes no label of each. */
const NO_ROUTE = 'none'

const METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'POST', 'PUT', 'DELETE'])
