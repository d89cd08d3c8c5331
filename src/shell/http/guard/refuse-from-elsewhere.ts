import type { RequestHandler } from 'express'
import { isLoopback } from '../../config/reading/refuse-unsafe-listening.ts'
import type { Settings } from '../../config/settings/settings.ts'
import { refusedRequest } from '../request-refused.ts'

/**
 * With access off, loopback is the only guard, and two things on the same machine are inside it that act for others. A web
 * page open in a browser: it names its origin on every cross-origin request that can change something (Fetch standard,
 * section 3.2), and a name that was re-pointed at 127.0.0.1 shows in the Host header. A proxy: whoever it passes on shows
 * in X-Forwarded-For, or in Forwarded (RFC 7239), where it writes one.
 *
 * With keys there is nothing to check: neither has a key, and nothing here reads cookies.
 */
export function refuseFromElsewhere(settings: Pick<Settings, 'access'>): RequestHandler {
  if (settings.access !== 'off') return (_request, _response, next) => next()
  const safe = new Set<string>()
  return (request, _response, next) => {
    const { host, origin } = request.headers
    if (host !== undefined && !safe.has(host)) {
      if (!isLoopback(withoutPort(host))) {
        throw refusedRequest(
          403,
          'NOT_ALLOWED',
          'header.Host',
          'a loopback address such as 127.0.0.1',
          'Use the address that the service printed at its start.',
        )
      }
      if (safe.size < 100) safe.add(host)
    }
    if (origin !== undefined && origin !== `http://${host ?? ''}`) {
      throw refusedRequest(
        403,
        'NOT_ALLOWED',
        'header.Origin',
        'no request from a page of another origin',
        'Set access to "keys" and call the service from your own server.',
      )
    }
    const passedOn = PASSED_ON.find((name) => request.headers[name.toLowerCase()] !== undefined)
    if (passedOn !== undefined) {
      throw refusedRequest(
        403,
        'NOT_ALLOWED',
        `header.${passedOn}`,
        'no request that a proxy passes on',
        'Set access to "keys" to serve others through a proxy.',
      )
    }
    next()
  }
}

const PASSED_ON = ['X-Forwarded-For', 'Forwarded'] as const

function withoutPort(host: string): string {
  return host.replace(/:\d+$/, '')
}
