import type { Request } from 'express'
import type { z } from 'zod'
import { DEFAULT_JSON_LIMITS, readJson } from '../../../core/json-text/read-json.ts'
import { readBySchema } from '../../config/reading/schema-issues.ts'
import { valueOrRefusal } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { readBytes, readText, requireMediaType, textOf } from './read-body.ts'

/** The JSON body of a request by its schema. @throws RequestRefused with every issue. */
export async function readJsonBody<Schema extends z.ZodType>(
  request: Request,
  schema: Schema,
  door: Pick<Door, 'settings'>,
): Promise<z.output<Schema>> {
  requireMediaType(request, ['application/json'])
  return bySchema(schema, await readText(request, door.settings.limits.bodyBytes))
}

/** As `readJsonBody`, where a request may also come without a body, whatever type it names; undefined then. */
export async function readOptionalJsonBody<Schema extends z.ZodType>(
  request: Request,
  schema: Schema,
  door: Pick<Door, 'settings'>,
): Promise<z.output<Schema> | undefined> {
  const bytes = await readBytes(request, door.settings.limits.bodyBytes)
  if (bytes.length === 0) return undefined
  requireMediaType(request, ['application/json'])
  return bySchema(schema, textOf(bytes))
}

function bySchema<Schema extends z.ZodType>(schema: Schema, text: string): z.output<Schema> {
  return valueOrRefusal(readBySchema(schema, valueOrRefusal(readJson(text, DEFAULT_JSON_LIMITS))))
}
