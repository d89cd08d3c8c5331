import type { Request } from 'express'
import type { z } from 'zod'
import { DEFAULT_JSON_LIMITS, readJson } from '../../core/json-text/read-json.ts'
import { readBySchema } from '../config/schema-issues.ts'
import { valueOrRefusal } from './answer.ts'
import type { Door } from './door.ts'
import { readText, requireMediaType } from './read-body.ts'

/** The JSON body of a request by its schema. @throws RequestRefused with every issue. */
export async function readJsonBody<Schema extends z.ZodType>(
  request: Request,
  schema: Schema,
  door: Pick<Door, 'settings'>,
): Promise<z.output<Schema>> {
  requireMediaType(request, ['application/json'])
  const text = await readText(request, door.settings.limits.bodyBytes)
  return valueOrRefusal(readBySchema(schema, valueOrRefusal(readJson(text, DEFAULT_JSON_LIMITS))))
}
