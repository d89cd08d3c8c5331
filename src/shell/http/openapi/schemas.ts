import { z } from 'zod'
import { sessionRecordJsonSchema } from '../../../core/record/session-record-json-schema.ts'
import { keyRequest, sourceKeyRequest } from '../routes/access-keys-routes.ts'
import { enrolmentRequest } from '../routes/enrolments-routes.ts'
import { periodRequest } from '../routes/periods-routes.ts'
import { sourceRequest } from '../routes/sources-routes.ts'
import { deliverySchemas } from './delivery-schemas.ts'
import { mappingSchemas } from './mapping-schemas.ts'
import { periodSchemas } from './period-schemas.ts'
import { registrySchemas } from './registry-schemas.ts'
import type { JsonSchema } from './schema-words.ts'
import { serviceSchemas } from './service-schemas.ts'
import { sessionSchemas } from './session-schemas.ts'

/** What clients send is described by the schemas that read it; what they get is written out beside this. */
export function openApiSchemas(canonicalBase: string): Readonly<Record<string, JsonSchema>> {
  const { $schema: _, ...sessionRecord } = sessionRecordJsonSchema()
  return {
    SessionRecord: sessionRecord,
    SourceRequest: asJsonSchema(sourceRequest),
    KeyRequest: asJsonSchema(keyRequest),
    SourceKeyRequest: asJsonSchema(sourceKeyRequest),
    EnrolmentRequest: asJsonSchema(enrolmentRequest),
    PeriodRequest: asJsonSchema(periodRequest),
    ...sessionSchemas,
    ...mappingSchemas,
    ...registrySchemas,
    ...periodSchemas,
    ...deliverySchemas,
    ...serviceSchemas(canonicalBase),
  }
}

function asJsonSchema(schema: z.ZodType): JsonSchema {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: 'input', target: 'draft-2020-12' })
  return rest
}
