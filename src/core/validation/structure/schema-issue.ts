import type { Issue, IssueType } from '../../basics/issue.ts'
import type { ComplexType, ElementOf } from '../elements/element-types.ts'
import { R4_TYPES } from '../elements/elements-layer.ts'
import { isJsonObject } from '../json-object.ts'
import type { Resource } from '../layer.ts'
import { formOf } from './primitive-forms.ts'
import type { SchemaError } from './structure.generated.js'

/**
 * What the schema found, in the words of an issue: where as a FHIRPath, what was expected, what to do.
 *
 * Undefined for the one thing the published schema refuses and R4 allows: null in a list of primitives whose
 * extensions stand at the same place of the `_` list. Source: FHIR R4 json.html, section 2.6.2.3.
 */
export function schemaIssue(error: SchemaError, resource: Resource, at: string): Issue | undefined {
  const place = placeOf(error.instancePath, resource, at)
  switch (error.keyword) {
    case 'required':
      return issue(
        'required',
        childOf(place, error.params.missingProperty),
        'this element: R4 demands it',
        'Add it.',
      )
    case 'additionalProperties':
      return issue(
        'structure',
        childOf(place, error.params.additionalProperty),
        'only elements that R4 defines here',
        'Remove this one, or correct its spelling.',
      )
    case 'enum':
      return issue(
        'code-invalid',
        place.at,
        `one of ${listed(error.params.allowedValues)}`,
        'Use one of these words, in this spelling.',
      )
    case 'minItems':
      return issue(
        'structure',
        place.at,
        'at least one item',
        'Leave the list out rather than send it empty.',
      )
    default:
      if (place.value !== null)
        return issue(typeOf(error), place.at, formOf(place.typeName, place.isItem), 'Send this form.')
      if (place.extendedNull) return undefined
      return issue(
        'structure',
        place.at,
        'a value or nothing',
        'Leave the element out: null does not stand for "none".',
      )
  }
}

function typeOf(error: SchemaError): IssueType {
  return error.keyword === 'type' ? 'structure' : 'value'
}

function issue(type: IssueType, at: string, expected: string, remedy: string): Issue {
  return { severity: 'error', type, code: 'STRUCTURE', at, expected, remedy }
}

interface Place {
  readonly at: string
  readonly type: ComplexType | undefined
  readonly typeName: string
  readonly value: unknown
  /** Whether the place is one item of a list or the only value; false for the list itself. */
  readonly isItem: boolean
  /** Whether the value is null in a list and its extensions stand in the list beside it. */
  readonly extendedNull: boolean
}

/** Follows a JSON pointer through resource and types. Every step is a property the schema knows, or an index. */
function placeOf(pointer: string, resource: Resource, at: string): Place {
  let place = at
  let type: ComplexType | undefined = R4_TYPES.get(resource.resourceType)
  let element: ElementOf | undefined
  let value: unknown = resource
  let extendedNull = false
  let isItem = true
  for (const step of pointer.split('/').slice(1)) {
    if (Array.isArray(value)) {
      value = value[Number(step)]
      place += `[${step}]`
      isItem = true
      continue
    }
    const parent: unknown = value
    value = isJsonObject(parent) ? parent[step] : undefined
    element = type?.elements.get(step)
    type = element?.complex
    place += `.${element?.path ?? step}`
    isItem = element?.repeats !== true
    const index = Number(pointer.slice(pointer.lastIndexOf('/') + 1))
    const beside = isJsonObject(parent) ? parent[`_${step}`] : undefined
    extendedNull = Array.isArray(beside) && isJsonObject(beside[index])
  }
  return {
    at: place,
    type,
    typeName: element?.typeName ?? resource.resourceType,
    value,
    isItem,
    extendedNull,
  }
}

/** The child by its FHIRPath name. A name that does not look like an element's is free text, and is not repeated. */
function childOf(place: Place, property: unknown): string {
  const name = String(property)
  const path = place.type?.elements.get(name)?.path ?? name
  return path === '`div`' || /^_?[A-Za-z][A-Za-z0-9]{0,39}$/.test(path) ? `${place.at}.${path}` : place.at
}

function listed(words: unknown): string {
  return Array.isArray(words) ? words.join(', ') : 'the words R4 lists'
}
