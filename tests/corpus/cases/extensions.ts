import { type CorpusCase, changes, type ExpectedIssue, invariant, structure } from '../corpus-case.ts'
import { loinc, R4_PROFILE } from '../examples/coded.ts'
import { glucose } from '../examples/readings.ts'

const O = 'Observation'
const FIRST = `${O}.extension[0]`
const url = 'https://a.example/StructureDefinition/x'
const ABSOLUTE = 'R4 extensibility.html: the url is absolute, but within a complex extension'
const VALUES = 'R4 Extension.value[x]'
const relative = (at: string): ExpectedIssue => ({ ...structure(`${at}.url`), rule: 'extension-url' })
const complex = [
  { url: 'mean', valueDecimal: 124.5 },
  { url: 'count', valueUnsignedInt: 12 },
]

export const extensionCases: readonly CorpusCase[] = changes('glucose', glucose, [
  [
    'a body position',
    'R4 extension observation-bodyPosition',
    'extension',
    [{ url: `${R4_PROFILE}observation-bodyPosition`, valueCodeableConcept: loinc('LA11868-9') }],
  ],
  ['a complex extension', 'R4 extensibility.html', 'extension', [{ url, extension: complex }]],
  ['an address as value', VALUES, 'extension', [{ url, valueAddress: { city: 'Nowhere' } }]],
  [
    'a value withheld',
    'R4 ext-1',
    'extension',
    [{ url, _valueCode: { extension: [{ url, valueCode: 'masked' }] } }],
  ],
  [
    'a modifier extension',
    'R4 DomainResource.modifierExtension',
    'modifierExtension',
    [{ url, valueBoolean: true }],
  ],
  [
    'a modifier extension on a part',
    'R4 BackboneElement.modifierExtension',
    'referenceRange.0.modifierExtension',
    [{ url, valueBoolean: true }],
  ],
  [
    'an extension on a data type',
    'R4 Element.extension',
    'valueQuantity.extension',
    [{ url, valueCode: 'c' }],
  ],
  [
    'value and extensions',
    'R4 ext-1',
    'extension',
    [{ url, valueCode: 'c', extension: complex }],
    invariant('ext-1', FIRST),
  ],
  ['neither value nor extensions', 'R4 ext-1', 'extension', [{ url }], invariant('ext-1', FIRST)],
  [
    'nested, neither value nor extensions',
    'R4 ext-1',
    'extension',
    [{ url, extension: [{ url: 'mean' }] }],
    invariant('ext-1', `${FIRST}.extension[0]`),
  ],
  ['no url', 'R4 Extension.url 1..1', 'extension', [{ valueCode: 'c' }], structure(`${FIRST}.url`)],
  [
    'a url that is empty',
    'R4 json.html: strings are never empty',
    'extension',
    [{ url: '', valueCode: 'c' }],
    structure(`${FIRST}.url`),
  ],
  [
    'a url with white space',
    'R4 uri',
    'extension',
    [{ url: 'https://a b', valueCode: 'c' }],
    structure(`${FIRST}.url`),
  ],
  [
    'a relative url',
    ABSOLUTE,
    'extension',
    [{ url: 'StructureDefinition/x', valueCode: 'c' }],
    relative(FIRST),
  ],
  [
    'a modifier extension with a relative url',
    ABSOLUTE,
    'modifierExtension',
    [{ url: 'x', valueCode: 'c' }],
    relative(`${O}.modifierExtension[0]`),
  ],
  [
    'a relative url on a data type within an extension',
    ABSOLUTE,
    'extension',
    [{ url, valueAddress: { city: 'Nowhere', extension: [{ url: 'x', valueCode: 'c' }] } }],
    relative(`${FIRST}.value.extension[0]`),
  ],
  [
    'a relative url on a primitive',
    ABSOLUTE,
    '_issued',
    { extension: [{ url: 'x', valueCode: 'c' }] },
    relative(`${O}.issued.extension[0]`),
  ],
  ['a urn as url', ABSOLUTE, 'extension', [{ url: 'urn:oid:1.2.3', valueCode: 'c' }]],
  [
    'relative urls two deep in a complex extension',
    ABSOLUTE,
    'extension',
    [{ url, extension: [{ url: 'range', extension: complex }] }],
  ],
  [
    'two values',
    'R4 formats.html, choice of data types',
    'extension',
    [{ url, valueCode: 'c', valueString: 's' }],
    structure(`${FIRST}.value`),
  ],
  [
    'a value of no type of R4',
    VALUES,
    'extension',
    [{ url, valueCode: 'c', valueInteger64: 5 }],
    structure(`${FIRST}.valueInteger64`),
  ],
  [
    'an unknown element',
    'R4 Extension',
    'extension',
    [{ url, valueCode: 'c', name: 'x' }],
    structure(`${FIRST}.name`),
  ],
  [
    'no list',
    'R4 json.html: repeating elements are arrays',
    'extension',
    { url, valueCode: 'c' },
    structure(`${O}.extension`),
  ],
  ['an empty list', 'R4 json.html: arrays are never empty', 'extension', [], structure(`${O}.extension`)],
  [
    'an empty list on a data type',
    'R4 json.html: arrays are never empty',
    'code.extension',
    [],
    structure(`${O}.code.extension`),
  ],
  [
    'a modifier extension without value',
    'R4 ext-1',
    'modifierExtension',
    [{ url }],
    invariant('ext-1', `${O}.modifierExtension[0]`),
  ],
  [
    'an extension on a primitive without value',
    'R4 ext-1',
    '_issued',
    { extension: [{ url }] },
    invariant('ext-1', `${O}.issued.extension[0]`),
  ],
])
