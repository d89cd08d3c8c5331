import type { JsonObject } from '../../src/core/basics/json-object.ts'
import { REQUIRED_WORDS } from '../../src/core/validation/elements/element-table.generated.js'
import { propertyOf, readTokens } from '../../src/core/validation/elements/element-tokens.ts'
import { PRIMITIVE_FORMS } from '../../src/core/validation/elements/primitive-forms.ts'

/** A lawful value of each primitive type. */
const PRIMITIVES: Readonly<Record<string, unknown>> = {
  base64Binary: 'AAAA',
  boolean: true,
  canonical: 'http://example.org/a|1',
  code: 'a',
  date: '2026-03-02',
  dateTime: '2026-03-02T06:41:00Z',
  decimal: 1.5,
  id: 'id-1',
  instant: '2026-03-02T06:41:00Z',
  integer: 1,
  markdown: 'text',
  oid: 'urn:oid:1.2.3',
  positiveInt: 1,
  string: 'text',
  time: '06:41:00',
  unsignedInt: 0,
  uri: 'http://example.org/a',
  url: 'http://example.org/a',
  uuid: 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001',
  xhtml: '<div xmlns="http://www.w3.org/1999/xhtml">text</div>',
}

/**
 * A resource or data type with all required elements and some others, each of the form its type asks for. It is right in
 * structure; invariants may not hold.
 */
export function randomOfType(type: string, random: () => number, depth = 0): JsonObject {
  const { tokens, isResource } = readTokens(type)
  const element: Record<string, unknown> = isResource ? { resourceType: type } : {}
  for (const token of tokens) {
    const written = token.types[Math.floor(random() * token.types.length)] ?? ''
    const name = written.replace(/\W.*/, '')
    const isWanted = token.isRequired || random() < (depth === 0 ? 0.35 : 0.1)
    if (!isWanted || name === 'Resource' || (depth > 3 && !token.isRequired)) continue
    const make = () => valueOfType(name, written, random, depth)
    element[propertyOf(token, name)] = token.repeats ? [make()] : make()
  }
  if (!isResource && Object.keys(element).every((name) => name === 'id')) {
    element.extension = [{ url: 'http://example.org/e', valueString: 'text' }]
  }
  return element
}

function valueOfType(name: string, written: string, random: () => number, depth: number): unknown {
  const [, words] = written.split('#')
  const codes = words === undefined ? [] : (REQUIRED_WORDS[words] ?? '').split(' ')
  if (name in PRIMITIVE_FORMS) return codes[Math.floor(random() * codes.length)] ?? PRIMITIVES[name]
  if (name === 'CodeableConcept' && codes.length > 1)
    return { coding: [{ system: codes[0], code: codes[1] }] }
  return randomOfType(name, random, depth + 1)
}
