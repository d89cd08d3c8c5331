import {
  type CorpusCase,
  changes,
  information,
  invariant,
  profile,
  reference,
  whole,
} from '../corpus-case.ts'
import { concept, loinc, mmHg, R4_PROFILE } from '../examples/coded.ts'
import { patient } from '../examples/people-and-things.ts'
import { bloodPressure, glucose, heartRate, vitalsPanel } from '../examples/readings.ts'

const BASE = 'https://clinic.example/fhir'
const AT = 'Bundle.entry[0].resource'
const VITALS = 'R4 profile vitalsigns'
const RELATIVE = 'R4 bundle.html, relative references resolve by the base of the fullUrl'

const entryOf = (resource: { resourceType: string; id: string }) => ({
  fullUrl: `${BASE}/${resource.resourceType}/${resource.id}`,
  resource,
})
const panel = (...others: { resourceType: string; id: string }[]) => ({
  resourceType: 'Bundle',
  type: 'collection',
  entry: [entryOf(vitalsPanel()), ...others.map(entryOf)],
})
const device = { resourceType: 'Device', id: 'd-1' }

const practitioner = { resourceType: 'Practitioner', id: 'grace', name: [{ family: 'Invented' }] }
const named = information({ code: 'NOT_SUPPORTED', at: 'Bundle.entry[1].resource', severity: 'information' })

export const withinBundleCases: readonly CorpusCase[] = [
  whole('a panel and its member', RELATIVE, panel(heartRate())),
  whole('a panel and a practitioner', 'what is not judged is said', panel(practitioner), named),
  whole('a batch response', 'R4 bdl-4', {
    resourceType: 'Bundle',
    type: 'batch-response',
    entry: [{ response: { status: '404 Not Found' } }],
  }),
  ...changes('a panel and a laboratory result', () => panel(glucose()), [
    ['that is no member', RELATIVE, 'entry.0.resource.hasMember', [{ reference: 'Observation/elsewhere' }]],
    [
      'that is its member',
      `${VITALS}: hasMember Reference(vitalsigns), resolved`,
      'entry.0.resource.hasMember',
      [{ reference: 'Observation/f001' }],
      profile('vitalsigns', `${AT}.hasMember[0]`),
    ],
    [
      'that it is derived from',
      `${VITALS}: derivedFrom Reference(vitalsigns), resolved`,
      'entry.0.resource.derivedFrom',
      [{ reference: `${BASE}/Observation/f001` }],
      profile('vitalsigns', `${AT}.derivedFrom[0]`),
    ],
  ]),
  ...changes('a panel and a device', () => panel(device), [
    ['that measured', 'R4 Observation.device', 'entry.0.resource.device', { reference: 'Device/d-1' }],
    [
      'that performed',
      'R4 Reference target types',
      'entry.0.resource.performer',
      [{ reference: 'Device/d-1' }],
      reference('reference-target', `${AT}.performer[0]`),
    ],
  ]),
  ...changes('a panel and a patient', () => panel(patient()), [
    ['who is the subject', RELATIVE, 'entry.0.resource.subject.reference', `${BASE}/Patient/ada`],
    [
      'as its member',
      'R4 Reference target types',
      'entry.0.resource.hasMember',
      [{ reference: 'Patient/ada' }],
      reference('reference-target', `${AT}.hasMember[0]`),
    ],
  ]),
  ...changes('blood pressure', bloodPressure, [
    [
      'a range of nothing in a component',
      'R4 obs-3 on Observation.component.referenceRange',
      'component.0.referenceRange',
      [{ type: { text: 'normal' } }],
      invariant('obs-3', 'Observation.component[0].referenceRange[0]'),
    ],
    [
      'a body position as text in its extension',
      'R4 extension observation-bodyPosition: value[x] CodeableConcept',
      'extension',
      [{ url: `${R4_PROFILE}observation-bodyPosition`, valueString: 'sitting' }],
      profile('observation-bodyPosition', 'Observation.extension[0].value'),
    ],
    [
      'a systolic with another code beside',
      'R4 profile bp: open slicing of code.coding',
      'component.0.code.coding.1',
      concept('https://a.example/codes', 'sys').coding[0],
    ],
    [
      'mean arterial pressure in place of diastolic',
      'R4 profile bp: DiastolicBP 1..1',
      'component.1',
      { code: loinc('8478-0'), valueQuantity: mmHg(76) },
      profile('bp', 'Observation.component'),
    ],
  ]),
]
