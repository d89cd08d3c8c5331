import type { RequestHandler } from 'express'
import helmet from 'helmet'

/**
 * Headers of every answer: nothing is cached (answers can hold health data), sniffed, framed or referred to, and no
 * answer may run anything in a browser. The rest of helmet’s headers speak of pages and scripts, which an API has none
 * of. Source: OWASP REST security cheat sheet, security headers; ASVS 5.0 14.3.2 for no-store.
 */
export function securityHeaders(): readonly RequestHandler[] {
  return [
    (_request, response, next) => {
      response.setHeader('Cache-Control', 'no-store')
      next()
    },
    helmet({
      contentSecurityPolicy: {
        useDefaults: false,
        directives: { 'default-src': ["'none'"], 'frame-ancestors': ["'none'"] },
      },
      frameguard: { action: 'deny' },
      crossOriginEmbedderPolicy: false,
      crossOriginOpenerPolicy: false,
      dnsPrefetchControl: false,
      hidePoweredBy: false,
      ieNoOpen: false,
      originAgentCluster: false,
      permittedCrossDomainPolicies: false,
      xssFilter: false,
    }),
  ]
}
