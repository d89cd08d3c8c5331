import { type CorpusCase, changes, reference, structure, warning } from '../corpus-case.ts'
import { searchset, upload } from '../examples/bundles.ts'
import { R4_PROFILE } from '../examples/coded.ts'
import { glucose } from '../examples/readings.ts'

const R = 'Observation'
const entry = (i: number) => `Bundle.entry[${i}]`
const LITERAL = 'R4 references.html 2.3.0.1, literal references'
const TYPE = 'R4 Reference.type: the type of the target, one that its element names'
const noType = (at: string) => reference('reference-target', at)
const form = (at: string) => reference('reference-form', at)
const texts = changes('glucose', glucose, [
  ['a type R4 does not have', LITERAL, 'subject.reference', 'Foo/1', noType(`${R}.subject`)],
  ['a type in lower case', LITERAL, 'performer.0.reference', 'organization/1', noType(`${R}.performer[0]`)],
  [
    'a type R4 does not have where any is right',
    `${LITERAL}; Reference(Any)`,
    'focus',
    [{ reference: 'Foo/1/_history/2' }],
    noType(`${R}.focus[0]`),
  ],
  [
    'a search for a type R4 does not have',
    'R4 http.html, conditional references',
    'subject.reference',
    'Foo?identifier=a|b',
    noType(`${R}.subject`),
  ],
  ['an id alone', LITERAL, 'subject.reference', '1', warning(form(`${R}.subject`))],
  ['a type alone', LITERAL, 'subject.reference', 'Patient', warning(form(`${R}.subject`))],
  ['a type and a question mark', LITERAL, 'subject.reference', 'Patient?', warning(form(`${R}.subject`))],
  [
    'an id with an underline',
    'R4 id',
    'performer.0.reference',
    'Organization/a_b',
    warning(form(`${R}.performer[0]`)),
  ],
  [
    'a history without version',
    LITERAL,
    'performer.0.reference',
    'Practitioner/1/_history',
    warning(form(`${R}.performer[0]`)),
  ],
  ['a slash in front', LITERAL, 'subject.reference', '/Patient/1', warning(form(`${R}.subject`))],
  [
    'a search for a type R4 does have',
    'R4 http.html, conditional references',
    'subject.reference',
    'Patient?identifier=a|b',
  ],
  [
    'an absolute URL that is not RESTful',
    'R4 references.html: not all servers are RESTful',
    'subject.reference',
    'https://a.example/people?nr=1',
  ],
  ['a urn with no UUID', 'R4 uuid', 'subject.reference', 'urn:uuid:ada', form(`${R}.subject`)],
  ['a urn with no OID', 'R4 oid', 'subject.reference', 'urn:oid:1', form(`${R}.subject`)],
  ['a urn with a UUID', 'R4 uuid', 'subject.reference', 'urn:uuid:2f6a4a52-0000-4d38-a9a5-0f1f6c3e6b01'],
  [
    'a type that contradicts the URL',
    'R4 references.html: Reference.type agrees with the literal reference',
    'subject',
    { reference: 'Patient/ada', type: 'Group' },
    reference('reference-type', `${R}.subject.type`),
  ],
  [
    'a type R4 does not have, beside an identifier',
    TYPE,
    'subject',
    { type: 'Foo', identifier: { value: '1' } },
    noType(`${R}.subject`),
  ],
  [
    'a type R4 does not have, beside a literal reference',
    TYPE,
    'subject',
    { type: 'Foo', reference: 'Patient/ada' },
    reference('reference-type', `${R}.subject.type`),
  ],
  [
    'a logical model where only resources are right',
    TYPE,
    'subject',
    { type: 'https://a.example/StructureDefinition/person', display: 'Ada' },
    noType(`${R}.subject`),
  ],
  [
    'a logical model where anything is right',
    TYPE,
    'focus',
    [{ type: 'https://a.example/StructureDefinition/limb', display: 'Left arm' }],
  ],
  ['its type by its whole URL', TYPE, 'subject', { type: `${R4_PROFILE}Patient`, reference: 'Patient/ada' }],
  ['a type that is empty', 'R4 uri', 'subject', { type: '', display: 'Ada' }, structure(`${R}.subject.type`)],
])
const textsInBundle = changes('upload', upload, [
  [
    'a urn with no UUID, once',
    'R4 uuid',
    'entry.2.resource.subject.reference',
    'urn:uuid:ada',
    form(`${entry(2)}.resource.subject`),
  ],
  [
    'a type R4 does not have, once',
    TYPE,
    'entry.2.resource.subject.type',
    'Foo',
    noType(`${entry(2)}.resource.subject`),
  ],
])
const textsInSearchset = changes('searchset', searchset, [
  [
    'a search for a type R4 does not have, once',
    'R4 http.html, conditional references',
    'entry.0.resource.subject.reference',
    'Foo?identifier=a|b',
    noType(`${entry(0)}.resource.subject`),
  ],
  [
    'a type that contradicts the URL',
    'R4 references.html: Reference.type agrees with the literal reference',
    'entry.0.resource.subject.type',
    'Group',
    reference('reference-type', `${entry(0)}.resource.subject.type`),
  ],
])

export const referenceTextCases: readonly CorpusCase[] = [...texts, ...textsInBundle, ...textsInSearchset]
