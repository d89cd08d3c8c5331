import { type CorpusCase, changes, invariant, structure } from '../corpus-case.ts'
import { patient } from '../examples/people-and-things.ts'
import { glucose } from '../examples/readings.ts'

const JSON_PAGE = 'R4 json.html'
const PRIMITIVES = `${JSON_PAGE}, primitive elements`
const O = 'Observation'
const P = 'Patient'
const why = {
  extension: [{ url: 'http://hl7.org/fhir/StructureDefinition/data-absent-reason', valueCode: 'masked' }],
}

const shape = changes('glucose', glucose, [
  ['an unknown element', `${JSON_PAGE}: only defined elements`, 'colour', 'red', structure(`${O}.colour`)],
  [
    'a misspelt element',
    `${JSON_PAGE}: only defined elements`,
    'performers',
    [{ display: 'A' }],
    structure(`${O}.performers`),
  ],
  [
    'an unknown element of a data type',
    `${JSON_PAGE}: only defined elements`,
    'valueQuantity.units',
    'mmol/l',
    structure(`${O}.value.units`),
  ],
  [
    'an unknown element of a part',
    `${JSON_PAGE}: only defined elements`,
    'referenceRange.0.middle',
    { value: 5 },
    structure(`${O}.referenceRange[0].middle`),
  ],
  [
    'an element of another type',
    'R4 Observation has no onset',
    'onsetDateTime',
    '2013-04-02',
    structure(`${O}.onsetDateTime`),
  ],
  [
    'an element in other capitals',
    `${JSON_PAGE}: names are case sensitive`,
    'Status',
    'final',
    structure(`${O}.Status`),
  ],
  ['comments', `${JSON_PAGE}: no comments`, 'fhir_comments', ['a note'], structure(`${O}.fhir_comments`)],
  [
    'an element with an underline in a data type',
    `${JSON_PAGE}: only defined elements`,
    'valueQuantity.code_2',
    'A',
    structure(`${O}.value.code_2`),
  ],
  [
    'a name that no FHIRPath could have',
    `${JSON_PAGE}: only defined elements; its place is that of the object`,
    'x-colour',
    'red',
    structure(O),
  ],
  ['an id of an element', 'R4 element.html: a string without spaces', 'valueQuantity.id', 'the_value/1'],
  [
    'an id of an element with a space',
    'R4 element.html: a string without spaces',
    'valueQuantity.id',
    'the value',
    structure(`${O}.value.id`),
  ],
  [
    'an id of a primitive with a space',
    'R4 element.html: a string without spaces',
    '_issued',
    { id: 'the moment' },
    structure(`${O}.issued.id`),
  ],
  ['an empty list', `${JSON_PAGE}: arrays are never empty`, 'note', [], structure(`${O}.note`)],
  ['an empty object', 'R4 ele-1', 'method', {}, invariant('ele-1', `${O}.method`)],
  [
    'an object with an id alone',
    'R4 ele-1: children besides the id',
    'method',
    { id: 'm' },
    invariant('ele-1', `${O}.method`),
  ],
  [
    'null for an element',
    `${JSON_PAGE}: null only within arrays of primitives`,
    'method',
    null,
    structure(`${O}.method`),
  ],
  [
    'null for a value',
    `${JSON_PAGE}: null only within arrays of primitives`,
    'issued',
    null,
    structure(`${O}.issued`),
  ],
  [
    'null in a list of objects',
    `${JSON_PAGE}: null only within arrays of primitives`,
    'performer.1',
    null,
    structure(`${O}.performer[1]`),
  ],
  [
    'a list for one object',
    `${JSON_PAGE}: only repeating elements are arrays`,
    'method',
    [{ text: 'A' }],
    structure(`${O}.method`),
  ],
  [
    'an object for a list',
    `${JSON_PAGE}: repeating elements are arrays`,
    'category',
    { text: 'A' },
    structure(`${O}.category`),
  ],
  ['a text for an object', `${JSON_PAGE}: objects`, 'method', 'A', structure(`${O}.method`)],
  [
    'an object for a text',
    `${JSON_PAGE}: primitives`,
    'code.text',
    { value: 'A' },
    structure(`${O}.code.text`),
  ],
  [
    'a list in a list',
    `${JSON_PAGE}: arrays`,
    'performer.0',
    [{ display: 'A' }],
    structure(`${O}.performer[0]`),
  ],
  ['an id on an element', 'R4 Element.id', 'code.id', 'the-code'],
])

const extended = changes('glucose', glucose, [
  ['an id on a primitive', PRIMITIVES, '_status', { id: 'the-status' }],
  ['an extension on a primitive', PRIMITIVES, '_issued', why],
  ['extensions of a primitive that is not there', PRIMITIVES, '_implicitRules', why],
  ['an empty object beside a primitive', 'R4 ele-1', '_issued', {}, invariant('ele-1', `${O}.issued`)],
  ['a text beside a primitive', PRIMITIVES, '_issued', 'why', structure(`${O}.issued`)],
  [
    'extensions beside an element that is no primitive',
    `${JSON_PAGE}: only defined elements`,
    '_subject',
    why,
    structure(`${O}._subject`),
  ],
  [
    'an unknown element beside a primitive',
    PRIMITIVES,
    '_issued',
    { ...why, colour: 'red' },
    structure(`${O}.issued.colour`),
  ],
])

const withheld = changes('glucose without status', () => ({ ...glucose(), status: undefined }), [
  ['withheld by an extension', PRIMITIVES, '_status', why],
  ['an id alone in its place', 'R4 ele-1', '_status', { id: 's' }, invariant('ele-1', `${O}.status`)],
])

const lists = changes('patient', patient, [
  [
    'a given name withheld',
    `${PRIMITIVES}: null in both arrays`,
    'name.0',
    { given: ['Ada', null], _given: [null, why] },
  ],
  ['all given names withheld', PRIMITIVES, 'name.0', { _given: [why] }],
  [
    'an id on the second given name',
    PRIMITIVES,
    'name.0',
    { given: ['Ada', 'Maria'], _given: [null, { id: 'g2' }] },
  ],
  [
    'null for a given name',
    `${PRIMITIVES}: null only where the other array has something`,
    'name.0',
    { given: ['Ada', null] },
    structure(`${P}.name[0].given[1]`),
  ],
  [
    'null in both arrays at one place',
    `${PRIMITIVES}: null only where the other array has something`,
    'name.0',
    { given: ['Ada', null], _given: [why, null] },
    structure(`${P}.name[0].given[1]`),
  ],
  [
    'extensions of a list that are no list',
    PRIMITIVES,
    'name.0',
    { given: ['Ada'], _given: why },
    structure(`${P}.name[0].given`),
  ],
  [
    'an empty list of given names',
    `${JSON_PAGE}: arrays are never empty`,
    'name.0.given',
    [],
    structure(`${P}.name[0].given`),
  ],
  [
    'an empty given name',
    `${JSON_PAGE}: strings are never empty`,
    'name.0.given.1',
    '',
    structure(`${P}.name[0].given[1]`),
  ],
])

export const jsonFormatCases: readonly CorpusCase[] = [...shape, ...extended, ...withheld, ...lists]
