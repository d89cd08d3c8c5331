import { type CorpusCase, changes, invariant, structure } from '../corpus-case.ts'
import { patient } from '../examples/people-and-things.ts'
import { glucose } from '../examples/readings.ts'

const O = 'Observation'
const P = 'Patient'
const EXT = `${O}.extension[0].value`
const extension = (value: object) => [{ url: 'https://a.example/x', ...value }]
const general = changes('glucose', glucose, [
  [
    'a dosage',
    'R4 Dosage',
    'extension',
    extension({ valueDosage: { text: 'one a day', asNeededBoolean: true } }),
  ],
  [
    'a contributor without name',
    'R4 Contributor.name 1..1',
    'extension',
    extension({ valueContributor: { type: 'author' } }),
    structure(`${EXT}.name`),
  ],
  [
    'a related artifact without type',
    'R4 RelatedArtifact.type 1..1',
    'extension',
    extension({ valueRelatedArtifact: { label: '1' } }),
    structure(`${EXT}.type`),
  ],
  [
    'a usage context without value',
    'R4 UsageContext.value[x] 1..1',
    'extension',
    extension({ valueUsageContext: { code: { code: 'age' } } }),
    structure(`${EXT}.value`),
  ],
  [
    'a parameter of unknown use',
    'R4 value set operation-parameter-use, required',
    'extension',
    extension({ valueParameterDefinition: { use: 'both', type: 'string' } }),
    structure(`${EXT}.use`),
  ],
  [
    'an attachment',
    'R4 att-1',
    'extension',
    extension({ valueAttachment: { contentType: 'image/png', data: 'AAAA', size: 3 } }),
  ],
  [
    'data without content type',
    'R4 att-1',
    'extension',
    extension({ valueAttachment: { data: 'AAAA' } }),
    invariant('att-1', EXT),
  ],
  [
    'a url without content type',
    'R4 att-1',
    'extension',
    extension({ valueAttachment: { url: 'https://a.example/1' } }),
  ],
  [
    'an attachment of negative size',
    'R4 unsignedInt',
    'extension',
    extension({ valueAttachment: { contentType: 'image/png', size: -3 } }),
    structure(`${EXT}.size`),
  ],
  [
    'a signature of no type',
    'R4 Signature.type 1..*',
    'extension',
    extension({ valueSignature: { when: '2026-03-02T06:41:00Z', who: { display: 'A' } } }),
    structure(`${EXT}.type`),
  ],
  ['a note with its time', 'R4 Annotation.time', 'note', [{ text: 'Seated', time: '2013-04-02' }]],
  [
    'a note without text',
    'R4 Annotation.text 1..1',
    'note',
    [{ time: '2013-04-02' }],
    structure(`${O}.note[0].text`),
  ],
  ['a coding chosen by the user', 'R4 Coding.userSelected', 'code.coding.0.userSelected', true],
  [
    'a coding chosen by the user, as text',
    'R4 json.html: booleans',
    'code.coding.0.userSelected',
    'true',
    structure(`${O}.code.coding[0].userSelected`),
  ],
  [
    'a coding that is no list',
    'R4 json.html: repeating elements are arrays',
    'code.coding',
    { code: 'a' },
    structure(`${O}.code.coding`),
  ],
  [
    'a modifier extension on a data type',
    'R4 CodeableConcept is no BackboneElement',
    'code.modifierExtension',
    extension({ valueCode: 'c' }),
    structure(`${O}.code.modifierExtension`),
  ],
  [
    'a tag',
    'R4 Meta.tag',
    'meta',
    { tag: [{ system: 'https://a.example/tags', code: 'demo' }], source: 'https://a.example/source' },
  ],
])

const ofPeople = changes('patient', patient, [
  [
    'a contact point without system',
    'R4 cpt-2',
    'telecom.1.system',
    undefined,
    invariant('cpt-2', `${P}.telecom[1]`),
  ],
  [
    'a contact point of unknown system',
    'R4 value set contact-point-system, required',
    'telecom.1.system',
    'mobile',
    structure(`${P}.telecom[1].system`),
  ],
  [
    'a contact point of unknown use',
    'R4 value set contact-point-use, required',
    'telecom.1.use',
    'private',
    structure(`${P}.telecom[1].use`),
  ],
  [
    'a name of unknown use',
    'R4 value set name-use, required',
    'name.0.use',
    'legal',
    structure(`${P}.name[0].use`),
  ],
  [
    'an address of unknown use',
    'R4 value set address-use, required',
    'address.0.use',
    'holiday',
    structure(`${P}.address[0].use`),
  ],
  [
    'an address of unknown type',
    'R4 value set address-type, required',
    'address.0.type',
    'visible',
    structure(`${P}.address[0].type`),
  ],
  [
    'an identifier of unknown use',
    'R4 value set identifier-use, required',
    'identifier.0.use',
    'primary',
    structure(`${P}.identifier[0].use`),
  ],
  [
    'an identifier as text',
    'R4 json.html: objects',
    'identifier.0',
    '12345',
    structure(`${P}.identifier[0]`),
  ],
  [
    'a name period turned round',
    'R4 per-1',
    'name.1.period',
    { start: '2003', end: '2002' },
    invariant('per-1', `${P}.name[1].period`),
  ],
])

export const dataTypeCases: readonly CorpusCase[] = [...general, ...ofPeople]
