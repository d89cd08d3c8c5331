import type { RequestHandler } from 'express'
import { ipKeyGenerator, rateLimit } from 'express-rate-limit'
import { isLoopback } from '../../config/reading/refuse-unsafe-listening.ts'
import { REQUESTS_PER_MINUTE_IN_THE_OPEN, type Settings } from '../../config/settings/settings.ts'
import { refusedRequest } from '../request-refused.ts'

/**
 * Limits requests per client address and minute, or undefined when there is no limit to keep. Told to clients by the
 * RateLimit fields (IETF draft 8) and, when refused, Retry-After.
 */
export function requestLimit(settings: Pick<Settings, 'listen' | 'limits'>): RequestHandler | undefined {
  const set = settings.limits.requestsPerMinute
  if (set === undefined && isLoopback(settings.listen.host)) return undefined
  return rateLimit({
    windowMs: 60_000,
    limit: set ?? REQUESTS_PER_MINUTE_IN_THE_OPEN,
    standardHeaders: 'draft-8',
    legacyHeaders: false,
    skip: (request) => request.path.startsWith('/health/'),
    keyGenerator: ({ ip = '' }) => ipKeyGenerator(withoutPort(ip)),
    // It would print headers as they were sent. Whether a forwarded address is believed is the operator's setting,
    // listen.trustedProxies.
    validate: false,
    handler: (_request, _response, next) => {
      next(
        refusedRequest(
          429,
          'TOO_MANY_REQUESTS',
          'header.RateLimit',
          'fewer requests in this minute',
          'Wait as Retry-After says; send many records in one request.',
        ),
      )
    },
  })
}

/** Some proxies write down the port as well, which every connection of a client has another of. */
function withoutPort(address: string): string {
  const [, ipv6, ipv4] = /^(?:\[(.+)\](?::\d+)?|([\d.]+):\d+)$/.exec(address) ?? []
  return ipv6 ?? ipv4 ?? address
}
