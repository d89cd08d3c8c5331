import type { RequestHandler } from 'express'
import { isLoopback } from '../../config/reading/refuse-unsafe-listening.ts'
import type { Settings } from '../../config/settings/settings.ts'
import { refusedRequest } from '../request-refused.ts'

/**
 * With access off, loopback is the only guard, and a web page open in a browser on the same machine is inside it. Two
 * checks keep pages out: a browser names the page's origin on every cross-origin request that can change something
 * (Fetch standard, section 3.2), and a name that was re-pointed at 127.0.0.1 shows in the Host header.
 *
 * With keys there is nothing to check: a foreign page has no key, and nothing here reads cookies.
 */
export function refuseForeignPages(settings: Pick<Settings, 'access'>): RequestHandler {
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
    next()
  }
}

function withoutPort(host: string): string {
  return host.replace(/:\d+$/, '')
}
