import { type CorpusCase, changes, structure } from '../corpus-case.ts'
import { glucose } from '../examples/readings.ts'

const TYPES = 'R4 datatypes.html, '
const O = 'Observation'
const EXT = `${O}.extension[0].value`

const ids = changes('glucose', glucose, [
  ['an id of 64 characters', `${TYPES}id`, 'id', 'a'.repeat(64)],
  ['an id of 65 characters', `${TYPES}id`, 'id', 'a'.repeat(65), structure(`${O}.id`)],
  ['an id with an underscore', `${TYPES}id`, 'id', 'a_b', structure(`${O}.id`)],
  ['an id that is empty', `${TYPES}id`, 'id', '', structure(`${O}.id`)],
  ['an id that is a number', 'R4 json.html: strings', 'id', 5, structure(`${O}.id`)],
  ['a language', `${TYPES}code`, 'language', 'en-US'],
  [
    'a code with a space at its end',
    `${TYPES}code`,
    'category.0.coding.1',
    { code: 'a ' },
    structure(`${O}.category[0].coding[1].code`),
  ],
  [
    'a code with two spaces within',
    `${TYPES}code`,
    'category.0.coding.1',
    { code: 'a  b' },
    structure(`${O}.category[0].coding[1].code`),
  ],
  [
    'a system with white space',
    `${TYPES}uri`,
    'category.0.coding.1',
    { system: 'http://a b', code: 'a' },
    structure(`${O}.category[0].coding[1].system`),
  ],
  [
    'a profile with white space',
    `${TYPES}canonical`,
    'meta',
    { profile: ['http://a b'] },
    structure(`${O}.meta.profile[0]`),
  ],
  ['a version id with a slash', `${TYPES}id`, 'meta', { versionId: '1/2' }, structure(`${O}.meta.versionId`)],
  [
    'a last update without zone',
    `${TYPES}instant`,
    'meta',
    { lastUpdated: '2013-04-03T15:30:10' },
    structure(`${O}.meta.lastUpdated`),
  ],
  ['a number as text', 'R4 json.html: numbers', 'valueQuantity.value', '6.3', structure(`${O}.value.value`)],
  ['a whole number', `${TYPES}decimal`, 'valueQuantity.value', 6],
  ['a number below zero', `${TYPES}decimal`, 'valueQuantity.value', -0.5],
  ['a number with an exponent', `${TYPES}decimal`, 'valueQuantity.value', 6.3e-7],
  [
    'a truth for a number',
    'R4 json.html: numbers',
    'valueQuantity.value',
    true,
    structure(`${O}.value.value`),
  ],
])

const extension = (value: object) => [{ url: 'https://a.example/x', ...value }]
const others = changes('glucose', glucose, [
  ['base64', `${TYPES}base64Binary`, 'extension', extension({ valueBase64Binary: 'AAAA' })],
  [
    'base64 cut short',
    `${TYPES}base64Binary`,
    'extension',
    extension({ valueBase64Binary: 'AAA' }),
    structure(EXT),
  ],
  [
    'base64 with other letters',
    `${TYPES}base64Binary`,
    'extension',
    extension({ valueBase64Binary: 'AA-_' }),
    structure(EXT),
  ],
  ['an OID', `${TYPES}oid`, 'extension', extension({ valueOid: 'urn:oid:1.2.3.4.5' })],
  ['an OID without urn', `${TYPES}oid`, 'extension', extension({ valueOid: '1.2.3.4.5' }), structure(EXT)],
  [
    'an OID that begins with 3',
    `${TYPES}oid`,
    'extension',
    extension({ valueOid: 'urn:oid:3.2.3' }),
    structure(EXT),
  ],
  [
    'a UUID',
    `${TYPES}uuid`,
    'extension',
    extension({ valueUuid: 'urn:uuid:c757873d-ec9a-4326-a141-556f43239520' }),
  ],
  [
    'a UUID in capitals',
    `${TYPES}uuid`,
    'extension',
    extension({ valueUuid: 'urn:uuid:C757873D-EC9A-4326-A141-556F43239520' }),
    structure(EXT),
  ],
  ['a time', `${TYPES}time`, 'extension', extension({ valueTime: '06:41:00' })],
  ['a time without seconds', `${TYPES}time`, 'extension', extension({ valueTime: '06:41' }), structure(EXT)],
  ['a time with zone', `${TYPES}time`, 'extension', extension({ valueTime: '06:41:00Z' }), structure(EXT)],
  [
    'an integer beyond 32 bits',
    `${TYPES}integer`,
    'extension',
    extension({ valueInteger: 2147483648 }),
    structure(EXT),
  ],
  ['the least integer', `${TYPES}integer`, 'extension', extension({ valueInteger: -2147483648 })],
  [
    'an integer with a fraction',
    `${TYPES}integer`,
    'extension',
    extension({ valueInteger: 1.5 }),
    structure(EXT),
  ],
  ['an unsigned integer of zero', `${TYPES}unsignedInt`, 'extension', extension({ valueUnsignedInt: 0 })],
  [
    'an unsigned integer below zero',
    `${TYPES}unsignedInt`,
    'extension',
    extension({ valueUnsignedInt: -1 }),
    structure(EXT),
  ],
  [
    'a url with white space',
    `${TYPES}url`,
    'extension',
    extension({ valueUrl: 'http://a b' }),
    structure(EXT),
  ],
  ['markdown', `${TYPES}markdown`, 'extension', extension({ valueMarkdown: '* one\n* two' })],
  [
    'markdown that is empty',
    'R4 json.html: strings are never empty',
    'extension',
    extension({ valueMarkdown: '' }),
    structure(EXT),
  ],
  ['a dateTime to the month', `${TYPES}dateTime`, 'extension', extension({ valueDateTime: '2013-04' })],
  [
    'a dateTime without zone',
    `${TYPES}dateTime: a zone wherever there is a time`,
    'extension',
    extension({ valueDateTime: '2013-04-03T15:30:10' }),
    structure(EXT),
  ],
  [
    'a dateTime without seconds',
    `${TYPES}dateTime: seconds wherever there is a time`,
    'extension',
    extension({ valueDateTime: '2013-04-03T15:30+01:00' }),
    structure(EXT),
  ],
  [
    'a dateTime of an hour',
    `${TYPES}dateTime`,
    'extension',
    extension({ valueDateTime: '2013-04-03T15+01:00' }),
    structure(EXT),
  ],
])

export const primitiveCases: readonly CorpusCase[] = [...ids, ...others]
