import { DELIVERY_PROBLEMS } from './delivery-problems.ts'

/**
 * Every code this gateway answers, logs or audits with, its meaning and what to do. DEVELOPERS.md carries the same
 * table; a test keeps the two alike. A retired code stays here, marked, and is never given a new meaning.
 */
export const ERROR_CODES = {
  // reading input
  NOT_JSON: [
    'The text is not JSON.',
    'Send one JSON object, an array of objects, or NDJSON with one object a line.',
  ],
  UNKNOWN_KEY: [
    'What was sent has a key or parameter that is not known there.',
    'Remove it, or correct its spelling.',
  ],
  MISSING_KEY: ['A required key is absent.', 'Add it.'],
  WRONG_TYPE: ['The value has the wrong JSON type.', 'Send the type that is named.'],
  OUT_OF_RANGE: ['The value is outside what can be meant.', 'Check the unit and the value at the source.'],
  NOT_A_CHOICE: ['The value is not one of the allowed words.', 'Use one of the words listed.'],
  BAD_TIME: ['The time cannot be read, or did not exist.', 'Send RFC 3339 with seconds and offset.'],
  TIME_NEEDS_OFFSET: [
    'A wall-clock time came without an offset, and no single moment can be meant.',
    'Send the offset, or enrol the subject with a time zone first.',
  ],
  NOT_A_MEASUREMENT: [
    'The numbers cannot be a blood pressure.',
    'Check the reading at the source; nothing was kept.',
  ],
  DUPLICATE_KEY: [
    'An object has the same key twice, so its meaning is open.',
    'Remove one of the two, or rename it.',
  ],
  DANGEROUS_KEY: ['A key could be used to tamper with objects.', 'Remove it.'],
  TOO_MANY: ['There are more items than allowed.', 'Send fewer at a time.'],
  TOO_LARGE: ['The body, line or text is larger than allowed.', 'Send less at a time.'],
  TOO_DEEP: ['The JSON is nested deeper than allowed.', 'Send the documented shape.'],
  TRUNCATED: ['Less came than what came says of itself: bytes, or segments, are missing.', 'Send the whole.'],
  TOLERATED: [
    'Something the format does not allow was read with a tolerance, or passed over.',
    'None needed; mend it at the source where it is not meant.',
  ],
  // reading tables of text
  NOT_CSV: [
    'The text is not CSV in the form that was declared for it.',
    'Mend the line named, or declare the form the file has.',
  ],
  NOT_IN_ENCODING: [
    'The bytes are not text in the encoding that was declared for it.',
    'Save the text in that encoding, or declare the one it is in.',
  ],
  DAY_ORDER: [
    'A date shows that day and month do not stand in the declared order.',
    'Declare the order the file has. Nothing of it was kept.',
  ],
  // mapping a source's own format
  BAD_MAPPING: [
    'A mapping, or a code table or record schema it names, cannot be used.',
    'Correct the place named in that file, and load the mapping again.',
  ],
  UNKNOWN_KIND: [
    'The mapping knows no such kind of record.',
    'Send records of the kinds it lists, or add the kind to the mapping.',
  ],
  RECORD_SCHEMA: [
    'The record does not fit the schema that the mapping names for its kind.',
    'Correct the place named at the source.',
  ],
  REFUSED_BY_MAPPING: [
    'The mapping says that such a record cannot be taken as a reading.',
    'Leave such records out, or send the single readings they were made of.',
  ],
  MANY_VALUES: [
    'A path of the mapping finds several values where one is needed.',
    'Narrow the path with a filter, or mend the record.',
  ],
  NOTHING_TO_COMPLETE: [
    'The record only completes a reading, and no reading of that moment lacks it.',
    'Send it next to the reading it belongs to.',
  ],
  DUPLICATE_ROW: ['The same reading came twice within one sitting.', 'None needed: it was taken once.'],
  // keeping
  SAME_ID_OTHER_CONTENT: [
    'The source already sent a session of this id with other content.',
    'Use a new id for a new sitting, or send it as a correction.',
  ],
  OTHER_ID: [
    'The record’s own id is not the one it was sent to.',
    'Send the record to the path of its own id.',
  ],
  OTHER_SUBJECT: [
    'The record names another subject than what it is taken together with.',
    'Take each subject by itself; a session of the wrong one is withdrawn, and sent for the right one under a new id.',
  ],
  PERIOD_OF_SAME_PATIENT: [
    'The patient has a period under this protocol from this day already, through another subject or source.',
    'Use the period that is named: it averages what comes through all of them.',
  ],
  SAME_PERIOD_OTHER_PLAN: [
    'There is a period of this subject under this protocol from this day already, with other days or another arm.',
    'Use that period as it is, or open one from another day or under another protocol.',
  ],
  PERIOD_WITHDRAWN: [
    'The period was withdrawn; nothing is averaged for it any more.',
    'Open a period again where these days are meant to be averaged.',
  ],
  SESSION_WITHDRAWN: [
    'The source took this session back; it cannot be changed any more.',
    'Send the sitting under a new id.',
  ],
  // asking
  UNKNOWN_SOURCE: ['No such source is registered.', 'Register the source, or correct its name.'],
  UNKNOWN_SUBJECT: ['The subject is not enrolled.', 'Enrol the subject first.'],
  UNKNOWN_MAPPING: ['No such mapping is loaded.', 'Use one of the mappings listed.'],
  UNKNOWN_PROTOCOL: ['No such protocol is loaded.', 'Use one of the protocol ids listed.'],
  UNKNOWN_PROFILE: [
    'No such profile is loaded.',
    'Correct its URL, or put its StructureDefinition into the profiles folder.',
  ],
  UNKNOWN_DESTINATION: [
    'No such destination is in the settings.',
    'Add it to the settings, or correct its name.',
  ],
  NOT_FOUND: ['There is nothing here under that id.', 'Check the id.'],
  FILE_FAILED: [
    'A file on this machine could not be read or written.',
    'Do what is said of the path that is named.',
  ],
  OTHER_STATE: [
    'The delivery is in a state in which this cannot be done.',
    'See the state that is named; what is given up or parked can be retried or confirmed.',
  ],
  NOT_YET: ['This cannot be done yet.', 'Try again when the condition that is named is met.'],
  METHOD_NOT_ALLOWED: ['This method is not offered here.', 'Use one of the methods in the Allow header.'],
  WRONG_MEDIA_TYPE: ['The content type is not understood here.', 'Send one of the types listed.'],
  NOT_ACCEPTABLE: [
    'None of the accepted types can be sent.',
    'Accept application/json or application/fhir+json.',
  ],
  KEY_REQUIRED: ['No valid API key came with the request.', 'Send the key as a bearer token.'],
  NOT_ALLOWED: [
    'This is not allowed: by the key’s role or source, or by where the request comes from.',
    'Use a key, or the address, that is named.',
  ],
  TOO_MANY_REQUESTS: ['More requests than allowed.', 'Wait as Retry-After says.'],
  UNEXPECTED: ['Something failed that should not have.', 'Report the incident id to the operator.'],
  // validating resources
  STRUCTURE: ['The resource breaks the R4 structure.', 'Correct the element named.'],
  INVARIANT: ['An R4 invariant does not hold.', 'Correct the element named; the rule key leads to its text.'],
  PROFILE: ['A profile rule does not hold.', 'Correct the element named.'],
  CODE: ['A code or unit is not what the rule asks for.', 'Use the code that is named.'],
  REFERENCE: [
    'A reference in the bundle leads nowhere or breaks a bundle rule.',
    'Correct the reference or entry.',
  ],
  IMPLAUSIBLE: [
    'R4 allows what is said of a blood pressure or a pulse, and it cannot be true of anybody.',
    'Check the reading, its unit and its time at the source.',
  ],
  RECOMPUTE: [
    'An average is not what its readings give or what it says elsewhere, or could not be worked out again.',
    'Compare the average with the readings it was derived from, and with its own text.',
  ],
  NOT_SUPPORTED: ['The gateway does not judge this.', 'Use what is named as supported.'],
  // settings and store
  SETTINGS_REFUSED: [
    'The settings or a file they name cannot be used.',
    'Correct the place named and start again.',
  ],
  STORE_FAILED: [
    'The store could not do this; nothing of it was kept.',
    'Check disk and permissions, then send again.',
  ],
  // delivery
  ...DELIVERY_PROBLEMS,
} as const satisfies Record<string, readonly [meaning: string, remedy: string]>

export type ErrorCode = keyof typeof ERROR_CODES
