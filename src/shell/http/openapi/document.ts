import { CAUTION } from '../../../core/clinical/report/caution.ts'
import { packageVersion } from '../../config/package-root.ts'
import { openApiPaths } from './paths.ts'
import { openApiSchemas } from './schemas.ts'
import { TAGS } from './tags.ts'

/** The API description, OpenAPI 3.1. Source of the form: OpenAPI Specification 3.1.0. */
export function openApiDocument(canonicalBase: string): Readonly<Record<string, unknown>> {
  return {
    openapi: '3.1.0',
    info: {
      title: 'Home blood pressure gateway',
      version: packageVersion(),
      description:
        `Sessions of blood pressure measured at home in, one validated average in the clinic’s record.\n\n${CAUTION}\n\n` +
        'Examples are of invented people and clinics. Those of one name belong together: the parameters, the body that ' +
        'is sent, and what a gateway answered.',
      license: { name: 'Apache-2.0', identifier: 'Apache-2.0' },
    },
    servers: [{ url: '/', description: 'This gateway' }],
    tags: Object.entries(TAGS).map(([name, description]) => ({ name, description })),
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
