import fc from 'fast-check'
import type { Bundle, Device, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { blocks } from '../../src/core/basics/issue.ts'
import { sessionBundle } from '../../src/core/fhir/session/session-bundle.ts'
import { decodeResources } from '../../src/core/fhir-intake/decode-resources.ts'
import { readParts, refusedOf, toldParts } from '../support/decoded-parts.ts'
import { EXAMPLE_RECORD, exampleContext } from '../support/example-context.ts'
import { exampleReading, exampleSession, instant } from '../support/example-session.ts'
import { type MappedSessions, mappedSessions } from '../support/mapped-session.ts'
import { mappedSample } from '../support/shipped-mapping.ts'

/**
 * FHIR R4 4.0.1: Observation, profiles bp, vitalsigns and heartrate, Bundle, resolving references, value set
 * observation-status; HL7 Personal Health Device guide 2.0.0 (ISO/IEEE 11073 codes, status of the monitor in its own
 * Observation); LOINC 96607-7 (averages). The resources are written here from those.
 */

const LOINC = 'http://loinc.org'
const MDC = 'urn:iso:std:iso:11073:10101'
const AT = '2026-11-24T21:15:00+01:00'

function concept(code: string, system = LOINC) {
  return { coding: [{ system, code }] }
}

function quantity(value: number, code = 'mm[Hg]') {
  return { value, unit: code, system: 'http://unitsofmeasure.org', code }
}

function observation(changes: Partial<Observation>): Observation {
  return {
    resourceType: 'Observation',
    status: 'final',
    code: concept('85354-9'),
    subject: { reference: 'Patient/HW-1001' },
    effectiveDateTime: AT,
    device: { reference: 'Device/cuff' },
    ...changes,
  }
}

function components(
  systolic: number,
  diastolic: number,
  unit?: string,
): NonNullable<Observation['component']> {
  return [
    { code: concept('8480-6'), valueQuantity: quantity(systolic, unit) },
    { code: concept('8462-4'), valueQuantity: quantity(diastolic, unit) },
  ]
}

function panel(changes: Partial<Observation> = {}): Observation {
  return observation({ component: components(128, 80), ...changes })
}

function pulse(changes: Partial<Observation> = {}): Observation {
  return observation({ code: concept('8867-4'), valueQuantity: quantity(72, '/min'), ...changes })
}

function bundle(type: Bundle['type'], resources: readonly (Observation | Device)[]): Bundle {
  const request =
    type === 'batch' || type === 'transaction' ? { method: 'POST' as const, url: 'Observation' } : undefined
  return {
    resourceType: 'Bundle',
    type,
    entry: resources.map((resource, at) => ({
      fullUrl: `urn:uuid:0b1c7f5e-0000-4000-8000-00000000000${at}`,
      resource,
      ...(request === undefined ? {} : { request }),
    })),
  }
}

function sessions(value: unknown): MappedSessions {
  return mappedSessions('fhir-r4', decodeResources, [value])
}

/** Systolic, diastolic and pulse of every reading. */
function numbers({ sessions: all, refused }: MappedSessions) {
  expect(refused).toEqual([])
  return all.map(({ readings }) =>
    readings.map((reading) => [
      reading.systolic?.value ?? null,
      reading.diastolic?.value ?? null,
      reading.pulse ?? null,
    ]),
  )
}

function decodeRefusal(value: unknown): readonly string[] {
  return refusedOf(decodeResources({ value, text: '' }))
}

describe('what carries Observations', () => {
  it.each(['collection', 'searchset', 'batch', 'transaction'] as const)('a %s', (type) => {
    expect(numbers(sessions(bundle(type, [panel(), pulse()])))).toEqual([[[128, 80, 72]]])
  })

  it('an array, and one Observation alone', () => {
    expect(numbers(sessions([panel(), pulse()]))).toEqual([[[128, 80, 72]]])
    expect(numbers(sessions(panel()))).toEqual([[[128, 80, null]]])
  })

  it('tells where each stands, and keeps what was sent of it', () => {
    const sent = bundle('collection', [panel(), pulse()])
    const result = decodeResources({ value: sent, text: JSON.stringify(sent) })
    const records = result.ok ? result.value.map(({ record }) => record) : []
    expect(records.map(({ path }) => path)).toEqual([
      "$['entry'][0]['resource']",
      "$['entry'][1]['resource']",
    ])
    expect(records.map(({ text }) => JSON.parse(text))).toEqual([panel(), pulse()])
    const alone = { value: panel(), text: '{ "as": "sent" }', line: 3 }
    const only = decodeResources(alone)
    expect(only.ok && only.value[0]?.record).toMatchObject({ text: alone.text, line: 3 })
    expect(only.ok && only.value[0]?.record).not.toHaveProperty('path')
  })

  it.each<[string, unknown, readonly string[]]>([
    ['a message', { resourceType: 'Bundle', type: 'message' }, ['NOT_SUPPORTED Bundle.type']],
    ['a history', { resourceType: 'Bundle', type: 'history' }, ['NOT_SUPPORTED Bundle.type']],
    ['a Bundle of nothing', { resourceType: 'Bundle', type: 'collection' }, ['MISSING_KEY ']],
    ['a Patient alone', { resourceType: 'Patient' }, ['MISSING_KEY ']],
    ['no resource', { systolic: 120 }, ['STRUCTURE ']],
    ['a text', 'Observation', ['STRUCTURE ']],
    ['an array of numbers', [3, 4], ['STRUCTURE [0]', 'STRUCTURE [1]']],
    [
      'a deletion',
      {
        resourceType: 'Bundle',
        type: 'batch',
        entry: [{ request: { method: 'DELETE', url: 'Observation/1' } }],
      },
      ['NOT_SUPPORTED Bundle.entry[0].request.method'],
    ],
    [
      'an entry without a resource',
      { resourceType: 'Bundle', type: 'collection', entry: [{ fullUrl: 'urn:uuid:1' }] },
      ['STRUCTURE Bundle.entry[0].resource'],
    ],
  ])('is not %s', (_what, value, expected) => {
    expect(decodeRefusal(value)).toEqual(expected)
  })

  it('leaves other resources out, and says so', () => {
    const sent = { ...bundle('collection', [panel()]) }
    sent.entry = [...(sent.entry ?? []), { resource: { resourceType: 'Provenance' } as never }]
    const [first] = readParts(decodeResources({ value: sent, text: '' }))
    expect(first?.remarks.map(({ severity, code, at }) => `${severity} ${code} ${at}`)).toEqual([
      'information TOLERATED Bundle.entry[1].resource',
    ])
  })

  it('one that cannot be read is refused alone, in its place', () => {
    const systolicAlone = panel({ component: components(128, 80).slice(0, 1) })
    const inKpa = observation({ code: concept('8462-4'), valueQuantity: quantity(10.7, 'kPa') })
    const systolic = observation({ code: concept('8480-6'), valueQuantity: quantity(128) })
    const sent = bundle('batch', [panel(), systolicAlone, inKpa, pulse(), systolic])
    sent.entry?.splice(1, 0, { request: { method: 'DELETE', url: 'Observation/1' } })
    const decoded = decodeResources({ value: sent, text: JSON.stringify(sent) })
    expect(toldParts(decoded)).toEqual([
      'read',
      ['NOT_SUPPORTED Bundle.entry[1].request.method'],
      ['MISSING_KEY Bundle.entry[2].resource.component'],
      'read',
      ['CODE Bundle.entry[3].resource.valueQuantity.code'],
    ])
    const parts = decoded.ok ? decoded.value.map(({ record }) => record) : []
    expect(parts.map(({ path }) => path)).toEqual([
      "$['entry'][0]['resource']",
      "$['entry'][1]",
      "$['entry'][2]['resource']",
      "$['entry'][4]['resource']",
      "$['entry'][5]['resource']",
    ])
    expect(JSON.parse(parts[2]?.text ?? '')).toEqual(systolicAlone)
    expect(sessions(sent).sessions).toHaveLength(1)
  })
})

describe('what an Observation points at', () => {
  const device: Device = {
    resourceType: 'Device',
    id: 'cuff',
    manufacturer: 'Made-up Monitors',
    modelNumber: 'MM-2',
    serialNumber: 'MM2-20417',
  }
  const described = { manufacturer: 'Made-up Monitors', model: 'MM-2', serial: 'MM2-20417' }

  it.each<[string, unknown]>([
    [
      'by full URL',
      bundle('collection', [
        panel({ device: { reference: 'urn:uuid:0b1c7f5e-0000-4000-8000-000000000001' } }),
        device,
      ]),
    ],
    ['by type and id', bundle('collection', [panel(), device])],
    ['contained', panel({ contained: [device], device: { reference: '#cuff' } })],
  ])('is resolved %s', (_how, value) => {
    expect(sessions(value).sessions.map((session) => session.device)).toEqual([described])
  })

  it('stays unknown where it did not come along, or where two could be meant', () => {
    expect(sessions(panel()).sessions[0]?.device).toBeUndefined()
    const twice = bundle('collection', [panel(), device, { ...device, serialNumber: 'other' }])
    expect(sessions(twice).sessions[0]?.device).toBeUndefined()
  })

  it.each<[string, Observation['subject'], object | undefined, string]>([
    ['the id in a reference', { reference: 'Patient/HW-1001' }, undefined, 'HW-1001'],
    [
      'the id at a server',
      { reference: 'https://ehr.example/fhir/Patient/HW-1001/_history/2' },
      undefined,
      'HW-1001',
    ],
    ['an identifier', { identifier: { system: 'urn:x', value: 'HW-1001' } }, undefined, 'HW-1001'],
    [
      'the one identifier of the Patient',
      { reference: 'Patient/1' },
      { id: '1', identifier: [{ value: 'HW-1001' }] },
      'HW-1001',
    ],
    [
      'the id, where the Patient has several',
      { reference: 'Patient/1' },
      { id: '1', identifier: [{ value: 'a' }, { value: 'b' }] },
      '1',
    ],
  ])('the subject is %s', (_what, subject, patient, expected) => {
    const sent = bundle('collection', [panel({ subject: subject as never })])
    if (patient !== undefined)
      sent.entry = [...(sent.entry ?? []), { resource: { resourceType: 'Patient', ...patient } as never }]
    expect(sessions(sent).sessions.map((session) => session.subject)).toEqual([expected])
  })

  describe('an id that could be two people’s', () => {
    const told = (subjects: readonly object[], fullUrls: readonly string[] = []) => {
      const entry = subjects.map((subject, at) => ({
        fullUrl: fullUrls[at] ?? `urn:uuid:0b1c7f5e-0000-4000-8000-00000000000${at}`,
        resource: panel({ subject }),
      }))
      const result = decodeResources({
        value: { resourceType: 'Bundle', type: 'collection', entry },
        text: '',
      })
      if (!result.ok) throw new Error('the document was refused')
      return result.value.map((one) =>
        'issues' in one ? one.issues.map(({ code, at }) => `${code} ${at}`).join(', ') : 'read',
      )
    }
    const by = (reference: string) => ({ reference })
    const identified = (value: string, system?: string) => ({ identifier: { system, value } })
    const refusedAt = (at: number) => `OTHER_SUBJECT Bundle.entry[${at}].resource.subject`

    it('is refused, and the readings of others are read', () => {
      const servers = [
        'https://a.example/Patient/7',
        'https://b.example/Patient/7',
        'https://b.example/Patient/8',
      ]
      expect(told(servers.map(by))).toEqual([refusedAt(0), refusedAt(1), 'read'])
      const systems = [identified('100', 'https://a.example/mrn'), identified('100', 'https://b.example/nhs')]
      expect(told([...systems, identified('101', 'https://a.example/mrn')])).toEqual([
        refusedAt(0),
        refusedAt(1),
        'read',
      ])
    })

    it('is refused where each reference is relative to a server of its own', () => {
      const urls = ['https://a.example/Observation/1', 'https://b.example/Observation/1']
      expect(told([by('Patient/7'), by('Patient/7')], urls)).toEqual([refusedAt(0), refusedAt(1)])
      expect(told([by('Patient/7'), by('https://a.example/Patient/7')], urls.slice(0, 1))).toEqual([
        'read',
        'read',
      ])
    })

    it('is read where one of the two does not say of which', () => {
      expect(told([by('Patient/7'), by('https://a.example/Patient/7/_history/2')])).toEqual(['read', 'read'])
      expect(told([identified('100', 'https://a.example/mrn'), identified('100')])).toEqual(['read', 'read'])
    })
  })

  describe('several versions of one Observation', () => {
    const told = (...resources: readonly Observation[]) => {
      const result = decodeResources({ value: resources, text: '' })
      if (!result.ok) throw new Error('the document was refused')
      return result.value.map((one) =>
        'issues' in one ? one.issues.map(({ code, at }) => `${code} ${at}`).join(', ') : 'read',
      )
    }
    const refusedAt = (at: number) => `SAME_ID_OTHER_CONTENT [${at}]`
    const other = panel({ effectiveDateTime: '2026-11-24T21:17:00+01:00' })
    const identifier = [{ system: 'urn:app', value: 'r-1' }]
    const put = (changes: Partial<Observation>) => panel({ component: components(122, 79), ...changes })

    it('are refused, and the others are read', () => {
      const [first, second] = [panel({ id: 'o-1' }), put({ id: 'o-1', status: 'amended' })]
      expect(told(first, other, second)).toEqual([refusedAt(0), 'read', refusedAt(2)])
      expect(told(first, put({ id: 'o-1' }))).toEqual([refusedAt(0), refusedAt(1)])
    })

    it('are told by an identifier where one says that it was changed', () => {
      const changed = put({ identifier, status: 'corrected' })
      expect(told(panel({ identifier }), changed)).toEqual([refusedAt(0), refusedAt(1)])
      expect(told(panel({ identifier, id: 'o-1' }), { ...changed, id: 'o-2' })).toEqual([
        refusedAt(0),
        refusedAt(1),
      ])
    })

    it('are not what came twice, or has an identifier of the sitting, or an id of another patient', () => {
      expect(told(panel({ id: 'o-1' }), panel({ id: 'o-1' }))).toEqual(['read', 'read'])
      const sameMinute = [panel({ identifier }), put({ identifier })]
      expect(told(...sameMinute)).toEqual(['read', 'read'])
      expect(told(panel({ identifier }), { ...other, identifier, status: 'amended' })).toEqual([
        'read',
        'read',
      ])
      const another = { reference: 'Patient/HW-1002' }
      expect(told(panel({ id: '1' }), put({ id: '1', subject: another }))).toEqual(['read', 'read'])
    })

    it('are so of pressures that were sent apart, too', () => {
      const apart = (code: string, value: number, changes: Partial<Observation>) =>
        observation({ code: concept(code), valueQuantity: quantity(value), ...changes })
      const resources = [
        apart('8480-6', 128, { id: 's' }),
        apart('8462-4', 80, { id: 'd' }),
        apart('8462-4', 84, { id: 'd', status: 'amended', effectiveDateTime: '2026-11-24T21:15:01+01:00' }),
      ]
      expect(told(...resources)).toEqual([refusedAt(1), refusedAt(2)])
    })
  })

  it('the id of a contained Patient is nobody’s: it is unique in its Observation only', () => {
    const contained = (more: object) =>
      panel({
        subject: { reference: '#p' },
        contained: [{ resourceType: 'Patient', id: 'p', ...more }],
      } as never)
    const several = { identifier: [{ value: 'a' }, { value: 'b' }] }
    for (const one of [{}, several]) {
      expect(sessions(contained(one)).refused.join()).toMatch(/^MISSING_KEY subject/)
    }
    const [session] = sessions(contained({ identifier: [{ value: 'HW-1001' }] })).sessions
    expect(session?.subject).toBe('HW-1001')
  })

  it('no subject is refused', () => {
    const { subject: _, ...nobody } = panel()
    expect(sessions(nobody).refused.join()).toMatch(/^MISSING_KEY subject/)
    expect(sessions(panel({ subject: { reference: 'Group/1' } })).refused.join()).toMatch(
      /^MISSING_KEY subject/,
    )
  })
})

describe('one reading', () => {
  it('as a panel by ISO/IEEE 11073 codes alone, completed by what the monitor says', () => {
    const bits = [true, false, true].map((valueBoolean, bit) => ({
      code: concept(`8410608.${bit}`, 'http://terminology.hl7.org/CodeSystem/ASN1ToHL7'),
      valueBoolean,
    }))
    const found = sessions([
      observation({
        code: concept('150020', MDC),
        component: [
          { code: concept('150021', MDC), valueQuantity: quantity(128) },
          { code: concept('150022', MDC), valueQuantity: quantity(80) },
          { code: concept('150023', MDC), valueQuantity: quantity(96) },
        ],
      }),
      observation({ code: concept('149546', MDC), valueQuantity: quantity(72, '/min') }),
      observation({ code: concept('8410608', MDC), component: bits }),
    ])
    expect(numbers(found)).toEqual([[[128, 80, 72]]])
    expect(found.sessions[0]?.readings[0]?.monitorSays).toEqual({
      ...{ bodyMovement: true, cuffTooLoose: false, irregularPulse: true },
    })
  })

  it('as a systolic and a diastolic Observation apart', () => {
    const systolic = observation({ code: concept('8480-6'), valueQuantity: quantity(128) })
    const diastolic = observation({ code: concept('8462-4'), valueQuantity: quantity(80) })
    expect(numbers(sessions([diastolic, systolic, pulse()]))).toEqual([[[128, 80, 72]]])
    const later = { ...diastolic, effectiveDateTime: '2026-11-24T21:16:00+01:00' }
    for (const alone of [[systolic], [systolic, later], [systolic, diastolic, diastolic]]) {
      const { sessions: none, refused } = sessions(alone)
      expect(none).toEqual([])
      expect(refused).toHaveLength(alone.length)
      for (const told of refused) expect(told).toMatch(/^REFUSED_BY_MAPPING/)
    }
  })

  it('in kPa, and never in two units', () => {
    const [session] = sessions(panel({ component: components(17.1, 10.7, 'kPa') })).sessions
    expect(session?.readings[0]).toMatchObject({
      systolic: { value: 17.1, unit: 'kPa' },
      diastolic: { value: 10.7, unit: 'kPa' },
    })
    const [systolic] = components(128, 80)
    const [, diastolic] = components(17.1, 10.7, 'kPa')
    const mixed = panel({ component: [systolic, diastolic].flatMap((one) => one ?? []) })
    expect(decodeRefusal(mixed)).toEqual(['CODE Observation.component[1].valueQuantity.code'])
  })

  it.each([
    ['mm[Hg]', 'kPa', 0],
    ['mm[Hg]', 'Kilopascal', 1],
    ['kPa', 'mmHg', 0],
    ['kPa', 'mm Hg', 1],
  ])('never in %s by its code and %s by its words', (code, words, at) => {
    const component = components(code === 'kPa' ? 17.1 : 128, code === 'kPa' ? 10.7 : 80, code)
    Object.assign(component[at]?.valueQuantity ?? {}, { unit: words })
    const refused = [`CODE Observation.component[${at}].valueQuantity.unit`]
    expect(decodeRefusal(panel({ component }))).toEqual(refused)
    const apart = (['8480-6', '8462-4'] as const).map((one, index) =>
      observation({ code: concept(one), valueQuantity: component[index]?.valueQuantity ?? {} }),
    )
    expect(decodeRefusal(apart)).toEqual([`CODE [${at}].valueQuantity.unit`])
  })

  it.each(['mmHg', 'mm Hg', 'mm[Hg]', 'millimeter of mercury', 'Millimeter Quecksilbersäule', undefined])(
    'in mm[Hg] with the words %s',
    (unit) => {
      const component = components(128, 80)
      for (const { valueQuantity } of component) Object.assign(valueQuantity ?? {}, { unit })
      expect(numbers(sessions(panel({ component })))).toEqual([[[128, 80, null]]])
    },
  )

  it('without the pressure the monitor did not give', () => {
    const [systolic] = components(128, 80)
    const absent = { code: concept('8462-4'), dataAbsentReason: concept('error', 'x') }
    const found = sessions(panel({ component: [systolic, absent].flatMap((one) => one ?? []) }))
    expect(numbers(found)).toEqual([[[128, null, null]]])
  })

  it.each<[string, Partial<Observation>, object]>([
    [
      'component 8361-8',
      {
        component: [
          ...components(128, 80),
          { code: concept('8361-8'), valueCodeableConcept: concept('LA11868-9') },
        ],
      },
      { position: 'sitting' },
    ],
    [
      'the extension, by SNOMED CT',
      {
        extension: [
          {
            url: 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition',
            valueCodeableConcept: concept('10904000', 'http://snomed.info/sct'),
          },
        ],
      },
      { position: 'standing' },
    ],
    [
      'the right arm',
      { bodySite: concept('368209003', 'http://snomed.info/sct') },
      { arm: 'right', site: 'upper-arm' },
    ],
    [
      'the left radial artery',
      { bodySite: concept('368504007', 'http://snomed.info/sct') },
      { arm: 'left', site: 'wrist' },
    ],
  ])('with %s', (_what, changes, expected) => {
    const found = sessions(panel(changes))
    expect(found.refused).toEqual([])
    expect(found.sessions[0]).toMatchObject(expected)
  })

  it('states no position, arm and site where the Observation states none', () => {
    const [session] = sessions(panel()).sessions
    for (const key of ['position', 'arm', 'site']) expect(session).not.toHaveProperty(key)
  })

  it('says how it was entered by its label, else by its device, and is refused without either', () => {
    const label = (code: string) => ({
      meta: { security: [{ system: 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue', code }] },
    })
    const { device: _, ...bare } = panel()
    expect(sessions(panel()).sessions[0]?.entry).toBe('transferred')
    expect(sessions({ ...bare, ...label('PATRPT') }).sessions[0]?.entry).toBe('typed')
    expect(sessions({ ...bare, ...label('DEVAST') }).sessions[0]?.entry).toBe('transferred')
    expect(sessions(bare).refused.join()).toMatch(/^MISSING_KEY entry/)
  })

  it('and those within half an hour are one sitting', () => {
    const at = (minute: string) => ({ effectiveDateTime: `2026-11-24T21:${minute}:00+01:00` })
    const found = sessions([panel(at('15')), pulse(at('15')), panel(at('17')), panel(at('58'))])
    expect(numbers(found)).toEqual([
      [
        [128, 80, 72],
        [128, 80, null],
      ],
      [[128, 80, null]],
    ])
  })
})

describe('what is no reading', () => {
  const refusedBy = (changes: Partial<Observation>) => {
    const { sessions: none, refused } = sessions(panel(changes))
    expect(none).toEqual([])
    return refused.join()
  }
  it.each<[string, Partial<Observation>]>([
    ['preliminary', { status: 'preliminary' }],
    ['registered', { status: 'registered' }],
    ['of unknown status', { status: 'unknown' }],
    ['with a modifier extension', { modifierExtension: [{ url: 'urn:x', valueBoolean: true }] }],
    [
      'with a modifier extension of a component',
      {
        component: components(128, 80).map((one) => ({
          ...one,
          modifierExtension: [{ url: 'urn:x', valueBoolean: true }],
        })),
      },
    ],
    [
      'a bound',
      {
        component: components(128, 80).map((one) => ({
          ...one,
          valueQuantity: { ...one.valueQuantity, comparator: '<' as const },
        })),
      },
    ],
    [
      'with a pulse in another unit',
      {
        component: [...components(128, 80), { code: concept('8867-4'), valueQuantity: quantity(1.2, 'Hz') }],
      },
    ],
    [
      'with a pulse in a unit that is no code',
      { component: [...components(128, 80), { code: concept('8867-4'), valueQuantity: { value: 72 } }] },
    ],
    ['about another than its subject', { focus: [{ reference: 'RelatedPerson/1' }] }],
    ['an average', { code: concept('96607-7') }],
    ['a 24-hour mean', { code: concept('97844-5') }],
    ['of a period', { effectivePeriod: { start: AT, end: AT } }],
    [
      'at a clinic',
      {
        extension: [
          {
            url: 'https://home-bp-gateway.example/fhir/StructureDefinition/measurement-setting',
            valueCode: 'clinic',
          },
        ],
      },
    ],
  ])('%s', (_what, changes) => {
    expect(refusedBy(changes)).toMatch(/^REFUSED_BY_MAPPING/)
  })

  it('another Observation', () => {
    expect(refusedBy({ code: concept('29463-7') })).toMatch(/^UNKNOWN_KIND/)
  })

  it('a site or position that is not in the code tables', () => {
    expect(refusedBy({ bodySite: concept('5951000', 'http://snomed.info/sct') })).toMatch(/^NOT_A_CHOICE arm/)
    const url = 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition'
    const supine = [{ url, valueCodeableConcept: concept('40199007', 'http://snomed.info/sct') }]
    expect(refusedBy({ extension: supine })).toMatch(/^NOT_A_CHOICE position/)
  })

  it.each<[string, unknown, string]>([
    [
      'a number in words',
      panel({ component: components('128' as never, 80) }),
      'WRONG_TYPE Observation.component[0].valueQuantity.value',
    ],
    [
      'mmHg, which is not UCUM by its system',
      panel({
        component: components(128, 80).map((one) => ({ ...one, valueQuantity: { value: 1, unit: 'mmHg' } })),
      }),
      'CODE Observation.component[0].valueQuantity',
    ],
    [
      'no diastolic',
      panel({ component: components(128, 80).slice(0, 1) }),
      'MISSING_KEY Observation.component',
    ],
    [
      'two systolics',
      panel({ component: [...components(128, 80), ...components(130, 80).slice(0, 1)] }),
      'TOO_MANY Observation.component[2]',
    ],
    [
      'a value, and a reason why there is none',
      panel({
        component: components(128, 80).map((one) => ({ ...one, dataAbsentReason: concept('error', 'x') })),
      }),
      'NOT_A_MEASUREMENT Observation.component[0]',
    ],
    [
      'neither value nor reason',
      panel({ component: [{ code: concept('8480-6') }, ...components(128, 80).slice(1)] }),
      'MISSING_KEY Observation.component[0]',
    ],
  ])('%s', (_what, value, expected) => {
    expect(decodeRefusal(value)[0]).toBe(expected)
  })

  it('a time without a day, or without an offset', () => {
    expect(refusedBy({ effectiveDateTime: '2026-11' })).toMatch(/^BAD_TIME/)
    expect(refusedBy({ effectiveDateTime: '2026-11-24T21:15:00' })).toMatch(/^TIME_NEEDS_OFFSET/)
  })

  it('a pulse with no reading of its moment, and one in another unit', () => {
    expect(sessions([pulse()]).refused.join()).toMatch(/^NOTHING_TO_COMPLETE/)
    expect(sessions([panel(), pulse({ valueQuantity: quantity(1.2, 'Hz') })]).refused.join()).toMatch(
      /^REFUSED_BY_MAPPING/,
    )
  })
})

describe('our own Observations, read back', () => {
  it.each([false, true])('give the same readings, SNOMED CT %s', (snomed) => {
    const at = (second: string) => ({ takenAt: instant(`2026-03-02T06:41:${second}-07:00`) })
    const session = exampleSession({
      takenAt: instant('2026-03-02T06:41:00-07:00'),
      entry: 'typed',
      readings: [
        exampleReading({ ...at('00'), monitorSays: { irregularPulse: true, bodyMovement: false } }),
        exampleReading({ ...at('59'), ordinal: 2, diastolic: null }),
      ],
    })
    const subject = { reference: 'Patient/HW-1042', type: 'Patient' }
    const sent = sessionBundle(session, [], exampleContext({ snomed, subject }), EXAMPLE_RECORD)
    const found = mappedSessions('fhir-r4', decodeResources, [JSON.parse(JSON.stringify(sent))])
    expect(found.refused).toEqual([])
    const { id: _, ...told } = session
    expect(found.sessions).toHaveLength(1)
    expect(found.sessions[0]).toMatchObject(told)
  })
})

it('the sample is one sitting of two readings', () => {
  const found = sessions(JSON.parse(mappedSample('fhir-observations.json')))
  expect(numbers(found)).toEqual([
    [
      [126, 78, 74],
      [131, 75, 64],
    ],
  ])
  expect(found.sessions[0]).toMatchObject({ position: 'sitting', arm: 'left', site: 'upper-arm' })
})

describe('any JSON', () => {
  it('never throws', () => {
    const codes = fc.constantFrom('85354-9', '8480-6', '8462-4', '8867-4', '96607-7')
    const coded = fc.record({
      coding: fc.oneof(fc.jsonValue(), fc.array(fc.record({ system: fc.constant(LOINC), code: codes }))),
    })
    const part = fc.record(
      {
        code: fc.oneof(coded, fc.jsonValue()),
        valueQuantity: fc.oneof(fc.constant(quantity(120)), fc.jsonValue()),
        dataAbsentReason: fc.jsonValue(),
      },
      { requiredKeys: [] },
    )
    const resource = fc.record(
      {
        resourceType: fc.constantFrom('Observation', 'Device', 'Patient', 'Basic'),
        id: fc.oneof(fc.constant('cuff'), fc.jsonValue()),
        status: fc.jsonValue(),
        code: fc.oneof(coded, fc.jsonValue()),
        subject: fc.oneof(fc.constant({ reference: 'Patient/cuff' }), fc.jsonValue()),
        device: fc.oneof(fc.constant({ reference: '#cuff' }), fc.jsonValue()),
        contained: fc.jsonValue(),
        effectiveDateTime: fc.oneof(fc.constant(AT), fc.jsonValue()),
        component: fc.oneof(fc.array(part), fc.jsonValue()),
      },
      { requiredKeys: ['resourceType'] },
    )
    const document = fc.oneof(
      fc.jsonValue(),
      resource,
      fc.array(resource),
      fc.record({
        resourceType: fc.constant('Bundle'),
        type: fc.oneof(fc.constantFrom('collection', 'batch'), fc.jsonValue()),
        entry: fc.oneof(
          fc.array(fc.oneof(fc.record({ resource, fullUrl: fc.string() }), fc.jsonValue())),
          fc.jsonValue(),
        ),
      }),
    )
    fc.assert(
      fc.property(document, (value) => {
        const result = decodeResources({ value, text: JSON.stringify(value) ?? '' })
        if (!result.ok) return result.issues.every(blocks)
        return result.value.every(({ record }) => typeof record.text === 'string')
      }),
      { numRuns: 2000 },
    )
  })
})
