import { heartRate } from './readings.ts'

/** Bundles of R4 4.0.1, their facts retyped; people and places are invented. */

const BASE = 'https://clinic.example/fhir'
const named = (family: string, id?: string) => ({
  resourceType: 'Patient',
  ...(id === undefined ? {} : { id }),
  active: true,
  name: [{ use: 'official', family, given: ['Ada'] }],
  gender: 'female',
  birthDate: '1974-12-25',
})

/** Source: FHIR R4 4.0.1, bundle-transaction: every kind of request a transaction can carry, in ten entries. */
export function transaction() {
  return {
    resourceType: 'Bundle',
    id: 'bundle-transaction',
    meta: { lastUpdated: '2014-08-18T01:43:30Z' },
    type: 'transaction',
    entry: [
      {
        fullUrl: 'urn:uuid:61ebe359-0000-4613-8bf2-c5e300945f0a',
        resource: named('Created'),
        request: { method: 'POST', url: 'Patient' },
      },
      {
        fullUrl: 'urn:uuid:88f151c0-0000-488a-9e5e-d7ab4b0e1b01',
        resource: named('CreatedOnce'),
        request: {
          method: 'POST',
          url: 'Patient',
          ifNoneExist: 'identifier=https://clinic.example/ids|234234',
        },
      },
      {
        fullUrl: `${BASE}/Patient/123`,
        resource: named('Updated', '123'),
        request: { method: 'PUT', url: 'Patient/123' },
      },
      {
        fullUrl: 'urn:uuid:74891afc-0000-4ed2-bc28-7d0c2b5b7b01',
        resource: named('UpdatedBySearch'),
        request: { method: 'PUT', url: 'Patient?identifier=https://clinic.example/ids|456456' },
      },
      {
        fullUrl: `${BASE}/Patient/123a`,
        resource: named('UpdatedIfSame', '123a'),
        request: { method: 'PUT', url: 'Patient/123a', ifMatch: 'W/"2"' },
      },
      { request: { method: 'DELETE', url: 'Patient/234' } },
      { request: { method: 'DELETE', url: 'Patient?identifier=123456' } },
      {
        fullUrl: 'urn:uuid:79378cb8-0000-4a6b-8e6e-f7e5c7ff0401',
        resource: { resourceType: 'Parameters', parameter: [{ name: 'coding', valueString: '1963-8' }] },
        request: { method: 'POST', url: 'ValueSet/$lookup' },
      },
      { request: { method: 'GET', url: 'Patient?name=peter' } },
      {
        request: {
          method: 'GET',
          url: 'Patient/12334',
          ifNoneMatch: 'W/"4"',
          ifModifiedSince: '2015-08-31T08:14:33+10:00',
        },
      },
    ],
  }
}

const PATIENT_URL = 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b01'
const DEVICE_URL = 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b02'
const READING_URL = 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b03'

/** Source: PHD 2.0.0, the upload of a patient, a device and a reading that points to both, in one transaction. */
export function upload() {
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        fullUrl: PATIENT_URL,
        resource: named('Uploading'),
        request: { method: 'POST', url: 'Patient', ifNoneExist: 'identifier=https://clinic.example/ids|77' },
      },
      {
        fullUrl: DEVICE_URL,
        resource: { resourceType: 'Device', modelNumber: 'C-1' },
        request: { method: 'POST', url: 'Device' },
      },
      {
        fullUrl: READING_URL,
        resource: { ...heartRate(), subject: { reference: PATIENT_URL }, device: { reference: DEVICE_URL } },
        request: { method: 'POST', url: 'Observation', ifNoneExist: 'identifier=https://a.example|s-1' },
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, bundle-example: a page of a search, matches and what they include. */
export function searchset() {
  return {
    resourceType: 'Bundle',
    id: 'bundle-example',
    meta: { lastUpdated: '2014-08-18T01:43:30Z' },
    type: 'searchset',
    total: 3,
    link: [
      { relation: 'self', url: `${BASE}/Observation?patient=347&_include=Observation.device` },
      { relation: 'next', url: `${BASE}/Observation?patient=347&searchId=ff15fd40&page=2` },
    ],
    entry: [
      {
        fullUrl: `${BASE}/Observation/heart-rate`,
        resource: heartRate(),
        search: { mode: 'match', score: 1 },
      },
      {
        fullUrl: `${BASE}/Device/d-1`,
        resource: { resourceType: 'Device', id: 'd-1' },
        search: { mode: 'include' },
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, bundle-response of a history: each version with its request and response. */
export function history() {
  const url = `${BASE}/Patient/pat4`
  return {
    resourceType: 'Bundle',
    type: 'history',
    total: 2,
    link: [{ relation: 'self', url: `${BASE}/Patient/pat4/_history` }],
    entry: [
      {
        fullUrl: url,
        resource: { ...named('Second', 'pat4'), meta: { versionId: '2' } },
        request: { method: 'PUT', url: 'Patient/pat4' },
        response: { status: '200', lastModified: '2014-08-20T11:05:34Z' },
      },
      {
        fullUrl: url,
        resource: { ...named('First', 'pat4'), meta: { versionId: '1' } },
        request: { method: 'POST', url: 'Patient' },
        response: { status: '201', lastModified: '2014-08-18T11:05:34Z' },
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, bundle-response: what a server answers to a transaction. */
export function transactionResponse() {
  return {
    resourceType: 'Bundle',
    type: 'transaction-response',
    link: [{ relation: 'self', url: BASE }],
    entry: [
      {
        response: {
          status: '201 Created',
          location: 'Patient/12423/_history/1',
          etag: 'W/"1"',
          lastModified: '2014-08-18T01:43:33Z',
        },
      },
      {
        response: {
          status: '200 OK',
          outcome: {
            resourceType: 'OperationOutcome',
            issue: [{ severity: 'warning', code: 'not-found', details: { text: 'Nothing to delete' } }],
          },
        },
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, bundle.html and documents.html: a document begins with its Composition. */
export function document() {
  return {
    resourceType: 'Bundle',
    identifier: { system: 'urn:ietf:rfc:3986', value: 'urn:uuid:0c3151bd-0000-4eb1-a7a0-1f3d5b0c0101' },
    type: 'document',
    timestamp: '2013-05-28T22:12:21Z',
    entry: [
      {
        fullUrl: `${BASE}/Composition/c-1`,
        resource: {
          resourceType: 'Composition',
          id: 'c-1',
          status: 'final',
          type: { text: 'Home blood pressure report' },
          date: '2013-02-01T12:30:02Z',
          author: [{ reference: 'Device/phg' }],
          title: 'Home blood pressure report',
          section: [{ title: 'Readings', entry: [{ reference: 'Observation/heart-rate' }] }],
        },
      },
      { fullUrl: `${BASE}/Device/phg`, resource: { resourceType: 'Device', id: 'phg' } },
      { fullUrl: `${BASE}/Observation/heart-rate`, resource: heartRate() },
    ],
  }
}

/** Source: FHIR R4 4.0.1, messaging.html: a message begins with its MessageHeader. */
export function message() {
  return {
    resourceType: 'Bundle',
    type: 'message',
    timestamp: '2013-05-28T22:12:21Z',
    entry: [
      {
        fullUrl: 'urn:uuid:267b18ce-0000-4fd4-8ee6-3b1d7f1e0101',
        resource: {
          resourceType: 'MessageHeader',
          eventUri: 'https://events.example/new-reading',
          source: { endpoint: 'https://gateway.example/messages' },
        },
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, bundle.html, "collection": resources without a request or a response. */
export function collection() {
  return {
    resourceType: 'Bundle',
    type: 'collection',
    entry: [
      { fullUrl: `${BASE}/Observation/heart-rate`, resource: heartRate() },
      { fullUrl: `${BASE}/Patient/ada`, resource: named('Invented', 'ada') },
    ],
  }
}
