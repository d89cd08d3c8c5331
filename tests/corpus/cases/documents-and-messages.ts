import { type CorpusCase, changes, invariant, reference, warning, whole } from '../corpus-case.ts'
import { document, message } from '../examples/bundles.ts'
import { heartRate } from '../examples/readings.ts'

const B = 'Bundle'
const entry = (i: number) => `${B}.entry[${i}]`

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
    'an author of a wrong type, once',
    'R4 Reference target types',
    'entry.0.resource.author.0.reference',
    'Observation/elsewhere',
    reference('reference-target', `${COMPOSITION}.author[0]`),
  ],
  [
    'a subject of a type R4 does not have, once',
    'R4 references.html 2.3.0.1, literal references',
    'entry.0.resource.subject',
    { reference: 'Foo/1' },
    reference('reference-target', `${COMPOSITION}.subject`),
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

export const documentAndMessageCases: readonly CorpusCase[] = [
  whole('document', 'R4 documents.html', document()),
  whole('message', 'R4 messaging.html', message()),
  ...ofDocument,
  ...inDocument,
  ...ofMessage,
]
