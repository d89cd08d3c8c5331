import { type CorpusCase, changes, invariant, reference, structure, whole } from '../corpus-case.ts'
import { concept } from '../examples/coded.ts'
import { patient } from '../examples/people-and-things.ts'

const P = 'Patient'
const TARGETS = 'R4 Reference target types'

export const peopleCases: readonly CorpusCase[] = [
  whole('patient', 'R4 patient-example', patient()),
  whole('patient with nothing but an id', 'R4 Patient: no element is required', {
    resourceType: 'Patient',
    id: 'p',
  }),
  ...changes('patient', patient, [
    [
      'a photo by its url',
      'R4 att-1',
      'photo',
      [{ contentType: 'image/gif', url: 'https://a.example/1.gif' }],
    ],
    ['a link to a related person', 'R4 Patient.link.other', 'link.0.other.reference', 'RelatedPerson/1'],
    ['a contact of a name alone', 'R4 pat-1', 'contact.0', { name: { text: 'A friend' } }],
    ['a contact who is an organization', 'R4 pat-1', 'contact.0', { organization: { display: 'A clinic' } }],
    ['an unknown gender', 'R4 value set administrative-gender', 'gender', 'unknown'],
    [
      'a language preferred by a flag only',
      'R4 Patient.communication.language 1..1',
      'communication.0',
      { preferred: true },
      structure(`${P}.communication[0].language`),
    ],
    [
      'a gender in one letter',
      'R4 value set administrative-gender, required',
      'gender',
      'F',
      structure(`${P}.gender`),
    ],
    [
      'a contact of a gender alone',
      'R4 pat-1',
      'contact.0',
      { gender: 'male' },
      invariant('pat-1', `${P}.contact[0]`),
    ],
    [
      'a contact of unknown gender word',
      'R4 value set administrative-gender, required',
      'contact.0.gender',
      'm',
      structure(`${P}.contact[0].gender`),
    ],
    [
      'a link without type',
      'R4 Patient.link.type 1..1',
      'link.0.type',
      undefined,
      structure(`${P}.link[0].type`),
    ],
    [
      'a link of unknown type',
      'R4 value set link-type, required',
      'link.0.type',
      'same',
      structure(`${P}.link[0].type`),
    ],
    [
      'a link to nobody',
      'R4 Patient.link.other 1..1',
      'link.0.other',
      undefined,
      structure(`${P}.link[0].other`),
    ],
    [
      'a link to a device',
      `${TARGETS}: Patient.link.other`,
      'link.0.other.reference',
      'Device/1',
      reference('reference-target', `${P}.link[0].other`),
    ],
    [
      'managed by a practitioner',
      `${TARGETS}: Patient.managingOrganization`,
      'managingOrganization.reference',
      'Practitioner/1',
      reference('reference-target', `${P}.managingOrganization`),
    ],
    [
      'a general practitioner who is a patient',
      `${TARGETS}: Patient.generalPractitioner`,
      'generalPractitioner',
      [{ reference: 'Patient/1' }],
      reference('reference-target', `${P}.generalPractitioner[0]`),
    ],
    [
      'an identifier assigned by a patient',
      `${TARGETS}: Identifier.assigner`,
      'identifier.0.assigner',
      { reference: 'Patient/1' },
      reference('reference-target', `${P}.identifier[0].assigner`),
    ],
    [
      'a photo that is data alone',
      'R4 att-1',
      'photo',
      [{ data: 'AAAA' }],
      invariant('att-1', `${P}.photo[0]`),
    ],
    [
      'an animal',
      'R4 Patient: animal was in STU3',
      'animal',
      { species: concept('https://a.example', 'dog') },
      structure(`${P}.animal`),
    ],
    ['a name as text', 'R4 Patient.name is a HumanName', 'name', ['Ada Invented'], structure(`${P}.name[0]`)],
    [
      'a contact as a list in a list',
      'R4 json.html: arrays',
      'contact',
      [[{ name: { text: 'A' } }]],
      structure(`${P}.contact[0]`),
    ],
    ['active as null', 'R4 json.html: null', 'active', null, structure(`${P}.active`)],
    [
      'a marital status as a code',
      'R4 Patient.maritalStatus is a CodeableConcept',
      'maritalStatus',
      'M',
      structure(`${P}.maritalStatus`),
    ],
  ]),
]
