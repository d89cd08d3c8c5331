import { type CorpusCase, changes, invariant, reference, structure } from '../corpus-case.ts'
import { patient } from '../examples/people-and-things.ts'
import { glucose, withoutValue } from '../examples/readings.ts'

/** Where forms and orders end: the last that is right beside the first that is not. */
const TYPES = 'R4 datatypes.html, '
const O = 'Observation'
const extension = (value: object) => [{ url: 'https://a.example/x', ...value }]
const EXT = structure(`${O}.extension[0].value`)
const DATE_TIME = `${TYPES}dateTime`
const forms = changes('glucose', glucose, [
  ['the year 0001', DATE_TIME, 'extension', extension({ valueDateTime: '0001' })],
  ['the year 0000', DATE_TIME, 'extension', extension({ valueDateTime: '0000' }), EXT],
  ['a year of five digits', DATE_TIME, 'extension', extension({ valueDateTime: '12016' }), EXT],
  [
    '29 February 1900',
    `${DATE_TIME}: of the calendar`,
    'extension',
    extension({ valueDateTime: '1900-02-29' }),
    EXT,
  ],
  [
    '29 February 2000',
    `${DATE_TIME}: of the calendar`,
    'extension',
    extension({ valueDateTime: '2000-02-29' }),
  ],
  ['second 61', DATE_TIME, 'extension', extension({ valueDateTime: '2016-12-31T23:59:61Z' }), EXT],
  ['offset 14:00', DATE_TIME, 'extension', extension({ valueDateTime: '2016-12-31T23:00:00+14:00' })],
  ['offset 14:01', DATE_TIME, 'extension', extension({ valueDateTime: '2016-12-31T23:00:00+14:01' }), EXT],
  [
    'an offset without colon',
    DATE_TIME,
    'extension',
    extension({ valueDateTime: '2016-12-31T23:00:00+0100' }),
    EXT,
  ],
  ['a small t', DATE_TIME, 'extension', extension({ valueDateTime: '2016-12-31t23:00:00Z' }), EXT],
  [
    'a point without fraction',
    DATE_TIME,
    'extension',
    extension({ valueDateTime: '2016-12-31T23:00:00.Z' }),
    EXT,
  ],
  [
    'a fraction of twelve digits',
    DATE_TIME,
    'extension',
    extension({ valueDateTime: '2016-12-31T23:00:00.123456789012Z' }),
  ],
  ['a time at 24:00', `${TYPES}time`, 'extension', extension({ valueTime: '24:00:00' }), EXT],
  [
    'the largest positive integer',
    `${TYPES}positiveInt`,
    'extension',
    extension({ valuePositiveInt: 2147483647 }),
  ],
  [
    'a positive integer too large',
    `${TYPES}positiveInt`,
    'extension',
    extension({ valuePositiveInt: 2147483648 }),
    EXT,
  ],
  [
    'base64 on several lines',
    `${TYPES}base64Binary: white space between groups`,
    'extension',
    extension({ valueBase64Binary: 'AAAA\r\nAA==' }),
  ],
  [
    'base64 with padding within',
    `${TYPES}base64Binary, RFC 4648`,
    'extension',
    extension({ valueBase64Binary: 'AA==AAAA' }),
    EXT,
  ],
  ['base64 of white space', `${TYPES}base64Binary`, 'extension', extension({ valueBase64Binary: '  ' }), EXT],
  ['an OID of one arc', `${TYPES}oid`, 'extension', extension({ valueOid: 'urn:oid:2' }), EXT],
  [
    'an OID with a leading nought',
    `${TYPES}oid`,
    'extension',
    extension({ valueOid: 'urn:oid:1.02.3' }),
    EXT,
  ],
  [
    'a no-break space in a text',
    `${TYPES}string: \\s is that of XML Schema`,
    'extension',
    extension({ valueString: 'a\u00a0b' }),
  ],
  [
    'a vertical tab in a text',
    `${TYPES}string: no control characters`,
    'extension',
    extension({ valueString: 'a\u000bb' }),
    EXT,
  ],
  ['a code with a line feed at its end', `${TYPES}code`, 'extension', extension({ valueCode: 'a\n' }), EXT],
  [
    'a canonical with version and fragment',
    `${TYPES}canonical`,
    'extension',
    extension({ valueCanonical: 'https://a.example/x|1.0#a' }),
  ],
])

const ORDER = 'R4 per-1'
const orders = changes('glucose without value', withoutValue, [
  [
    'one moment in two zones',
    ORDER,
    'effectivePeriod',
    { start: '2020-01-02T10:00:00+02:00', end: '2020-01-02T08:00:00Z' },
  ],
  [
    'an end before the start in another zone',
    ORDER,
    'effectivePeriod',
    { start: '2020-01-02T10:00:00+01:00', end: '2020-01-02T08:00:00Z' },
    invariant('per-1', `${O}.effective`),
  ],
  [
    'an end half a second early',
    ORDER,
    'effectivePeriod',
    { start: '2020-01-02T10:00:00.5Z', end: '2020-01-02T10:00:00Z' },
    invariant('per-1', `${O}.effective`),
  ],
  [
    'a year that begins after the day of its end',
    ORDER,
    'effectivePeriod',
    { start: '2020', end: '2019-12-31' },
    invariant('per-1', `${O}.effective`),
  ],
  [
    'a value of a range turned round',
    'R4 rng-2',
    'valueRange',
    { low: { value: 5 }, high: { value: 2 } },
    invariant('rng-2', `${O}.value`),
  ],
])

const organization = [{ resourceType: 'Organization', id: 'o' }]
const contained = changes('glucose with an organization', () => ({ ...glucose(), contained: organization }), [
  [
    'named by a canonical',
    'R4 dom-3: descendants().as(canonical)',
    'extension',
    extension({ valueCanonical: '#o' }),
  ],
  ['named by a url', 'R4 dom-3: descendants().as(url)', 'extension', extension({ valueUrl: '#o' })],
  [
    'named by a text only',
    'R4 dom-3',
    'extension',
    extension({ valueString: '#o' }),
    invariant('dom-3', `${O}.contained[0]`),
  ],
  ['that assigns an identifier', 'R4 dom-3', 'identifier.0.assigner', { reference: '#o' }],
  [
    'in place of a patient',
    'R4 Reference target types',
    'subject',
    { reference: '#o' },
    reference('reference-target', `${O}.subject`),
  ],
])

const lists = changes('patient', patient, [
  [
    'extensions beside the second given name alone',
    'R4 json.html',
    'name.0',
    { given: ['Ada', 'Maria'], _given: [null, { id: 'g' }] },
  ],
  [
    'extensions that leave their first place empty',
    'R4 json.html: null only beside a value',
    'name.0',
    { _given: [null, { extension: extension({ valueString: 'a' }) }] },
    structure('Patient.name[0].given[0]'),
  ],
  [
    'a contact known by a name that is withheld',
    'R4 pat-1',
    'contact',
    [{ name: { extension: extension({ valueString: 'a' }) } }],
  ],
  [
    'a number withheld beside no system',
    'R4 cpt-2',
    'telecom',
    [{ _value: { extension: extension({ valueString: 'a' }) } }],
    invariant('cpt-2', 'Patient.telecom[0]'),
  ],
])

export const edgeCases: readonly CorpusCase[] = [...forms, ...orders, ...contained, ...lists]
