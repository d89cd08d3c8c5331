import { describe, expect, it } from 'vitest'
import { exampleContext } from '../../../../tests/support/example-context.ts'
import {
  exampleReading,
  exampleSession,
  inKPa,
  inMmHg,
  instant,
  withoutStating,
} from '../../../../tests/support/example-session.ts'
import type { Finding } from '../../clinical/finding.ts'
import type { Position, Session } from '../../clinical/session.ts'
import type { ConversionContext } from '../conversion-context.ts'
import { sessionObservations } from './session-observations.ts'

function convert(session: Session = exampleSession(), changes: Partial<ConversionContext> = {}) {
  return sessionObservations(session, [], exampleContext(changes))
}

function first(changes: Partial<Session>, context: Partial<ConversionContext> = {}) {
  const [observation] = convert(exampleSession(changes), context)
  if (observation === undefined) throw new Error('a session gave no Observation')
  return observation
}

describe('a reading as an Observation', () => {
  it('carries the panel code, both components in mm[Hg], and the bp profile', () => {
    const observation = first({})
    expect(observation.meta?.profile).toEqual(['http://hl7.org/fhir/StructureDefinition/bp'])
    expect(observation.status).toBe('final')
    expect(observation.code.coding).toEqual([
      {
        system: 'http://loinc.org',
        code: '85354-9',
        display: 'Blood pressure panel with all children optional',
      },
    ])
    expect(observation.category?.map(({ coding }) => coding?.map(({ code }) => code))).toEqual([
      ['vital-signs'],
    ])
    const [systolic, diastolic] = observation.component ?? []
    expect(systolic?.code.coding?.[0]?.code).toBe('8480-6')
    expect(systolic?.valueQuantity).toEqual({
      value: 141,
      unit: 'mmHg',
      system: 'http://unitsofmeasure.org',
      code: 'mm[Hg]',
    })
    expect(diastolic?.code.coding?.[0]?.code).toBe('8462-4')
    expect(diastolic?.valueQuantity?.value).toBe(88)
  })

  it('keeps the source’s own text of the time, with its offset', () => {
    expect(first({}).effectiveDateTime).toBe('2026-03-02T06:41:00-07:00')
    const own = exampleReading({ takenAt: instant('2026-03-02T06:42:10.250-07:00') })
    expect(first({ readings: [own] }).effectiveDateTime).toBe('2026-03-02T06:42:10.250-07:00')
  })

  it('names the patient as subject and as performer', () => {
    const subject = { reference: 'Patient/p1' }
    expect(first({}, { subject })).toMatchObject({ subject, performer: [subject] })
  })

  it('keeps a component without value, and says the value is unknown', () => {
    const [systolic, diastolic] = first({ readings: [exampleReading({ diastolic: null })] }).component ?? []
    expect(systolic?.valueQuantity?.value).toBe(141)
    expect(diastolic?.valueQuantity).toBeUndefined()
    expect(diastolic?.code.coding?.[0]?.code).toBe('8462-4')
    expect(diastolic?.dataAbsentReason?.coding).toEqual([
      {
        system: 'http://terminology.hl7.org/CodeSystem/data-absent-reason',
        code: 'unknown',
        display: 'Unknown',
      },
    ])
  })

  // 18.8 kPa / 0.133322 = 141.0119..., 11.7 kPa / 0.133322 = 87.7574...
  it.each([
    [18.8, 141.01],
    [11.7, 87.76],
    [16, 120.01],
  ])('writes %f kPa as %f mmHg and keeps the value and unit of the source', (kPa, mmHg) => {
    const [systolic] = first({ readings: [exampleReading({ systolic: inKPa(kPa) })] }).component ?? []
    expect(systolic?.valueQuantity).toMatchObject({ value: mmHg, code: 'mm[Hg]' })
    expect(systolic?.valueQuantity?.extension).toEqual([
      {
        url: 'https://home-bp-gateway.example/fhir/StructureDefinition/measured-quantity',
        valueQuantity: { value: kPa, unit: 'kPa', system: 'http://unitsofmeasure.org', code: 'kPa' },
      },
    ])
  })

  it('adds no extension to a value measured in mmHg, tenths included', () => {
    const [systolic] = first({ readings: [exampleReading({ systolic: inMmHg(141.3) })] }).component ?? []
    expect(systolic?.valueQuantity).toEqual({
      value: 141.3,
      unit: 'mmHg',
      system: 'http://unitsofmeasure.org',
      code: 'mm[Hg]',
    })
  })
})

describe('body position and site', () => {
  const answers: readonly [Position, string, string][] = [
    ['sitting', 'LA11868-9', '33586001'],
    ['lying', 'LA11869-7', '102538003'],
    ['standing', 'LA11870-5', '10904000'],
  ]
  it.each(answers)('writes %s as %s in the component and in the extension alike', (position, answer) => {
    const observation = first({ position })
    const component = observation.component?.[2]
    expect(component?.code.coding?.[0]?.code).toBe('8361-8')
    expect(component?.valueCodeableConcept?.coding?.map(({ code }) => code)).toEqual([answer])
    expect(observation.extension?.[0]).toEqual({
      url: 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition',
      valueCodeableConcept: component?.valueCodeableConcept,
    })
  })

  it.each(answers)('adds the SNOMED CT concept of %s only when asked', (position, answer, concept) => {
    const codes = first({ position }, { snomed: true }).extension?.[0]?.valueCodeableConcept?.coding
    expect(codes?.map(({ code }) => code)).toEqual([answer, concept])
  })

  it('writes half lying, half sitting as text, because no code of it is known', () => {
    expect(
      first({ position: 'semi-recumbent' }, { snomed: true }).extension?.[0]?.valueCodeableConcept,
    ).toEqual({
      text: 'Semi-recumbent',
    })
  })

  it('leaves the position out of the components for a server that takes the extension alone', () => {
    const observation = first({}, { positionAs: 'extension' })
    expect(observation.component).toHaveLength(2)
    expect(observation.extension?.[0]?.url).toContain('observation-bodyPosition')
  })

  it('says arm and site in words, and by artery when SNOMED CT is asked for', () => {
    expect(first({}).bodySite).toEqual({ text: 'Left upper arm' })
    expect(first({ arm: 'right', site: 'wrist' }).bodySite).toEqual({ text: 'Right wrist' })
    expect(first({ arm: 'right', site: 'wrist' }, { snomed: true }).bodySite).toEqual({
      coding: [{ system: 'http://snomed.info/sct', code: '368503001' }],
      text: 'Right wrist',
    })
    expect(JSON.stringify(convert())).not.toContain('snomed')
  })
})

describe('what the source did not state', () => {
  const [bare] = convert(withoutStating(exampleSession(), 'position', 'arm', 'site'))

  it('is not written: no body site, and no position as extension or component', () => {
    expect(bare).not.toHaveProperty('bodySite')
    expect(JSON.stringify(bare)).not.toMatch(/8361-8|bodyPosition/)
    expect(bare?.extension?.map(({ url }) => url)).toEqual([
      'https://home-bp-gateway.example/fhir/StructureDefinition/measurement-setting',
    ])
  })

  it.each([
    ['arm', 'Upper arm, side not stated'],
    ['site', 'Left arm, site not stated'],
  ] as const)('is said to be missing where the other is stated: the %s', (what, text) => {
    const [observation] = convert(withoutStating(exampleSession(), what), { snomed: true })
    expect(observation?.bodySite).toEqual({ text })
  })
})

describe('pulse and what the monitor says', () => {
  it('are Observations of their own, right after their reading', () => {
    const readings = [
      exampleReading({ monitorSays: { irregularPulse: true, bodyMovement: false } }),
      exampleReading({ ordinal: 2 }),
    ]
    const codes = convert(exampleSession({ readings })).map(({ code }) => code.coding?.[0]?.code)
    expect(codes).toEqual(['85354-9', '8867-4', '8410608', '85354-9', '8867-4'])
  })

  it('write the pulse per minute under the heartrate profile', () => {
    expect(convert()[1]).toMatchObject({
      meta: { profile: ['http://hl7.org/fhir/StructureDefinition/heartrate'] },
      valueQuantity: { value: 72, code: '/min', system: 'http://unitsofmeasure.org' },
    })
  })

  it('write only the bits the monitor reported, and derive from the reading', () => {
    const monitorSays = { irregularPulse: true, bodyMovement: false, improperPosition: true }
    const [reading, , status] = convert(exampleSession({ readings: [exampleReading({ monitorSays })] }))
    const bits = status?.component?.map(({ code, valueBoolean }) => [code.coding?.[0]?.code, valueBoolean])
    expect(bits).toEqual([
      ['8410608.0', false],
      ['8410608.2', true],
      ['8410608.5', true],
    ])
    const systems = [status?.code, ...(status?.component ?? []).map(({ code }) => code)]
    expect(systems.map((concept) => concept?.coding?.[0]?.system)).toEqual([
      'urn:iso:std:iso:11073:10101',
      ...(bits ?? []).map(() => 'http://terminology.hl7.org/CodeSystem/ASN1ToHL7'),
    ])
    expect(status?.derivedFrom).toEqual([{ reference: `urn:uuid:${reading?.identifier?.[0]?.value}` }])
  })

  it('write nothing for a monitor that reported nothing, or a reading without pulse', () => {
    const readings = [exampleReading({ monitorSays: {} })]
    expect(convert(exampleSession({ readings }))).toHaveLength(2)
    const { pulse: _, ...silent } = exampleReading()
    expect(convert(exampleSession({ readings: [silent] }))).toHaveLength(1)
  })
})

describe('who vouches, and what was noticed', () => {
  it('marks transferred values as asserted by a device and typed ones as reported by the patient', () => {
    const security = (entry: Session['entry']) =>
      convert(exampleSession({ entry })).map(({ meta }) => meta?.security?.map(({ code }) => code))
    expect(new Set(security('transferred').flat())).toEqual(new Set(['DEVAST']))
    expect(new Set(security('typed').flat())).toEqual(new Set(['PATRPT']))
  })

  it('notes findings of the sitting on every reading and findings of a reading on that one', () => {
    const finding: Finding = {
      code: 'talking',
      kind: 'technique',
      severity: 'warning',
      direction: 'reads-high',
      text: 'Talking raises the reading.',
      citation: 'common-practice',
    }
    const findings: Finding[] = [finding, { ...finding, reading: 2, text: 'The arm moved.' }]
    const session = exampleSession({ note: 'Felt well.' })
    const notes = sessionObservations(session, findings, exampleContext())
      .filter(({ code }) => code.coding?.[0]?.code === '85354-9')
      .map(({ note }) => note?.map(({ text }) => text))
    expect(notes).toEqual([
      ['Talking raises the reading.', 'Felt well.'],
      ['Talking raises the reading.', 'The arm moved.', 'Felt well.'],
    ])
  })

  it('names the patient as author of the patient’s own words alone', () => {
    const note = first({ note: 'Felt well.' }).note
    expect(note).toEqual([{ authorReference: exampleContext().subject, text: 'Felt well.' }])
  })
})

describe('ids', () => {
  it('are the same for the same input, byte for byte, and differ between resources', () => {
    expect(JSON.stringify(convert())).toBe(JSON.stringify(convert()))
    const values = convert().map(({ identifier }) => identifier?.[0]?.value)
    expect(new Set(values).size).toBe(4)
  })

  it('stand in id and in references when the resources stand alone, and not in a transaction', () => {
    const session = exampleSession({ readings: [exampleReading({ monitorSays: { bodyMovement: true } })] })
    const alone = convert(session, { withIds: true })
    for (const { id, identifier } of alone) expect(id).toBe(identifier?.[0]?.value)
    expect(alone[2]?.derivedFrom).toEqual([{ reference: `Observation/${alone[0]?.id}` }])
    for (const observation of convert(session)) expect(observation.id).toBeUndefined()
  })

  it('put every identifier under the canonical base of the settings', () => {
    const base = 'https://gateway.clinic.example'
    const systems = convert(exampleSession(), { canonicalBase: base }).map(
      ({ identifier }) => identifier?.[0]?.system,
    )
    expect(new Set(systems)).toEqual(new Set([`${base}/reading`, `${base}/pulse`]))
    expect(JSON.stringify(convert())).toContain('https://home-bp-gateway.example/fhir/reading')
  })
})

it('shares constants that nobody can change by accident', () => {
  const [observation] = convert()
  expect(Object.isFrozen(observation?.code)).toBe(true)
  expect(Object.isFrozen(observation?.category?.[0]?.coding?.[0])).toBe(true)
})

it('writes who measured, and where and how, as one list for all readings of a session, and as another for others', () => {
  const context = { ...exampleContext(), subject: Object.freeze({ reference: 'Patient/1' }) }
  const [first, second] = sessionObservations(exampleSession(), [], context)
  expect(second?.performer).toBe(first?.performer)
  expect(Object.isFrozen(first?.performer)).toBe(true)
  const other = { ...context, subject: { reference: 'Patient/2' } }
  const [elsewhere] = sessionObservations(exampleSession({ setting: 'clinic' }), [], other)
  expect(elsewhere?.performer).toEqual([{ reference: 'Patient/2' }])
  expect(elsewhere?.extension).not.toEqual(first?.extension)
  const [again] = sessionObservations(exampleSession(), [], context)
  expect(again).toEqual(first)
})
