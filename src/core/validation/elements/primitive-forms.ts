import { isDate, isDateTime, isInstant, isTime } from './moments.ts'
import { isBase64, isCode, isId, isText, isUri } from './texts.ts'
import { isOid, isUuid } from './urns.ts'

/** How a primitive type is written. */
export interface PrimitiveForm {
  /** As a clause that follows "expected". */
  readonly human: string
  readonly json: 'string' | 'number' | 'boolean'
  /** Whether a value of that JSON type is of the form. */
  readonly holds: (value: never) => boolean
  /** Whether texts longer than the limit of a string are lawful. */
  readonly mayBeLong?: boolean
  /** Whether white space alone deserves a warning. */
  readonly isProse?: boolean
}

/**
 * What was expected in place of a value that is not of the form. A number beyond all that JSON readers hold is one all the
 * same.
 */
export function expectedForm({ human }: PrimitiveForm, value: unknown): string {
  return value === Number.POSITIVE_INFINITY || value === Number.NEGATIVE_INFINITY
    ? 'a number that can be represented, below 1.8e308'
    : human
}

function text(
  human: string,
  holds: (value: string) => boolean,
  more: Partial<PrimitiveForm> = {},
): PrimitiveForm {
  return { human, json: 'string', holds, ...more }
}

function whole(human: string, least: number): PrimitiveForm {
  const holds = (value: number) => Number.isInteger(value) && value >= least && value <= LARGEST
  return { human, json: 'number', holds }
}

/** 32 bits with a sign. */
const LARGEST = 2_147_483_647

/** Source: FHIR R4 4.0.1 datatypes.html, primitive types. */
export const PRIMITIVE_FORMS: Readonly<Record<string, PrimitiveForm>> = {
  base64Binary: text('base64 text in groups of four characters', isBase64, { mayBeLong: true }),
  boolean: { human: 'true or false, without quotes', json: 'boolean', holds: () => true },
  canonical: text('a canonical URL without white space', isUri),
  code: text('a code: text without white space at its ends and without two spaces together', isCode),
  date: text('a date of the calendar: YYYY, YYYY-MM or YYYY-MM-DD', isDate),
  dateTime: text(
    'a dateTime: YYYY, YYYY-MM, YYYY-MM-DD, or YYYY-MM-DDThh:mm:ss with seconds and a zone, of a day that exists',
    isDateTime,
  ),
  decimal: {
    human: 'a number, without quotes',
    json: 'number',
    holds: (value: number) => Number.isFinite(value),
  },
  id: text('an id: 1 to 64 of the characters A-Z a-z 0-9 - .', isId),
  instant: text('an instant: YYYY-MM-DDThh:mm:ss with seconds and a zone, of a day that exists', isInstant),
  integer: whole('a whole number of 32 bits, without quotes', -LARGEST - 1),
  markdown: text('text that is not empty, without control characters', isText, { isProse: true }),
  oid: text('an OID: urn:oid: and numbers with dots between', isOid),
  positiveInt: whole('a whole number above zero, without quotes', 1),
  string: text('text that is not empty, without control characters', isText, { isProse: true }),
  time: text('a time: hh:mm:ss', isTime),
  unsignedInt: whole('a whole number of zero or more, without quotes', 0),
  uri: text('a URI without white space', isUri),
  url: text('a URL without white space', isUri),
  uuid: text('urn:uuid: and a UUID in lower case', isUuid),
  xhtml: text('xhtml as text', (value) => value.length > 0, { mayBeLong: true }),
}

/** Source: FHIR R4 4.0.1 element.html: the id of an element is any string without spaces. */
export const ELEMENT_ID: PrimitiveForm = text(
  'the id of an element: text without spaces',
  (value) => isText(value) && !value.includes(' '),
)
