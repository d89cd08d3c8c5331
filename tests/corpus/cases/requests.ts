import { type CorpusCase, changes, invariant, reference, structure, warning } from '../corpus-case.ts'
import { collection, transaction } from '../examples/bundles.ts'

const entry = (i: number) => `Bundle.entry[${i}]`
const CREATE = 'R4 http.html, conditional create'
const URLS = 'R4 bundle.html, Resource URL & Uniqueness'
const request = (i: number, child: string) => reference('request', `${entry(i)}.request.${child}`)

const requests = changes('transaction', transaction, [
  [
    'a url with a slash in front',
    'R4 Bundle.entry.request.url, relative to the base',
    'entry.0.request.url',
    '/Patient',
    request(0, 'url'),
  ],
  ['the url of another type', 'R4 http.html, create', 'entry.0.request.url', 'Device', request(0, 'url')],
  ['a POST to an instance', 'R4 http.html, create', 'entry.0.request.url', 'Patient/1', request(0, 'url')],
  ['a PUT to a type alone', 'R4 http.html, update', 'entry.2.request.url', 'Patient', request(2, 'url')],
  ['a PUT to another id', 'R4 http.html, update', 'entry.2.request.url', 'Patient/124', request(2, 'url')],
  [
    'a PUT by an empty search',
    'R4 http.html, conditional update',
    'entry.3.request.url',
    'Patient?',
    request(3, 'url'),
  ],
  ['a DELETE of a type', 'R4 http.html, delete', 'entry.5.request.url', 'Patient', request(5, 'url')],
  [
    'a POST of nothing',
    'R4 http.html, create',
    'entry.0.resource',
    undefined,
    reference('request', `${entry(0)}.resource`),
  ],
  [
    'ifNoneExist with its question mark',
    CREATE,
    'entry.1.request.ifNoneExist',
    '?identifier=a|b',
    reference('ifNoneExist', `${entry(1)}.request.ifNoneExist`),
  ],
  [
    'ifNoneExist with its type',
    CREATE,
    'entry.1.request.ifNoneExist',
    'Patient?identifier=a|b',
    warning(reference('ifNoneExist', `${entry(1)}.request.ifNoneExist`)),
  ],
  [
    'ifNoneExist with a base',
    CREATE,
    'entry.1.request.ifNoneExist',
    'https://clinic.example/fhir/Patient?identifier=a|b',
    reference('ifNoneExist', `${entry(1)}.request.ifNoneExist`),
  ],
  [
    'ifNoneExist of a type and no search',
    CREATE,
    'entry.1.request.ifNoneExist',
    'Patient?',
    reference('ifNoneExist', `${entry(1)}.request.ifNoneExist`),
  ],
  [
    'ifNoneExist without a value',
    CREATE,
    'entry.1.request.ifNoneExist',
    'identifier',
    reference('ifNoneExist', `${entry(1)}.request.ifNoneExist`),
  ],
  [
    'ifNoneExist of two parameters',
    CREATE,
    'entry.1.request.ifNoneExist',
    'identifier=a|b&birthdate=1974-12-25',
  ],
  [
    'ifNoneExist on a PUT',
    CREATE,
    'entry.4.request.ifNoneExist',
    'identifier=a|b',
    reference('ifNoneExist', `${entry(4)}.request.ifNoneExist`),
  ],
  [
    'an update and a deletion of one resource',
    'R4 http.html, transaction: identities must not overlap',
    'entry.5.request.url',
    'Patient/123',
    reference('transaction-overlap', `${entry(5)}.request.url`),
  ],
  [
    'a PATCH',
    'R4 http.html, patch',
    'entry.5',
    {
      resource: { resourceType: 'Binary', contentType: 'application/json-patch+json', data: 'W10=' },
      request: { method: 'PATCH', url: 'Patient/234' },
    },
  ],
  ['a HEAD', 'R4 value set http-verb', 'entry.8.request.method', 'HEAD'],
])

const fullUrls = changes('collection', collection, [
  [
    'a relative fullUrl',
    URLS,
    'entry.0.fullUrl',
    'Observation/heart-rate',
    reference('fullUrl', `${entry(0)}.fullUrl`),
  ],
  [
    'a fullUrl of another id',
    URLS,
    'entry.0.fullUrl',
    'https://clinic.example/fhir/Observation/other',
    reference('fullUrl', `${entry(0)}.fullUrl`),
  ],
  [
    'a fullUrl of another type',
    URLS,
    'entry.0.fullUrl',
    'https://clinic.example/fhir/Patient/heart-rate',
    reference('fullUrl', `${entry(0)}.fullUrl`),
  ],
  [
    'a UUID in capitals',
    'R4 uuid has lower case, Bundle.entry.fullUrl is a uri',
    'entry.0.fullUrl',
    'urn:uuid:2F6A4A52-0000-4D38-A9A5-0F1F6C3E6B01',
    warning(reference('fullUrl', `${entry(0)}.fullUrl`)),
  ],
  [
    'a fullUrl with a version',
    'R4 bdl-8, and no second word on its end',
    'entry.0.fullUrl',
    'https://clinic.example/fhir/Observation/heart-rate/_history/2',
    invariant('bdl-8', `${entry(0)}.fullUrl`),
  ],
  [
    'a UUID that is too short',
    'R4 uuid',
    'entry.0.fullUrl',
    'urn:uuid:2f6a4a52',
    reference('fullUrl', `${entry(0)}.fullUrl`),
  ],
  ['a UUID', URLS, 'entry.0.fullUrl', 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b01'],
  ['an OID', URLS, 'entry.0.fullUrl', 'urn:oid:1.2.840.10004.1'],
  [
    'an OID that begins with 3',
    'R4 oid',
    'entry.0.fullUrl',
    'urn:oid:3.2.840',
    reference('fullUrl', `${entry(0)}.fullUrl`),
  ],
  [
    'a fullUrl with white space',
    'R4 uri',
    'entry.0.fullUrl',
    'urn:uuid: 1',
    structure(`${entry(0)}.fullUrl`),
    reference('fullUrl', `${entry(0)}.fullUrl`),
  ],
])

export const requestCases: readonly CorpusCase[] = [...requests, ...fullUrls]
