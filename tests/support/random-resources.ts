import fc, { type Arbitrary } from 'fast-check'

/**
 * Random elements and resources of the right types in odd combinations: every element may be absent, and the values
 * come from small pools, so that each invariant is met both ways. They are not meant to be valid.
 */

const UCUM = 'http://unitsofmeasure.org'

/** Each member is there in half of the cases. */
const some = (members: Record<string, Arbitrary<unknown>>): Arbitrary<object> => {
  const maybe = Object.entries(members).map(([name, member]) =>
    fc.option(
      member.map((value): [string, unknown] => [name, value]),
      { freq: 2 },
    ),
  )
  return fc.tuple(...maybe).map((present) => Object.fromEntries(present.filter((pair) => pair !== null)))
}
const of = fc.constantFrom
const listOf = (item: Arbitrary<unknown>) => fc.array(item, { minLength: 1, maxLength: 2 })
const extended = fc.constant({ extension: [{ url: 'http://example.org/why', valueCode: 'unknown' }] })

const quantity = some({
  value: of(-1, 0, 1, 2.5, 120),
  unit: of('mmHg', 'a'),
  system: of(UCUM, 'http://example.org/units'),
  code: of('mm[Hg]', '1', 'a'),
  _code: extended,
  id: of('q1'),
})

/** Only whole quantities with one unit: an order between others is not defined. */
const comparable = fc.record({
  value: of(1, 2, 3.5),
  system: of(UCUM),
  code: of('mm[Hg]'),
})

const moment = of(
  '2026',
  '2026-03',
  '2026-03-02',
  '2026-03-03',
  '2027-01-01',
  '2026-03-02T06:41:00-07:00',
  '2026-03-02T13:41:00Z',
  '2026-03-02T06:41:00Z',
)
const period = some({ start: moment, end: moment, _end: extended })
const range = some({ low: comparable, high: comparable })
const reference = some({
  reference: of('#d-1', '#other', 'Patient/1', 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001'),
  display: of('someone'),
})
const coding = some({
  system: of('http://loinc.org', 'http://example.org/codes'),
  code: of('a', 'b'),
  display: of('A'),
})
const concept = some({ coding: listOf(coding), text: of('text') })

const codeFilter = some({ path: of('code'), searchParam: of('code'), _path: extended })
const dataRequirement = some({ type: of('Observation'), codeFilter: listOf(codeFilter) })

const TYPES: Readonly<Record<string, Arbitrary<object>>> = {
  Quantity: quantity,
  Age: quantity,
  Count: quantity,
  Distance: quantity,
  Duration: quantity,
  Range: range,
  Period: period,
  Ratio: some({
    numerator: quantity,
    denominator: quantity,
    extension: fc.constant([{ url: 'u', valueCode: 'c' }]),
  }),
  Reference: reference,
  Extension: some({
    url: of('http://example.org/e'),
    extension: fc.constant([{ url: 'u', valueCode: 'c' }]),
    valueString: of('text'),
    valueQuantity: quantity,
    _valueDate: extended,
  }),
  Attachment: some({
    data: of('AAAA'),
    contentType: of('text/plain'),
    _data: extended,
    _contentType: extended,
  }),
  ContactPoint: some({ value: of('555-0100'), system: of('phone'), _value: extended }),
  Expression: some({
    language: of('text/fhirpath'),
    expression: of('true'),
    reference: of('http://example.org/x'),
  }),
  Observation_ReferenceRange: some({
    low: quantity,
    high: quantity,
    text: of('text'),
    type: concept,
    _text: extended,
  }),
  Patient_Contact: some({
    name: some({ text: of('A friend') }),
    telecom: fc.constant([{ system: 'phone' }]),
    address: some({ city: of('Somewhere') }),
    organization: reference,
    gender: of('other'),
  }),
  AuditEvent_Entity: some({ name: of('Observation'), query: of('AAAA'), _query: extended }),
  Parameters_Parameter: some({
    name: of('a'),
    valueString: of('b'),
    _valueCode: extended,
    resource: of({ resourceType: 'Device' }),
    part: listOf(some({ name: of('c') })),
  }),
  Bundle_Entry: entry(),
  Timing_Repeat: some({
    duration: of(-1, 0, 2),
    durationMax: of(3),
    durationUnit: of('h'),
    period: of(-1, 1),
    periodMax: of(2),
    periodUnit: of('d'),
    count: of(1),
    countMax: of(2),
    offset: of(15),
    when: listOf(of('C', 'CM', 'AC', 'MORN')),
    timeOfDay: listOf(of('08:00:00')),
    _duration: extended,
  }),
  TriggerDefinition: some({
    type: of('named-event', 'periodic', 'data-added'),
    name: of('name'),
    timingDate: of('2026-03-02'),
    timingReference: reference,
    data: listOf(dataRequirement),
    condition: some({ language: of('text/fhirpath'), expression: of('true') }),
  }),
  DataRequirement_CodeFilter: codeFilter,
  DataRequirement_DateFilter: codeFilter,
}

function entry(): Arbitrary<object> {
  return some({
    fullUrl: of('http://example.org/Patient/1', 'http://example.org/Patient/1/_history/2', 'urn:uuid:1'),
    resource: fc.record({
      resourceType: of('Patient', 'Composition', 'MessageHeader'),
      meta: some({ versionId: of('1', '2') }),
    }),
    request: some({ method: of('POST', 'GET'), url: of('Patient') }),
    response: some({ status: of('201') }),
    search: some({ mode: of('match') }),
  })
}

const contained = some({
  id: of('d-1', 'd-2'),
  meta: some({
    versionId: of('1'),
    lastUpdated: of('2026-03-02T06:41:00Z'),
    security: listOf(coding),
    source: of('#', '#d-2', 'http://example.org'),
  }),
  contained: fc.constant([{ resourceType: 'Device', id: 'inner' }]),
  owner: some({ reference: of('#', 'Organization/1') }),
}).map((resource) => ({ resourceType: 'Device', ...resource }))

const domainResource = {
  id: of('r-1'),
  text: some({ status: of('generated'), div: of('<div xmlns="http://www.w3.org/1999/xhtml">text</div>') }),
  contained: fc.array(contained, { minLength: 1, maxLength: 2 }),
  implicitRules: of('#d-1', 'http://example.org/rules'),
}

const component = some({
  code: concept,
  valueQuantity: quantity,
  valueString: of('text'),
  dataAbsentReason: concept,
  referenceRange: listOf(TYPES.Observation_ReferenceRange ?? quantity),
})

const bundleType = of(
  'document',
  'message',
  'transaction',
  'batch',
  'transaction-response',
  'batch-response',
  'history',
  'searchset',
)

const RESOURCES = {
  Observation: some({
    ...domainResource,
    status: of('final'),
    _status: fc.oneof(extended, of({ id: 'only-an-id' })),
    code: concept,
    subject: reference,
    device: reference,
    effectiveDateTime: moment,
    effectivePeriod: period,
    valueQuantity: quantity,
    valueString: of('text'),
    _valueString: extended,
    valueRange: range,
    dataAbsentReason: concept,
    referenceRange: listOf(TYPES.Observation_ReferenceRange ?? quantity),
    component: listOf(component),
    derivedFrom: listOf(reference),
  }),
  Patient: some({ ...domainResource, gender: of('other'), generalPractitioner: listOf(reference) }),
  Bundle: some({
    total: of(1),
    timestamp: of('2026-03-02T06:41:00Z'),
    identifier: some({ system: of('http://example.org/ids'), value: of('1') }),
    entry: fc.array(entry(), { minLength: 1, maxLength: 3 }),
  }),
}
export function elementOf(type: string): Arbitrary<object> {
  const arbitrary = TYPES[type]
  if (arbitrary === undefined) throw new Error(`No random ${type} is described`)
  return arbitrary
}

export function resourceOf(type: keyof typeof RESOURCES): Arbitrary<object> {
  if (type === 'Bundle') {
    return fc
      .tuple(RESOURCES.Bundle, bundleType)
      .map(([rest, kind]) => ({ resourceType: type, type: kind, ...rest }))
  }
  return RESOURCES[type].map((resource) => ({ resourceType: type, ...resource }))
}
