import { type CorpusCase, changes, invariant, reference, structure, warning, whole } from '../corpus-case.ts'
import { document, history, message, searchset, transactionResponse } from '../examples/bundles.ts'
import { heartRate } from '../examples/readings.ts'

const B = 'Bundle'
const entry = (i: number) => `${B}.entry[${i}]`

const ofSearchset = changes('searchset', searchset, [
  ['without total', 'R4 Bundle.total 0..1', 'total', undefined],
  [
    'an outcome entry',
    'R4 search-entry-mode outcome',
    'entry.2',
    {
      resource: { resourceType: 'OperationOutcome', issue: [{ severity: 'warning', code: 'incomplete' }] },
      search: { mode: 'outcome' },
    },
  ],
  [
    'a match without an id',
    'R4 Resource.id: absent only while it is submitted to be created',
    'entry.0',
    { resource: { ...searchset().entry[0]?.resource, id: undefined }, search: { mode: 'match' } },
    reference('search-id', `${entry(0)}.resource`),
    warning(reference('fullUrl', `${entry(0)}.fullUrl`)),
  ],
  [
    'a device as the outcome of a search',
    'R4 search-entry-mode outcome: an OperationOutcome',
    'entry.1.search.mode',
    'outcome',
    reference('search-outcome', `${entry(1)}.resource`),
  ],
  ['a negative total', 'R4 unsignedInt', 'total', -1, structure(`${B}.total`)],
  ['a total as text', 'R4 json.html: numbers', 'total', '3', structure(`${B}.total`)],
  [
    'a link without relation',
    'R4 Bundle.link.relation 1..1',
    'link.0.relation',
    undefined,
    structure(`${B}.link[0].relation`),
  ],
  ['a link without url', 'R4 Bundle.link.url 1..1', 'link.1.url', undefined, structure(`${B}.link[1].url`)],
  [
    'an unknown search mode',
    'R4 value set search-entry-mode, required',
    'entry.0.search.mode',
    'hit',
    structure(`${entry(0)}.search.mode`),
  ],
  [
    'a score as text',
    'R4 json.html: numbers',
    'entry.0.search.score',
    '1',
    structure(`${entry(0)}.search.score`),
  ],
  [
    'a request',
    'R4 bdl-3',
    'entry.0.request',
    { method: 'GET', url: 'Observation/heart-rate' },
    invariant('bdl-3', `${entry(0)}.request`),
  ],
  [
    'a response',
    'R4 bdl-4',
    'entry.0.response',
    { status: '200' },
    invariant('bdl-4', `${entry(0)}.response`),
  ],
  [
    'an entry about nothing',
    'R4 bdl-5',
    'entry.2',
    { search: { mode: 'match' } },
    invariant('bdl-5', entry(2)),
  ],
])

const ofHistory = changes('history', history, [
  [
    'a deletion',
    'R4 http.html, history',
    'entry.2',
    {
      fullUrl: 'https://clinic.example/fhir/Patient/9',
      request: { method: 'DELETE', url: 'Patient/9' },
      response: { status: '204' },
    },
  ],
  [
    'an entry without request',
    'R4 bdl-3',
    'entry.1.request',
    undefined,
    invariant('bdl-3', `${entry(1)}.request`),
  ],
  [
    'an entry without response',
    'R4 bdl-4',
    'entry.0.response',
    undefined,
    invariant('bdl-4', `${entry(0)}.response`),
  ],
  [
    'a response without status',
    'R4 Bundle.entry.response.status 1..1',
    'entry.0.response.status',
    undefined,
    structure(`${entry(0)}.response.status`),
  ],
])

const STATUS = 'R4 Bundle.entry.response.status: starts with a code of three digits'
const ofResponse = changes('transaction response', transactionResponse, [
  ['a status with its words', STATUS, 'entry.0.response.status', '201 Created'],
  [
    'a status in words',
    STATUS,
    'entry.0.response.status',
    'Created',
    reference('response', `${entry(0)}.response.status`),
  ],
  [
    'a status of two digits',
    STATUS,
    'entry.0.response.status',
    '20',
    reference('response', `${entry(0)}.response.status`),
  ],
  [
    'a status of four digits',
    STATUS,
    'entry.0.response.status',
    '2010',
    reference('response', `${entry(0)}.response.status`),
  ],
  [
    'an entry without response',
    'R4 bdl-4',
    'entry.0',
    { resource: { resourceType: 'Device' } },
    invariant('bdl-4', `${entry(0)}.response`),
  ],
  [
    'a last change without time',
    'R4 instant',
    'entry.0.response.lastModified',
    '2014-08-18',
    structure(`${entry(0)}.response.lastModified`),
  ],
  [
    'an outcome without issue',
    'R4 OperationOutcome.issue 1..*',
    'entry.1.response.outcome.issue',
    undefined,
    structure(`${entry(1)}.response.outcome.issue`),
  ],
  [
    'an outcome of unknown severity',
    'R4 value set issue-severity',
    'entry.1.response.outcome.issue.0.severity',
    'bad',
    structure(`${entry(1)}.response.outcome.issue[0].severity`),
  ],
])

const ofDocument = changes('document', document, [
  ['no identifier', 'R4 bdl-9', 'identifier', undefined, invariant('bdl-9', `${B}.identifier`)],
  [
    'an identifier without system',
    'R4 bdl-9',
    'identifier.system',
    undefined,
    invariant('bdl-9', `${B}.identifier`),
  ],
  ['no timestamp', 'R4 bdl-10', 'timestamp', undefined, invariant('bdl-10', `${B}.timestamp`)],
  ['no composition', 'R4 bdl-11', 'entry.0', undefined, invariant('bdl-11', `${B}.entry`)],
])

const INCLUDED = 'R4 Composition and documents.html: what it refers to is an entry of the document'
const COMPOSITION = `${entry(0)}.resource`
const inDocument = changes('document', document, [
  [
    'an author who is not in it',
    INCLUDED,
    'entry.1',
    undefined,
    reference('reference', `${COMPOSITION}.author[0]`),
  ],
  [
    'a subject who is on another server',
    INCLUDED,
    'entry.0.resource.subject',
    { reference: 'https://other.example/fhir/Patient/1' },
    reference('reference', `${COMPOSITION}.subject`),
  ],
  [
    'a reading in a section of a section that is not in it',
    INCLUDED,
    'entry.0.resource.section.0.section',
    [{ entry: [{ reference: 'Observation/elsewhere' }] }],
    reference('reference', `${COMPOSITION}.section[0].section[0].entry[0]`),
  ],
  [
    'an attester who is not in it, by a urn',
    INCLUDED,
    'entry.0.resource.attester',
    [{ mode: 'legal', party: { reference: 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b01' } }],
    reference('reference', `${COMPOSITION}.attester[0].party`),
  ],
  [
    'a subject who is known by an identifier',
    INCLUDED,
    'entry.0.resource.subject',
    { identifier: { value: '1' } },
  ],
  [
    'an earlier document it replaces',
    'R4 Composition.relatesTo: another document',
    'entry.0.resource.relatesTo',
    [{ code: 'replaces', targetReference: { reference: 'Composition/c-0' } }],
  ],
  ['an author by the version', INCLUDED, 'entry.0.resource.author.0.reference', 'Device/phg/_history/2'],
  [
    'an author contained in the composition',
    INCLUDED,
    'entry.0.resource',
    {
      ...document().entry[0]?.resource,
      contained: [{ resourceType: 'Device', id: 'd', owner: { reference: 'Organization/1' } }],
      author: [{ reference: '#d' }],
    },
  ],
  [
    'an author whose entry has no fullUrl',
    INCLUDED,
    'entry.1.fullUrl',
    undefined,
    warning(reference('fullUrl', `${entry(1)}.fullUrl`)),
  ],
])

const ofMessage = changes('message', message, [
  [
    'begins with a patient',
    'R4 bdl-12',
    'entry.0',
    { resource: { resourceType: 'Patient', active: true } },
    invariant('bdl-12', `${B}.entry`),
  ],
  [
    'a focus that is not in it',
    'R4 MessageHeader.focus: always included in the bundle',
    'entry.0.resource.focus',
    [{ reference: 'Observation/heart-rate' }],
    reference('reference', `${entry(0)}.resource.focus[0]`),
  ],
  [
    'a focus that is in it',
    'R4 MessageHeader.focus: always included in the bundle',
    'entry',
    [
      {
        fullUrl: 'https://clinic.example/fhir/MessageHeader/m-1',
        resource: {
          ...message().entry[0]?.resource,
          id: 'm-1',
          focus: [{ reference: 'Observation/heart-rate' }],
        },
      },
      { fullUrl: 'https://clinic.example/fhir/Observation/heart-rate', resource: heartRate() },
    ],
  ],
  [
    'a sender who is not in it',
    'R4 messaging.html: only what the focus names must be there',
    'entry.0.resource.sender',
    { reference: 'Organization/1' },
  ],
])

export const bundleKindCases: readonly CorpusCase[] = [
  whole('searchset', 'R4 bundle-example', searchset()),
  whole('history', 'R4 bundle-response of a history', history()),
  whole('transaction response', 'R4 bundle-response', transactionResponse()),
  whole('document', 'R4 documents.html', document()),
  whole('message', 'R4 messaging.html', message()),
  ...ofSearchset,
  ...ofHistory,
  ...ofResponse,
  ...ofDocument,
  ...inDocument,
  ...ofMessage,
]
