import { type CorpusCase, changes, invariant, reference, structure, whole } from '../corpus-case.ts'
import { glucose } from '../examples/readings.ts'

const O = 'Observation'
const INNER = `${O}.contained[0]`

const device = (more: object = {}) => ({ resourceType: 'Device', id: 'd1', ...more })
const containing = (...contained: object[]) => ({ ...glucose(), contained, device: { reference: '#d1' } })
const plain = () => containing(device())

const ofContained = changes('observation with its device', plain, [
  ['the device points back', 'R4 dom-3', 'contained.0.parent', { reference: '#' }],
  ['nothing points to it', 'R4 dom-3', 'device.reference', 'Device/d1', invariant('dom-3', INNER)],
  [
    'the id after # is another',
    'R4 ref-1; dom-3',
    'device.reference',
    '#d2',
    invariant('ref-1', `${O}.device`),
    invariant('dom-3', INNER),
  ],
  [
    'one contained, another meant',
    'R4 ref-1',
    'performer.0.reference',
    '#p9',
    invariant('ref-1', `${O}.performer[0]`),
  ],
  ['a version id', 'R4 dom-4', 'contained.0.meta', { versionId: '1' }, invariant('dom-4', `${INNER}.meta`)],
  [
    'a last update',
    'R4 dom-4',
    'contained.0.meta',
    { lastUpdated: '2013-04-03T15:30:10Z' },
    invariant('dom-4', `${INNER}.meta`),
  ],
  [
    'a security label',
    'R4 dom-5',
    'contained.0.meta',
    { security: [{ code: 'R' }] },
    invariant('dom-5', `${INNER}.meta.security`),
  ],
  [
    'a profile',
    'R4 dom-4 spares it',
    'contained.0.meta',
    { profile: ['https://a.example/StructureDefinition/x'] },
  ],
  ['an unknown element', 'R4 Device', 'contained.0.colour', 'red', structure(`${INNER}.colour`)],
  [
    'a name without its type',
    'R4 Device.deviceName.type 1..1',
    'contained.0.deviceName',
    [{ name: 'Cuff' }],
    structure(`${INNER}.deviceName[0].type`),
  ],
  [
    'an empty list',
    'R4 json.html: arrays are never empty',
    'contained',
    [],
    structure(`${O}.contained`),
    invariant('ref-1', `${O}.device`),
  ],
  [
    'one resource within the contained one',
    'R4 dom-2',
    'contained.0.contained',
    [
      {
        resourceType: 'Patient',
        id: 'p1',
        active: true,
        link: [{ other: { reference: '#' }, type: 'seealso' }],
      },
    ],
    invariant('dom-2', `${INNER}.contained`),
  ],
  [
    'two of one id',
    'R4 references.html, contained resources: ids are unique within the resource',
    'contained.1',
    device({ distinctIdentifier: 'another' }),
    reference('contained-id', `${O}.contained[1].id`),
  ],
  ['a text in its place', 'R4 json.html: objects', 'contained.1', 'a device', structure(`${O}.contained[1]`)],
])

const organization = { resourceType: 'Organization', id: 'o1', name: 'An invented clinic' }
const otherTypes = changes(
  'observation with its organization',
  () => ({ ...glucose(), contained: [organization], performer: [{ reference: '#o1' }] }),
  [
    ['as a list of addresses', 'R4 Organization.address', 'contained.0.address', [{ city: 'Nowhere' }]],
    ['an unknown element', 'R4 Organization', 'contained.0.colour', 'red', structure(`${INNER}.colour`)],
    ['a name as a list', 'R4 Organization.name 0..1', 'contained.0.name', ['A'], structure(`${INNER}.name`)],
  ],
)

const throughExtension = {
  ...glucose(),
  contained: [device()],

  extension: [{ url: 'https://a.example/monitor', valueReference: { reference: '#d1' } }],
}
const twoLinked = {
  ...glucose(),
  contained: [device({ owner: { reference: '#o1' } }), organization],
  device: { reference: '#d1' },
}

export const containedCases: readonly CorpusCase[] = [
  whole('observation with its device', 'R4 references.html, contained resources', plain()),
  whole('contained and pointed to in an extension', 'R4 dom-3: %resource.descendants()', throughExtension),
  whole('one contained resource points to another', 'R4 ref-1: %rootResource.contained', twoLinked),
  whole('observation with its organization', 'R4 DomainResource.contained: any resource', {
    ...glucose(),
    contained: [organization],
    performer: [{ reference: '#o1' }],
  }),
  ...ofContained,
  ...otherTypes,
]
