import { type CorpusCase, changes, fatal, invariant, structure, whole } from '../corpus-case.ts'
import { collection, transaction, upload } from '../examples/bundles.ts'

const B = 'Bundle'
const entry = (i: number) => `${B}.entry[${i}]`
const empty = () => ({ resourceType: 'Bundle', type: 'collection' })
const VERSIONED = 'https://clinic.example/fhir/Observation/1/_history/2'

const ofTransaction = changes('transaction', transaction, [
  ['a total', 'R4 bdl-1', 'total', 10, invariant('bdl-1', `${B}.total`)],
  [
    'a search mode',
    'R4 bdl-2',
    'entry.0.search',
    { mode: 'match' },
    invariant('bdl-2', `${entry(0)}.search`),
  ],
  [
    'an entry without request',
    'R4 bdl-3',
    'entry.0.request',
    undefined,
    invariant('bdl-3', `${entry(0)}.request`),
  ],
  [
    'a response',
    'R4 bdl-4',
    'entry.5.response',
    { status: '200' },
    invariant('bdl-4', `${entry(5)}.response`),
  ],
  [
    'the same fullUrl twice',
    'R4 bdl-7',
    'entry.1.fullUrl',
    transaction().entry[0]?.fullUrl,
    invariant('bdl-7', `${entry(1)}.fullUrl`),
  ],
  [
    'an unknown method',
    'R4 value set http-verb, required',
    'entry.8.request.method',
    'SEND',
    structure(`${entry(8)}.request.method`),
  ],
  [
    'no url',
    'R4 Bundle.entry.request.url 1..1',
    'entry.8.request.url',
    undefined,
    structure(`${entry(8)}.request.url`),
  ],
  [
    'a moment without zone',
    'R4 instant',
    'entry.9.request.ifModifiedSince',
    '2015-08-31T08:14:33',
    structure(`${entry(9)}.request.ifModifiedSince`),
  ],
  [
    'a patient that breaks the structure',
    'R4 Patient.gender',
    'entry.0.resource.gender',
    'f',
    structure(`${entry(0)}.resource.gender`),
  ],
  [
    'a narrative of its own',
    'R4 Bundle is no DomainResource',
    'text',
    { status: 'empty' },
    structure(`${B}.text`),
  ],
  [
    'an extension of its own',
    'R4 Bundle is no DomainResource',
    'extension',
    [{ url: 'https://a.example', valueCode: 'c' }],
    structure(`${B}.extension`),
  ],
  [
    'an extension on an entry',
    'R4 Bundle.entry is a BackboneElement',
    'entry.8.extension',
    [{ url: 'https://a.example', valueCode: 'c' }],
  ],
])

const ofCollection = changes('collection', collection, [
  [
    'an entry about nothing',
    'R4 bdl-5',
    'entry.2',
    { fullUrl: 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b09' },
    invariant('bdl-5', entry(2)),
  ],
  [
    'a fullUrl with a version',
    'R4 bdl-8',
    'entry.2',
    { fullUrl: VERSIONED, resource: { resourceType: 'Device' } },
    invariant('bdl-8', `${entry(2)}.fullUrl`),
  ],
  [
    'two versions of one resource',
    'R4 bdl-7',
    'entry.0',
    { ...collection().entry[1], resource: { resourceType: 'Patient', id: 'ada', meta: { versionId: '1' } } },
  ],
  [
    'the same resource twice',
    'R4 bdl-7',
    'entry.2',
    collection().entry[1],
    invariant('bdl-7', `${entry(2)}.fullUrl`),
  ],
  ['a bundle within', 'R4 Bundle.entry.resource', 'entry.2', { resource: transaction() }],
  ['an empty entry', 'R4 ele-1', 'entry.2', {}, invariant('ele-1', entry(2)), invariant('bdl-5', entry(2))],
  [
    'a signature without time',
    'R4 Signature.when 1..1',
    'signature',
    { type: [{ code: '1.2.840.10065.1.12.1.5' }], who: { display: 'A' } },
    structure(`${B}.signature.when`),
  ],
  [
    'a contained resource',
    'R4 Bundle is no DomainResource',
    'contained',
    [{ resourceType: 'Device', id: 'd' }],
    structure(`${B}.contained`),
  ],
])

const ofEmpty = changes('empty bundle', empty, [
  ['no type', 'R4 Bundle.type 1..1', 'type', undefined, structure(`${B}.type`)],
  ['an unknown type', 'R4 value set bundle-type, required', 'type', 'pile', structure(`${B}.type`)],
  ['an empty list of entries', 'R4 json.html: arrays are never empty', 'entry', [], structure(`${B}.entry`)],
  [
    'an entry that is no list',
    'R4 json.html: repeating elements are arrays',
    'entry',
    { resource: { resourceType: 'Device' } },
    structure(`${B}.entry`),
  ],
  ['null for an entry', 'R4 json.html: null', 'entry', [null], structure(entry(0))],
  [
    'a resource without type',
    'R4 json.html: resourceType',
    'entry',
    [{ resource: { id: 'x' } }],
    fatal('STRUCTURE', `${entry(0)}.resource`),
  ],
])

export const bundleCases: readonly CorpusCase[] = [
  whole('transaction of ten requests', 'R4 bundle-transaction', transaction()),
  whole('upload', 'PHD 2.0.0, transaction of patient, device and reading', upload()),
  whole('collection', 'R4 bundle.html, collection', collection()),
  whole('bundle of nothing', 'R4 Bundle.entry 0..*', empty()),
  ...ofTransaction,
  ...ofCollection,
  ...ofEmpty,
]
