import type { ErrorCode } from '../../basics/error-codes.ts'
import type { Issue, IssueType } from '../../basics/issue.ts'
import type { JsonObject } from '../../basics/json-object.ts'
import type { ElementRule } from './element-rule.ts'
import type { ComplexType, ElementOf } from './element-types.ts'

export function emptyElement(at: string): Issue {
  return {
    ...structure(
      at,
      'invariant',
      'a value, or children beside the id',
      'Leave an element out rather than send it empty.',
    ),
    code: 'INVARIANT',
    rule: 'ele-1',
  }
}

/** @param name the JSON property. One that no FHIRPath could name is free text, and is not repeated. */
export function unknownElement(at: string, name: string): Issue {
  const place = /^_?[A-Za-z][A-Za-z0-9_]{0,39}$/.test(name) ? `${at}.${name}` : at
  return structure(
    place,
    'structure',
    'only elements that R4 defines here',
    'Remove this one, or correct its spelling.',
  )
}

/** The value is of another JSON type than the element, or one of a list stands alone, or a single one in a list. */
export function wrongKind(at: string, element: ElementOf, isItem: boolean): Issue {
  const form = element.primitive?.human ?? `an object: ${element.typeName}`
  const expected = element.repeats && !isItem ? `a list of ${element.typeName}` : form
  return structure(at, 'structure', expected, 'Send this form.')
}

export function wrongForm(at: string, human: string): Issue {
  return structure(at, 'value', human, 'Send this form.')
}

export function straySpace(at: string): Issue {
  return {
    ...structure(at, 'value', 'something to read, not white space alone', 'Leave the element out.'),
    severity: 'warning',
  }
}

export function strayNull(at: string): Issue {
  return structure(
    at,
    'structure',
    'a value or nothing',
    'Leave the element out: null only fills a list of primitives beside the list of their extensions.',
  )
}

/** Source: FHIR R4 4.0.1, SimpleQuantity. */
export function strayComparator(at: string): Issue {
  return {
    ...structure(
      `${at}.comparator`,
      'invariant',
      'no comparator: this is a SimpleQuantity',
      'Remove the comparator.',
    ),
    code: 'INVARIANT',
    rule: 'sqty-1',
  }
}

export function emptyList(at: string): Issue {
  return structure(at, 'structure', 'at least one item', 'Leave the list out rather than send it empty.')
}

/** @param missing the bits of what the element at this place has not. */
export function missingElements(at: string, { required }: ComplexType, missing: number): readonly Issue[] {
  return required
    .filter(({ bit }) => (missing & bit) !== 0)
    .map(({ path }) => structure(`${at}.${path}`, 'required', 'this element: R4 demands it', 'Add it.'))
}

export function twoVariants(at: string): Issue {
  return structure(at, 'structure', 'one type of value at most', 'Keep one variant of this element.')
}

/** The code is not in the value set that R4 requires here. */
export function wrongWord(at: string, words: ReadonlySet<string>): Issue {
  const expected =
    words.size <= MOST_LISTED ? `one of ${[...words].join(', ')}` : 'a code of the required value set'
  return structure(at, 'code-invalid', expected, 'Use one of these words, in this spelling.')
}

const MOST_LISTED = 30

/** Source: FHIR R4 4.0.1 extensibility.html: the url is absolute, but of the extensions within an extension. */
export function relativeExtension(at: string): Issue {
  const expected = 'an absolute URL: only extensions within an extension have names instead'
  return {
    ...structure(`${at}.url`, 'value', expected, 'Send the URL of its definition.'),
    rule: 'extension-url',
  }
}

/** The resource in a resource has no type, or one that R4 does not know. */
export function notAResource(at: string): Issue {
  return structure(
    `${at}.resourceType`,
    'structure',
    'the name of an R4 resource type',
    'Say which resource this is.',
  )
}

/** After this no layer looks further at the resource. */
export function beyondLimit(at: string, code: ErrorCode, most: string): Issue {
  return { severity: 'fatal', type: 'too-costly', code, at, expected: most, remedy: 'Send less at a time.' }
}

/** An issue for each place where a rule that does not hold for the element is broken. */
export function brokenRule(at: string, rule: ElementRule, element: JsonObject): readonly Issue[] {
  const places = rule.where?.(element) ?? [rule.child]
  return places.map((place) => issueOf(rule, place === undefined ? at : `${at}.${place}`))
}

function issueOf(rule: ElementRule, at: string): Issue {
  return {
    severity: rule.severity,
    type: rule.type,
    code: rule.code,
    at,
    expected: rule.human,
    remedy: rule.remedy,
    rule: rule.key,
  }
}

function structure(at: string, type: IssueType, expected: string, remedy: string): Issue {
  return { severity: 'error', type, code: 'STRUCTURE', at, expected, remedy }
}
