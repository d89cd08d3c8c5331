import { type CorpusCase, changes, code, profile, warning } from '../corpus-case.ts'
import { ABSENT, CATEGORY, concept, INTERPRETATION, LOINC, UCUM } from '../examples/coded.ts'
import { auditEvent, provenance } from '../examples/people-and-things.ts'
import { bloodPressure, glucose } from '../examples/readings.ts'
import { codedTextCases } from './coded-texts.ts'

const O = 'Observation'
const SITE = `${O}.bodySite.coding[0]`
const SYSTEMS = 'R4 terminologies-systems.html: the URI that SHALL be used'
const wrongSystem = (at: string) => warning(code('code-system-uri', `${at}.system`))
const relativeSystem = code('coding-system', `${SITE}.system`)
const unknownCode = (at: string) => code('code-unknown', `${at}.code`)

const systems = changes('glucose', glucose, [
  ['LOINC with a slash', SYSTEMS, 'bodySite', concept('http://loinc.org/', '8361-8'), wrongSystem(SITE)],
  ['LOINC by https', SYSTEMS, 'bodySite', concept('https://loinc.org', '8361-8'), wrongSystem(SITE)],
  ['LOINC by www', SYSTEMS, 'bodySite', concept('http://www.loinc.org', '8361-8'), wrongSystem(SITE)],
  [
    'LOINC by its OID',
    SYSTEMS,
    'bodySite',
    concept('urn:oid:2.16.840.1.113883.6.1', '8361-8'),
    wrongSystem(SITE),
  ],
  [
    'SNOMED CT by https',
    SYSTEMS,
    'bodySite',
    concept('https://snomed.info/sct', '368208006'),
    wrongSystem(SITE),
  ],
  [
    'SNOMED CT by its OID',
    SYSTEMS,
    'bodySite',
    concept('urn:oid:2.16.840.1.113883.6.96', '368208006'),
    wrongSystem(SITE),
  ],
  [
    'UCUM with a slash',
    SYSTEMS,
    'valueQuantity',
    { value: 5, system: 'http://unitsofmeasure.org/', code: 'kPa' },
    wrongSystem(`${O}.value`),
  ],
  [
    'UCUM by https',
    SYSTEMS,
    'valueQuantity',
    { value: 5, system: 'https://unitsofmeasure.org', code: 'kPa' },
    wrongSystem(`${O}.value`),
  ],
  [
    'the category by its older URI',
    'R4 code system observation-category; STU3 had another',
    'category.0.coding.0',
    { system: 'http://hl7.org/fhir/observation-category', code: 'laboratory' },
    wrongSystem(`${O}.category[0].coding[0]`),
  ],
  [
    'a value set for a code system',
    'R4 terminology-module.html: value sets select codes of code systems',
    'bodySite',
    concept('http://hl7.org/fhir/ValueSet/body-site', '368208006'),
    code('code-system-uri', `${SITE}.system`),
  ],
  [
    'the name of a code system',
    'R4 datatypes.html, Coding: a system is a URI',
    'bodySite',
    concept('SNOMED', '368208006'),
    relativeSystem,
  ],
  [
    'a code system by a path',
    'R4 datatypes.html, Coding: a system is a URI',
    'bodySite',
    concept('CodeSystem/sites', 'left-arm'),
    relativeSystem,
  ],
  [
    'a code system by an OID with letters',
    'R4 datatypes.html, oid',
    'bodySite',
    concept('urn:oid:1.2.x', 'left-arm'),
    relativeSystem,
  ],
  ['a code system by its OID', 'R4 datatypes.html, oid', 'bodySite', concept('urn:oid:1.2.3', 'left-arm')],
  [
    'no code system',
    'R4 datatypes.html, Coding.system 0..1',
    'bodySite',
    { coding: [{ code: 'left-arm' }] },
    warning(relativeSystem),
  ],
])

const fixedSystems = changes('blood pressure', bloodPressure, [
  [
    'a category by its older URI',
    'R4 vital signs profile: the system of the category is fixed',
    'category.0.coding.0.system',
    'http://hl7.org/fhir/observation-category',
    profile('vitalsigns', `${O}.category`),
    wrongSystem(`${O}.category[0].coding[0]`),
  ],
  [
    'UCUM with a slash',
    'R4 blood pressure profile: the system of the unit is fixed',
    'component.0.valueQuantity.system',
    'http://unitsofmeasure.org/',
    profile('bp', `${O}.component[0].value.system`),
    wrongSystem(`${O}.component[0].value`),
  ],
])

const codes = changes('glucose', glucose, [
  [
    'an unknown category',
    'R4 code system observation-category',
    'category.0.coding.0',
    { system: CATEGORY, code: 'vitals' },
    unknownCode(`${O}.category[0].coding[0]`),
  ],
  [
    'a known category',
    'R4 code system observation-category',
    'category.0.coding.0',
    { system: CATEGORY, code: 'survey' },
  ],
  [
    'an unknown interpretation',
    'R4 code system v3-ObservationInterpretation',
    'interpretation',
    [concept(INTERPRETATION, 'HIGH')],
    unknownCode(`${O}.interpretation[0].coding[0]`),
  ],
  [
    'an interpretation in other capitals',
    'R4 code system v3-ObservationInterpretation is case sensitive',
    'interpretation',
    [concept(INTERPRETATION, 'hh')],
    unknownCode(`${O}.interpretation[0].coding[0]`),
  ],
  [
    'a known interpretation',
    'R4 code system v3-ObservationInterpretation',
    'interpretation',
    [concept(INTERPRETATION, 'HH', 'Critical high')],
  ],
  [
    'an interpretation of a local system',
    'R4 extensible binding',
    'interpretation',
    [concept('https://a.example/flags', 'urgent')],
  ],
  [
    'another display of a category',
    'R4 Coding.display',
    'category.0.coding.0',
    { system: CATEGORY, code: 'laboratory', display: 'Vital Signs' },
    warning(code('display', `${O}.category[0].coding[0].display`)),
  ],
])

const reasons = changes('blood pressure', bloodPressure, [
  [
    'NaN as a reason',
    'R4 code system data-absent-reason: not-a-number',
    'component.1.dataAbsentReason',
    concept(ABSENT, 'NaN'),
    unknownCode(`${O}.component[1].dataAbsentReason.coding[0]`),
  ],
  [
    'a reason',
    'R4 code system data-absent-reason',
    'component.1.dataAbsentReason',
    concept(ABSENT, 'not-a-number'),
  ],
  [
    'the display of another LOINC code',
    'LOINC 8480-6',
    'component.0.code.coding.0',
    { system: LOINC, code: '8480-6', display: 'Diastolic blood pressure' },
    warning(code('display', `${O}.component[0].code.coding[0].display`)),
  ],
  [
    'a unit in other words',
    'R4 Quantity.unit is free',
    'component.0.valueQuantity',
    { value: 107, unit: 'millimetres of mercury', system: UCUM, code: 'mm[Hg]' },
  ],
])

const elsewhere = [
  ...changes('provenance', provenance, [
    [
      'an unknown kind of agent',
      'R4 code system provenance-participant-type',
      'agent.0.type.coding.0.code',
      'writer',
      unknownCode('Provenance.agent[0].type.coding[0]'),
    ],
  ]),
  ...changes('audit event', auditEvent, [
    [
      'an unknown type',
      'R4 code system audit-event-type',
      'type.code',
      'reading',
      unknownCode('AuditEvent.type'),
    ],
  ]),
]

export const codeSystemCases: readonly CorpusCase[] = [
  ...systems,
  ...fixedSystems,
  ...codes,
  ...reasons,
  ...elsewhere,
  ...codedTextCases,
]
