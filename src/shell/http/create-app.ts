import express from 'express'
import type { Ports } from '../../flow/ports/ports.ts'
import type { Settings } from '../config/settings/settings.ts'
import type { SigningKeys } from '../signing-keys/signing-keys.ts'
import { errorResponse } from './answer/error-response.ts'
import type { Door } from './door.ts'
import { countRequests } from './figures/count-requests.ts'
import { createMetrics } from './figures/metrics.ts'
import { createAccess } from './guard/access.ts'
import { KnownSources } from './guard/known-sources.ts'
import { requestLimit } from './guard/rate-limit.ts'
import { refuseFromElsewhere } from './guard/refuse-from-elsewhere.ts'
import { securityHeaders } from './guard/security-headers.ts'
import { declaredOnly } from './openapi/declared-only.ts'
import { addOpenApiRoute } from './openapi/openapi-route.ts'
import { openApiPaths } from './openapi/paths.ts'
import { refusedRequest } from './request-refused.ts'
import { addAccessKeysRoutes } from './routes/access-keys-routes.ts'
import { addAuditRoutes } from './routes/audit-routes.ts'
import { addAveragesRoutes } from './routes/averages-routes.ts'
import { addConformanceRoutes } from './routes/conformance-routes.ts'
import { addDeliveriesRoutes } from './routes/deliveries-routes.ts'
import { addDestinationsRoutes } from './routes/destinations-routes.ts'
import { addEnrolmentsRoutes } from './routes/enrolments-routes.ts'
import { addFhirRoutes } from './routes/fhir-routes.ts'
import { addMappingsRoutes } from './routes/mappings-routes.ts'
import { addPeriodAveragesRoutes } from './routes/period-averages-routes.ts'
import { addPeriodsRoutes } from './routes/periods-routes.ts'
import { addProtocolsRoutes } from './routes/protocols-routes.ts'
import { addServiceRoutes } from './routes/service-routes.ts'
import { addSessionRoutes } from './routes/session-routes.ts'
import { addSessionsRoutes } from './routes/sessions-routes.ts'
import { addSigningKeysRoutes } from './routes/signing-keys-routes.ts'
import { addSourcesRoutes } from './routes/sources-routes.ts'

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
    metrics: createMetrics(at),
  }
  const app = express()
  app.disable('etag')
  app.disable('x-powered-by')
  // R4 http.html: all URLs are case sensitive. What is under `/FHIR` would else be refused as what is not under `/fhir`.
  app.enable('case sensitive routing')
  app.set('query parser', 'simple')
  app.set('trust proxy', settings.listen.trustedProxies)

  app.use(countRequests(door.metrics.answered))
  app.use(...securityHeaders())
  const limit = requestLimit(settings)
  if (limit !== undefined) app.use(limit)
  app.use(refuseFromElsewhere(settings))
  app.use(...declaredOnly(openApiPaths))

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
  addOpenApiRoute(app, door.settings.canonicalBase)
  addSigningKeysRoutes(app, signingKeys)

  app.use(() => {
    throw refusedRequest(404, 'NOT_FOUND', 'path', 'a path listed in /openapi.json', 'Check the path.')
  })
  app.use(errorResponse(settings, at.log))
  return app
}
