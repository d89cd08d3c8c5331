import { type CorpusCase, changes, invariant, reference, structure, warning, whole } from '../corpus-case.ts'
import { history, searchset, transactionResponse } from '../examples/bundles.ts'

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
    'a url with the version that came of it, as servers write it',
    'R4 Bundle.entry.request.url: Patient/[id]; nobody carries it out again, and the HL7 validator says nothing',
    'entry.0.request.url',
    'Patient/pat4/_history/2',
    warning(reference('request', `${entry(0)}.request.url`)),
  ],
  [
    'a creation with the id that came of it',
    'R4 Bundle.entry.request.url: Patient for a create',
    'entry.1.request.url',
    'Patient/pat4',
    warning(reference('request', `${entry(1)}.request.url`)),
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

export const bundleKindCases: readonly CorpusCase[] = [
  whole('searchset', 'R4 bundle-example', searchset()),
  whole('history', 'R4 bundle-response of a history', history()),
  whole('transaction response', 'R4 bundle-response', transactionResponse()),
  ...ofSearchset,
  ...ofHistory,
  ...ofResponse,
]
