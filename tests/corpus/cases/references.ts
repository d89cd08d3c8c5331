import {
  type CorpusCase,
  changes,
  invariant,
  profile,
  reference,
  structure,
  warning,
  whole,
} from '../corpus-case.ts'
import { searchset, upload } from '../examples/bundles.ts'
import { glucose } from '../examples/readings.ts'

const entry = (i: number) => `Bundle.entry[${i}]`
const TARGETS = 'R4 Reference target types'
const RESOLVING = 'R4 bundle.html, Resolving references in Bundles'

const DANGLING = 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6bff'
const resolving = changes('upload', upload, [
  [
    'a patient found by a search',
    'R4 http.html, conditional references',
    'entry.2.resource.subject.reference',
    'Patient?identifier=https://clinic.example/ids|77',
  ],
  [
    'a patient found by an identifier that tells of a count',
    'R4 http.html, conditional references: only filtering parameters',
    'entry.2.resource.subject.reference',
    'Patient?identifier=https://clinic.example/ids|_count=1&active=true',
  ],
  [
    'the first patient found by a search',
    'R4 http.html, conditional references: only filtering parameters',
    'entry.2.resource.subject.reference',
    'Patient?identifier=https://clinic.example/ids|77&_count=1',
    reference('reference', `${entry(2)}.resource.subject`),
  ],
  [
    'a patient found by a search that brings more along',
    'R4 http.html, conditional references: only filtering parameters',
    'entry.2.resource.subject.reference',
    'Patient?_revinclude:iterate=Observation:subject&identifier=77',
    reference('reference', `${entry(2)}.resource.subject`),
  ],
  ['a patient on the server', RESOLVING, 'entry.2.resource.subject.reference', 'Patient/77'],
  [
    'a patient on another server',
    RESOLVING,
    'entry.2.resource.subject.reference',
    'https://other.example/fhir/Patient/77',
  ],
  [
    'a patient no entry has',
    RESOLVING,
    'entry.2.resource.subject.reference',
    DANGLING,
    reference('reference', `${entry(2)}.resource.subject`),
  ],
  [
    'an OID no entry has',
    RESOLVING,
    'entry.2.resource.device.reference',
    'urn:oid:1.2.3.4',
    reference('reference', `${entry(2)}.resource.device`),
  ],
  [
    'a member no entry has',
    RESOLVING,
    'entry.2.resource.hasMember',
    [{ reference: DANGLING }],
    reference('reference', `${entry(2)}.resource.hasMember[0]`),
  ],
  [
    'a subject that resolves to the device',
    'R4 profile vitalsigns: subject Reference(Patient), resolved',
    'entry.2.resource.subject.reference',
    upload().entry[1]?.fullUrl,
    profile('vitalsigns', `${entry(2)}.resource.subject`),
  ],
])

const batch = () => ({ ...upload(), type: 'batch' })
const apart = () => ({ ...batch(), entry: batch().entry.slice(0, 2) })
const inBatch = changes('batch', apart, [
  ['independent entries', 'R4 http.html, batch', 'id', 'b-1'],
  [
    'an entry that refers to another',
    'R4 http.html, batch: entries do not refer to each other',
    'entry.1.resource.patient',
    { reference: upload().entry[0]?.fullUrl },
    reference('reference', `${entry(1)}.resource.patient`),
  ],
  [
    'a search in place of a reference',
    'R4 http.html, conditional references: transactions only',
    'entry.1.resource.patient',
    { reference: 'Patient?identifier=a|b' },
    reference('reference', `${entry(1)}.resource.patient`),
  ],
])

const inSearchset = changes('searchset', searchset, [
  [
    'a search in place of a reference',
    'R4 http.html, conditional references: transactions only',
    'entry.0.resource.subject.reference',
    'Patient?identifier=a|b',
    reference('reference', `${entry(0)}.resource.subject`),
  ],
  [
    'a urn that is not in it',
    'R4 references.html: a reference need not be resolvable; the HL7 validator warns outside transactions and documents',
    'entry.0.resource.subject.reference',
    DANGLING,
    warning(reference('reference', `${entry(0)}.resource.subject`)),
  ],
  [
    'a fullUrl that is no RESTful URL',
    'R4 Bundle.entry.fullUrl: an absolute URL need not end in the id',
    'entry.1.fullUrl',
    'http://www.example.org/device-entry',
  ],
  [
    'a fullUrl with a query',
    'R4 Bundle.entry.fullUrl: an absolute URL need not end in the id',
    'entry.1.fullUrl',
    'https://example.org/resource?id=7',
  ],
])

const R = 'Observation'
const forms = changes('glucose', glucose, [
  ['a version', 'R4 references.html', 'subject.reference', 'Patient/ada/_history/3'],
  ['a display only', 'R4 references.html', 'subject', { display: 'Ada' }],
  [
    'an identifier only',
    'R4 references.html',
    'subject',
    { type: 'Patient', identifier: { system: 'https://a.example', value: '1' } },
  ],
  ['any type as focus', `${TARGETS}: Any`, 'focus', [{ reference: 'Goal/1' }]],
  ['a reference as text', 'R4 json.html: objects', 'subject', 'Patient/ada', structure(`${R}.subject`)],
  ['an empty reference', 'R4 ele-1', 'subject', {}, invariant('ele-1', `${R}.subject`)],
  [
    'a reference that is empty text',
    'R4 json.html: strings are never empty',
    'subject.reference',
    '',
    structure(`${R}.subject.reference`),
  ],
  [
    'a practitioner as subject',
    `${TARGETS}: Observation.subject`,
    'subject.reference',
    'Practitioner/1',
    reference('reference-target', `${R}.subject`),
  ],
  [
    'a patient as device',
    `${TARGETS}: Observation.device`,
    'device',
    { reference: 'Patient/1' },
    reference('reference-target', `${R}.device`),
  ],
  [
    'a device as performer',
    `${TARGETS}: Observation.performer`,
    'performer.0.reference',
    'https://a.example/fhir/Device/1',
    reference('reference-target', `${R}.performer[0]`),
  ],
  [
    'a patient as encounter',
    `${TARGETS}: Observation.encounter`,
    'encounter',
    { type: 'Patient', display: 'x' },
    reference('reference-target', `${R}.encounter`),
  ],
  [
    'a patient as specimen',
    `${TARGETS}: Observation.specimen`,
    'specimen',
    { reference: 'Patient/ada' },
    reference('reference-target', `${R}.specimen`),
  ],
  [
    'a patient as member',
    `${TARGETS}: Observation.hasMember`,
    'hasMember',
    [{ reference: 'Observation/1' }, { reference: 'Patient/1' }],
    reference('reference-target', `${R}.hasMember[1]`),
  ],
  [
    'derived from a device',
    `${TARGETS}: Observation.derivedFrom`,
    'derivedFrom',
    [{ reference: 'Device/1' }],
    reference('reference-target', `${R}.derivedFrom[0]`),
  ],
])

export const referenceCases: readonly CorpusCase[] = [
  whole('batch of independent entries', 'R4 http.html, batch', apart()),
  ...resolving,
  ...inBatch,
  ...inSearchset,
  ...forms,
]
