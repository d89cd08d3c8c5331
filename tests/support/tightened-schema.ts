import {
  ANY_RESOURCE,
  type Definitions,
  type JsonSchema,
  publishedDefinitions,
} from '../../src/core/validation/structure/generator/published-schema.ts'

const REFERENCE = '#/definitions/'

/**
 * HL7's JSON schema of R4 made as strict as the R4 pages are, for ajv: a second opinion on structure. "Any resource" is
 * an object with a resourceType, because which schema it must meet is asked by that name.
 */
export function tightenedSchema(): { readonly $id: string; readonly definitions: Definitions } {
  const definitions = structuredClone(publishedDefinitions())
  definitions[ANY_RESOURCE] = { type: 'object', required: ['resourceType'] }
  tighten(definitions)
  correct(definitions)
  return { $id: 'r4', definitions }
}

/**
 * Puts right what the published schema has wrong by its own StructureDefinitions: words for `Expression.language`, whose
 * binding is extensible; FHIR versions that end before 4.0.1; and open choices without Meta.
 */
function correct(definitions: Definitions): void {
  const expression = definitions.Expression?.properties
  if (expression !== undefined) expression.language = { $ref: `${REFERENCE}code` }
  for (const { properties = {} } of Object.values(definitions)) {
    for (const [property, schema] of Object.entries(properties)) {
      const words = (schema.items ?? schema).enum
      if (property === 'fhirVersion') words?.push('4.0.1')
      const choice = /^(value|defaultValue|fixed|pattern)UsageContext$/.exec(property)?.[1]
      if (choice !== undefined && `${choice}Dosage` in properties)
        properties[`${choice}Meta`] = { $ref: `${REFERENCE}Meta` }
    }
  }
}

/** Largest FHIR integer. Source: FHIR R4 datatypes, integer: 32-bit signed. */
const LARGEST_INTEGER = 2_147_483_647

/** Smallest value of each whole-number type. Source: FHIR R4 datatypes, integer, unsignedInt, positiveInt. */
const SMALLEST_INTEGER: Readonly<Record<string, number>> = {
  integer: -2_147_483_648,
  unsignedInt: 0,
  positiveInt: 1,
}

/**
 * The published pattern of base64Binary lets white space between two groups belong to either of them, so a text
 * that fails is tried in exponentially many ways. This accepts the same texts in one way.
 */
const PUBLISHED_BASE64 = '^(\\s*([0-9a-zA-Z\\+/=]){4}\\s*)+$'
const BASE64 = '^(?:\\s*[0-9a-zA-Z+/=]{4})+\\s*$'

/** An entry of the list that carries a primitive's extensions: null where that item has none. */
const ELEMENT_OR_NULL = 'ElementOrNull'

/**
 * Says in JSON Schema what the R4 pages say and the published schema leaves out, in place.
 *
 * Source: FHIR R4 `json.html` and `datatypes.html`. Complex types are objects; a list is never empty; whole
 * numbers are whole, in range (`pattern` means nothing on a number); a URI is never empty; xhtml is a text; the list
 * of a primitive's extensions may hold null. Descriptions go. The pattern of base64Binary is replaced by its equal.
 */
function tighten(definitions: Definitions): void {
  for (const [name, definition] of Object.entries(definitions)) {
    if (name === ANY_RESOURCE) continue
    tightenSchema(definition, name)
    if (definition.properties !== undefined) definition.type = 'object'
    for (const [property, schema] of Object.entries(definition.properties ?? {})) {
      tightenSchema(schema, primitiveNameOf(property))
      if (schema.items === undefined) continue
      delete schema.items.description
      schema.minItems = 1
      if (property.startsWith('_')) schema.items = { $ref: `${REFERENCE}${ELEMENT_OR_NULL}` }
    }
  }
  definitions[ELEMENT_OR_NULL] = { ...definitions.Element, type: ['object', 'null'] }
}

function tightenSchema(schema: JsonSchema, primitive: string): void {
  delete schema.description
  if (schema.type === 'number' || schema.type === 'boolean') delete schema.pattern
  const smallest = SMALLEST_INTEGER[primitive]
  if (schema.type === 'number' && smallest !== undefined) {
    schema.type = 'integer'
    schema.minimum = smallest
    schema.maximum = LARGEST_INTEGER
  }
  if (primitive === 'xhtml') schema.type = 'string'
  if (schema.pattern === '^\\S*$') schema.pattern = '^\\S+$'
  if (schema.pattern === PUBLISHED_BASE64 || primitive === 'base64Binary') schema.pattern = BASE64
}

/** The primitive a choice property such as `valuePositiveInt` spells out in place of a reference. */
function primitiveNameOf(property: string): string {
  const suffix = /(Integer|UnsignedInt|PositiveInt)$/.exec(property)?.[1] ?? ''
  return suffix.charAt(0).toLowerCase() + suffix.slice(1)
}
