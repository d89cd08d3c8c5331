import express from 'express'
import type { Ports } from '../../flow/ports/ports.ts'
import type { Settings } from '../config/settings.ts'
import type { SigningKeys } from '../signing-keys/signing-keys.ts'
import { createAccess } from './access.ts'
import { addAccessKeysRoutes } from './access-keys-routes.ts'
import { addAuditRoutes } from './audit-routes.ts'
import { addAveragesRoutes } from './averages-routes.ts'
import { addConformanceRoutes } from './conformance-routes.ts'
import { declaredParametersOnly } from './declared-parameters.ts'
import { addDeliveriesRoutes } from './deliveries-routes.ts'
import { addDestinationsRoutes } from './destinations-routes.ts'
import type { Door } from './door.ts'
import { addEnrolmentsRoutes } from './enrolments-routes.ts'
import { errorResponse } from './error-response.ts'
import { addFhirRoutes } from './fhir-routes.ts'
import { KnownSources } from './known-sources.ts'
import { addMappingsRoutes } from './mappings-routes.ts'
import { createMetrics } from './metrics.ts'
import { openApiPaths } from './openapi/paths.ts'
import { addPeriodAveragesRoutes } from './period-averages-routes.ts'
import { addPeriodsRoutes } from './periods-routes.ts'
import { addProtocolsRoutes } from './protocols-routes.ts'
import { requestLimit } from './rate-limit.ts'
import { refuseForeignPages } from './refuse-foreign-pages.ts'
import { refusedRequest } from './request-refused.ts'
import { securityHeaders } from './security-headers.ts'
import { addServiceRoutes } from './service-routes.ts'
import { addSessionRoutes } from './session-routes.ts'
import { addSessionsRoutes } from './sessions-routes.ts'
import { addSigningKeysRoutes } from './signing-keys-routes.ts'
import { addSourcesRoutes } from './sources-routes.ts'

/**
 * The HTTP door as one Express application: what every request passes, then one file of routes per family, then the
 * one place where refusals become answers. Sessions come first, since most requests are theirs.
 *
 * There is no access log: a line for each request costs more than receiving it, and counts are at `/metrics`.
 */
export function createApp(at: Ports, settings: Settings, signingKeys: SigningKeys): express.Express {
  const door: Door = {
    ports: at,
    settings,
    access: createAccess(at, settings),
    sources: new KnownSources(at.store),
    metrics: createMetrics(at.store, at.clock.now),
  }
  const app = express()
  app.disable('etag')
  app.disable('x-powered-by')
  app.set('query parser', 'simple')
  app.set('trust proxy', settings.listen.trustedProxies)

  app.use(...securityHeaders())
  const limit = requestLimit(settings)
  if (limit !== undefined) app.use(limit)
  app.use(refuseForeignPages(settings))
  app.use(declaredParametersOnly(openApiPaths))

  addSessionsRoutes(app, door)
  addMappingsRoutes(app, door)
  addSessionRoutes(app, door)
  addEnrolmentsRoutes(app, door)
  addSourcesRoutes(app, door)
  addProtocolsRoutes(app, door)
  addAccessKeysRoutes(app, door)
  addPeriodsRoutes(app, door)
  addPeriodAveragesRoutes(app, door)
  addAveragesRoutes(app, door)
  addDeliveriesRoutes(app, door)
  addDestinationsRoutes(app, door)
  addAuditRoutes(app, door)
  addFhirRoutes(app, door)
  addConformanceRoutes(app, door)
  addServiceRoutes(app, door)
  addSigningKeysRoutes(app, signingKeys)

  app.use(() => {
    throw refusedRequest(404, 'NOT_FOUND', 'path', 'a path listed in /openapi.json', 'Check the path.')
  })
  app.use(errorResponse(settings, at.log))
  return app
}
