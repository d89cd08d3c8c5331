import {
  type CorpusCase,
  changes,
  type ExpectedIssue,
  fatal,
  invariant,
  structure,
  whole,
} from '../corpus-case.ts'
import { glucose } from '../examples/readings.ts'

const holding = (resource: object) => ({
  resourceType: 'Bundle',
  type: 'collection',
  entry: [{ resource: glucose() }, { resource }],
})
const AT = 'Bundle.entry[1].resource'

const practitioner = () =>
  holding({ resourceType: 'Practitioner', id: 'grace', name: [{ family: 'Invented' }], gender: 'female' })
const organization = () => holding({ resourceType: 'Organization', name: 'An invented clinic', active: true })
const encounter = () =>
  holding({
    resourceType: 'Encounter',
    status: 'finished',
    class: { system: 'http://terminology.hl7.org/CodeSystem/v3-ActCode', code: 'HH' },
  })
const medication = () =>
  holding({
    resourceType: 'MedicationRequest',
    status: 'active',
    intent: 'order',
    medicationCodeableConcept: { text: 'An invented tablet' },
    subject: { reference: 'Patient/ada' },
  })

const parameters = () => ({
  resourceType: 'Parameters',
  parameter: [
    { name: 'operation', part: [{ name: 'path', valueString: 'Patient.active' }] },
    { name: 'resource', resource: glucose() },
  ],
})
const one = (i: number) => `Parameters.parameter[${i}]`

const refused = (type: unknown, ...verdict: readonly ExpectedIssue[]) =>
  whole(
    `a resource of type ${JSON.stringify(type)}`,
    'R4 resourcelist.html',
    { resourceType: type },
    ...verdict,
  )

/** Types the gateway does not speak: R4's structure decides, and that the rest was not judged is said as information. */
export const otherTypeCases: readonly CorpusCase[] = [
  whole('a practitioner in a bundle', 'R4 practitioner-example', practitioner()),
  whole('an organization in a bundle', 'R4 organization-example', organization()),
  whole('an encounter in a bundle', 'R4 encounter-example', encounter()),
  whole('a medication request in a bundle', 'R4 bundle-example', medication()),
  whole('parameters', 'R4 fhirpatch.html', parameters()),
  ...changes('parameters', parameters, [
    ['a parameter of nothing', 'R4 inv-1', 'parameter.2', { name: 'a' }, invariant('inv-1', one(2))],
    [
      'a part of nothing',
      'R4 inv-1 on Parameters.parameter.part',
      'parameter.0.part.1',
      { name: 'a' },
      invariant('inv-1', `${one(0)}.part[1]`),
    ],
    ['value and parts', 'R4 inv-1', 'parameter.0.valueCode', 'delete', invariant('inv-1', one(0))],
    ['value and resource', 'R4 inv-1', 'parameter.1.valueString', 'a', invariant('inv-1', one(1))],
    [
      'resource and parts',
      'R4 inv-1',
      'parameter.1.part',
      [{ name: 'a', valueCode: 'b' }],
      invariant('inv-1', one(1)),
    ],
    [
      'two values',
      'R4 formats.html, choice of data types',
      'parameter.0.part.0.valueCode',
      'a',
      structure(`${one(0)}.part[0].value`),
    ],
    [
      'no name',
      'R4 Parameters.parameter.name 1..1',
      'parameter.1.name',
      undefined,
      structure(`${one(1)}.name`),
    ],
    [
      'a resource that breaks the structure',
      'R4 observation-status',
      'parameter.1.resource.status',
      'done',
      structure(`${one(1)}.resource.status`),
    ],
  ]),
  ...changes('a practitioner in a bundle', practitioner, [
    [
      'a name that is no list',
      'R4 Practitioner.name 0..*',
      'entry.1.resource.name',
      { family: 'A' },
      structure(`${AT}.name`),
    ],
    [
      'an unknown gender',
      'R4 value set administrative-gender, required',
      'entry.1.resource.gender',
      'f',
      structure(`${AT}.gender`),
    ],
    [
      'an unknown element',
      'R4 Practitioner',
      'entry.1.resource.speciality',
      'heart',
      structure(`${AT}.speciality`),
    ],
    [
      'a birth date of no calendar',
      'R4 date',
      'entry.1.resource.birthDate',
      '1974-02-30',
      structure(`${AT}.birthDate`),
    ],
  ]),
  ...changes('an encounter in a bundle', encounter, [
    ['no class', 'R4 Encounter.class 1..1', 'entry.1.resource.class', undefined, structure(`${AT}.class`)],
    [
      'no status',
      'R4 Encounter.status 1..1',
      'entry.1.resource.status',
      undefined,
      structure(`${AT}.status`),
    ],
  ]),
  ...changes('a medication request in a bundle', medication, [
    [
      'no intent',
      'R4 MedicationRequest.intent 1..1',
      'entry.1.resource.intent',
      undefined,
      structure(`${AT}.intent`),
    ],
    [
      'no medication',
      'R4 MedicationRequest.medication[x] 1..1',
      'entry.1.resource.medicationCodeableConcept',
      undefined,
      structure(`${AT}.medication`),
    ],
    [
      'a medication of two types',
      'R4 formats.html, choice of data types',
      'entry.1.resource.medicationReference',
      { display: 'A' },
      structure(`${AT}.medication`),
    ],
  ]),
  ...changes('an organization in a bundle', organization, [
    ['active as text', 'R4 json.html: booleans', 'entry.1.resource.active', 'yes', structure(`${AT}.active`)],
    [
      'an empty list of contacts',
      'R4 json.html: arrays are never empty',
      'entry.1.resource.contact',
      [],
      structure(`${AT}.contact`),
    ],
  ]),
  refused('Observations', fatal('NOT_SUPPORTED', 'resourceType')),
  refused('observation', fatal('NOT_SUPPORTED', 'resourceType')),
  refused('__proto__', fatal('NOT_SUPPORTED', 'resourceType')),
  refused('constructor', fatal('NOT_SUPPORTED', 'resourceType')),
  refused(5, fatal('NOT_SUPPORTED', 'resourceType')),
]
