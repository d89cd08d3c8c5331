import { packageVersion } from '../../config/package-root.ts'
import { openApiPaths } from './paths.ts'
import { openApiSchemas } from './schemas.ts'

/** The API description, OpenAPI 3.1. Source of the form: OpenAPI Specification 3.1.0. */
export function openApiDocument(canonicalBase: string): Readonly<Record<string, unknown>> {
  return {
    openapi: '3.1.0',
    info: {
      title: 'Home blood pressure gateway',
      version: packageVersion(),
      description:
        'Sessions of blood pressure measured at home in, one validated average in the clinic’s record. It does not ' +
        'diagnose, is no emergency service, and its averages follow the source each names; local practice decides.',
      license: { name: 'Apache-2.0', identifier: 'Apache-2.0' },
    },
    servers: [{ url: '/' }],
    paths: openApiPaths(),
    components: {
      schemas: openApiSchemas(canonicalBase),
      securitySchemes: {
        key: {
          type: 'http',
          scheme: 'bearer',
          description: 'An API key, hbp_…; none is needed when access is off',
        },
      },
    },
  }
}
