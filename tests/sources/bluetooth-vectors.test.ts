import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { blocks, type Issue } from '../../src/core/basics/issue.ts'
import { mmHg } from '../../src/core/basics/pressure.ts'
import { decodeIndication, type IndicationTree } from '../../src/core/bluetooth/decode-indication.ts'
import { type Measurement, readMeasurement } from '../../src/core/bluetooth/measurement.ts'
import { readFeatures } from '../../src/core/bluetooth/monitor-status.ts'
import { readShortFloat } from '../../src/core/bluetooth/short-float.ts'
import { mappedSessions } from '../support/mapped-session.ts'
import { mappedSample } from '../support/shipped-mapping.ts'

/**
 * Bluetooth Blood Pressure Service 1.1.1 and the GATT Specification Supplement (Blood Pressure Measurement, Feature,
 * Enhanced Blood Pressure Measurement), ISO/IEEE 11073-20601 (SFLOAT-Type), HL7 Personal Health Device guide 2.0.0
 * (SFLOAT to FHIR). The byte vectors were decoded by software that shares nothing with ours; B10 was captured from a
 * monitor and posted publicly.
 */

const RECEIVED = '2026-11-24T21:31:00+01:00'

function indication(value: string, besides: object = {}): unknown {
  return {
    characteristic: '2A35',
    value,
    encoding: 'hex',
    subject: 'HW-1001',
    receivedAt: RECEIVED,
    ...besides,
  }
}

function decode(value: unknown) {
  return decodeIndication({ value, text: JSON.stringify(value) ?? '' })
}

function decoded(
  hex: string,
  besides: object = {},
): { measurement: Measurement; remarks: readonly Issue[]; tree: IndicationTree } {
  const result = decode(indication(hex, besides))
  if (!result.ok) throw new Error(result.issues.map(({ code, at }) => `${code} ${at}`).join(', '))
  const [record, ...others] = result.value
  if (record === undefined || others.length > 0) throw new Error('one indication is one record')
  const tree = record.record.value as IndicationTree
  return { measurement: tree.measurement, remarks: record.remarks, tree }
}

function refusal(value: unknown): readonly string[] {
  const result = decode(value)
  if (result.ok) throw new Error('was not refused')
  return result.issues.map(({ code, at }) => `${code} ${at}`)
}

const NOT_SAID = {
  bodyMovement: 'not-said',
  cuffTooLoose: 'not-said',
  irregularPulse: 'not-said',
  pulseRange: 'not-said',
  improperPosition: 'not-said',
}

describe('SFLOAT', () => {
  it.each([
    [0x07ff, 'not-a-number'],
    [0x07fe, 'positive-infinity'],
    [0x0802, 'negative-infinity'],
    [0x0800, 'error'],
    [0x0801, 'error'],
  ])('%i is %s as a whole value', (raw, absent) => {
    expect(readShortFloat(raw)).toEqual({ absent })
  })

  it.each([
    [0x0002, 2],
    [0xf014, 2],
    [0xe0c8, 2],
    [0x1002, 20],
    [0x2002, 200],
    [0x00c8, 200],
    [0x04d2, 1234],
    [0x0b2e, -1234],
    [0xf7ff, 204.7],
    [0xf4f6, 127],
    [0xf316, 79],
  ])('%i is %d', (raw, value) => {
    expect(readShortFloat(raw)).toEqual({ value })
  })

  it('is the decimal that was sent for every one of the 65,536 values', () => {
    for (let raw = 0; raw < 0x1_0000; raw += 1) {
      const read = readShortFloat(raw)
      if ('absent' in read) continue
      const mantissa = ((raw & 0xfff) << 20) >> 20
      const exponent = (raw << 16) >> 28
      // Both are whole numbers of ten-thousand-thousandths, worked out without a fraction.
      expect(BigInt(Math.round(read.value * 1e8))).toBe(BigInt(mantissa) * 10n ** BigInt(exponent + 8))
    }
  })
})

describe('Blood Pressure Measurement, 0x2A35', () => {
  it('B1: 120/80, mean 93 mmHg, by the monitor’s clock, pulse 72, user 1', () => {
    const { measurement, remarks } = decoded('1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00 00')
    expect(measurement).toEqual({
      ...{ unit: 'mmHg', systolic: 120, diastolic: 80, meanArterial: 93, pulse: 72 },
      ...{ clockShowed: '2026-03-29T07:15:00', timeFrom: 'monitor', user: 1, status: NOT_SAID, absent: {} },
    })
    expect(remarks).toEqual([])
  })

  it('B2: no number for the mean, and no clock: the time of receipt', () => {
    const { measurement, tree } = decoded('00 78 00 50 00 FF 07')
    expect(measurement).toEqual({
      ...{ unit: 'mmHg', systolic: 120, diastolic: 80, timeFrom: 'receipt', status: NOT_SAID },
      absent: { meanArterial: 'not-a-number' },
    })
    expect(tree.envelope.receivedAt).toBe(RECEIVED)
  })

  it('B3: 16.0/10.7, mean 12.4 kPa', () => {
    const { measurement } = decoded('01 A0 F0 6B F0 7C F0')
    expect(measurement).toMatchObject({ unit: 'kPa', systolic: 16, diastolic: 10.7, meanArterial: 12.4 })
    // The vector counts 133.322387415 Pa in one mmHg; UCUM, and so this gateway, 133.322: a millionth and a half less.
    const inMmHg = [16, 10.7, 12.4].map((value) => mmHg({ value, unit: 'kPa' }) * (133.322 / 133.322387415))
    expect(inMmHg.map((value) => value.toFixed(4))).toEqual(['120.0099', '80.2566', '93.0076'])
  })

  it('B4: no number for the diastolic, body movement', () => {
    const { measurement } = decoded('16 80 00 FF 07 FF 07 EA 07 0B 18 15 1E 05 4E 00 01 00')
    expect(measurement).toEqual({
      ...{ unit: 'mmHg', systolic: 128, pulse: 78, clockShowed: '2026-11-24T21:30:05', timeFrom: 'monitor' },
      status: { ...NOT_SAID, bodyMovement: 'detected' },
      absent: { diastolic: 'not-a-number', meanArterial: 'not-a-number' },
    })
  })

  it('B5: cuff too loose and irregular pulse', () => {
    expect(decoded('14 91 00 5A 00 6C 00 42 00 06 00').measurement).toMatchObject({
      ...{ systolic: 145, diastolic: 90, meanArterial: 108, pulse: 66 },
      status: { ...NOT_SAID, cuffTooLoose: 'detected', irregularPulse: 'detected' },
    })
  })

  it('B6: user 255 is unknown; no pulse; four bits and no pulse range', () => {
    const { measurement } = decoded('1C 8C 00 5C 00 6C 00 FF 07 FF 27 00')
    expect(measurement).toMatchObject({
      ...{ systolic: 140, diastolic: 92, meanArterial: 108, user: 'unknown' },
      status: {
        ...{ bodyMovement: 'detected', cuffTooLoose: 'detected', irregularPulse: 'detected' },
        ...{ pulseRange: 'not-said', improperPosition: 'detected' },
      },
      absent: { pulse: 'not-a-number' },
    })
    expect(measurement.pulse).toBeUndefined()
  })

  it.each([
    ['B7', '08 00', 'above'],
    ['B8', '10 00', 'below'],
    ['B9', '18 00', 'unknown'],
  ])('%s: a pulse range of %s is %s', (_id, status, pulseRange) => {
    expect(decoded(`10 9E 00 62 00 76 00 ${status}`).measurement).toMatchObject({
      ...{ systolic: 158, diastolic: 98, meanArterial: 118 },
      status: { ...NOT_SAID, pulseRange },
    })
  })

  it('B10: a captured indication, whose reserved status bit is passed over', () => {
    const { measurement, remarks } = decoded('1E F6 F4 16 F3 FF 07 E4 07 01 14 08 2B 00 B2 F2 01 80 00')
    expect(measurement).toMatchObject({
      ...{ systolic: 127, diastolic: 79, pulse: 69, user: 1, clockShowed: '2020-01-20T08:43:00' },
      absent: { meanArterial: 'not-a-number' },
      status: NOT_SAID,
    })
    expect(told(remarks)).toEqual(['information TOLERATED value[17]'])
  })

  it('B11: a time stamp whose day is not known is none', () => {
    const { measurement, remarks } = decoded('02 78 00 50 00 5D 00 00 00 00 00 00 00 00')
    expect(measurement).toMatchObject({ systolic: 120, diastolic: 80, meanArterial: 93, timeFrom: 'receipt' })
    expect(measurement).not.toHaveProperty('takenAt')
    expect(measurement).not.toHaveProperty('clockShowed')
    expect(told(remarks)).toEqual(['information TOLERATED value[7]'])
  })

  it('B12: neither pressure is a number: refused, each with its reason', () => {
    const result = decode(indication('00 00 08 02 08 FE 07'))
    expect(
      result.ok ? [] : result.issues.map(({ at, expected }) => [at, expected.split(' ').at(-1)]),
    ).toEqual([
      ['value[1]', 'error'],
      ['value[3]', 'negative-infinity'],
    ])
  })

  it('B13: a reserved flag is passed over', () => {
    const { measurement, remarks } = decoded('20 78 00 50 00 5D 00')
    expect(measurement).toMatchObject({ systolic: 120, diastolic: 80, meanArterial: 93 })
    expect(told(remarks)).toEqual(['information TOLERATED value[0]'])
  })

  it('B14: one byte short of its flags: refused as a whole', () => {
    const short = '1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00'
    expect(refusal(indication(short))).toEqual(['TRUNCATED value'])
  })

  it('B15: tenths', () => {
    expect(decoded('00 7B F3 50 00 5D 00').measurement).toMatchObject({
      ...{ systolic: 89.1, diastolic: 80, meanArterial: 93 },
    })
  })

  it('B16: what the Feature word says the monitor looks for', () => {
    expect(readFeatures(0x0025)).toEqual({
      ...{ bodyMovement: true, cuffFit: false, irregularPulse: true, pulseRange: false },
      ...{ measurementPosition: false, multipleBonds: true },
    })
    expect(decoded('10 78 00 50 00 5D 00 04 00', { feature: '25 00' }).measurement.status).toEqual({
      ...{ bodyMovement: 'not-detected', cuffTooLoose: 'not-looked-for', irregularPulse: 'detected' },
      ...{ pulseRange: 'not-looked-for', improperPosition: 'not-looked-for' },
    })
  })

  it('passes over bytes behind those its flags announce, and says so', () => {
    const { measurement, remarks } = decoded('00 78 00 50 00 5D 00 01 02')
    expect(measurement).toMatchObject({ systolic: 120, diastolic: 80, meanArterial: 93 })
    expect(told(remarks)).toEqual(['information TOLERATED value[7]'])
  })

  it('does not take a time that does not exist', () => {
    const { measurement, remarks } = decoded('02 78 00 50 00 5D 00 EA 07 02 1E 07 0F 00')
    expect(measurement.timeFrom).toBe('receipt')
    expect(told(remarks)).toEqual(['information TOLERATED value[7]'])
  })

  it.each(Array.from({ length: 19 }, (_, length) => length))('refuses the first %i bytes of B1', (length) => {
    const b1 = '1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00 00'.split(' ').slice(0, length).join('')
    expect(refusal(indication(b1))).toEqual([length === 0 ? 'OUT_OF_RANGE value' : 'TRUNCATED value'])
  })
})

describe('Enhanced Blood Pressure Measurement, 0x2B34', () => {
  const enhanced = { characteristic: '2B34' }

  it('E1: UTC and the user facing time give the offset', () => {
    const { measurement } = decoded('7E 80 00 50 00 60 00 5D BE 98 32 48 00 01 04 00 6D CC 98 32', enhanced)
    expect(measurement).toEqual({
      ...{ unit: 'mmHg', systolic: 128, diastolic: 80, meanArterial: 96, pulse: 72, user: 1 },
      ...{ takenAt: '2026-11-24T22:30:05+01:00', timeFrom: 'monitor', absent: {} },
      status: { ...NOT_SAID, irregularPulse: 'detected' },
    })
  })

  it('E1 counted from 1900, as unsigned 32 bits, is the same moment', () => {
    const { measurement } = decoded('02 80 00 50 00 60 00 5D 80 B0 EE', enhanced)
    expect(measurement.takenAt).toBe('2026-11-24T21:30:05Z')
  })

  it('keeps UTC where the user facing time is not a quarter of an hour away, and says so', () => {
    const { measurement, remarks } = decoded('62 80 00 50 00 60 00 5D BE 98 32 6E CC 98 32', enhanced)
    expect(measurement.takenAt).toBe('2026-11-24T21:30:05Z')
    expect(told(remarks)).toEqual(['information TOLERATED value[7]'])
  })

  it('takes the user facing time alone as what a clock showed', () => {
    const { measurement } = decoded('60 80 00 50 00 60 00 6D CC 98 32', enhanced)
    expect(measurement.clockShowed).toBe('2026-11-24T22:30:05')
    expect(measurement.takenAt).toBeUndefined()
  })

  it('gives an offset west of Greenwich', () => {
    // 22:30:05 minus three and a half hours, 12600 s: 0x3298BE5D - 0x3138.
    const { measurement } = decoded('62 80 00 50 00 60 00 5D BE 98 32 25 8D 98 32', enhanced)
    expect(measurement.takenAt).toBe('2026-11-24T18:00:05-03:30')
  })
})

describe('an indication', () => {
  it.each(['2A36', '0x2a36', '00002A36-0000-1000-8000-00805F9B34FB', '2B35'])(
    'from %s is an intermediate cuff pressure and never a reading',
    (characteristic) => {
      const [code] = refusal(indication('00 78 00 FF 07 FF 07', { characteristic }))
      expect(code).toBe('NOT_A_MEASUREMENT characteristic')
    },
  )

  it('from another characteristic is not read', () => {
    for (const characteristic of ['2A37', '2B36', 'blood pressure']) {
      const refused = refusal(indication('00 78 00 50 00 5D 00', { characteristic }))
      expect(refused).toEqual(['NOT_SUPPORTED characteristic'])
    }
  })

  it('may be in base64', () => {
    const inBase64 = { encoding: 'base64', feature: 'JQA=' }
    expect(decoded('AHgAUABdAA==', inBase64).measurement).toEqual(
      decoded('00 78 00 50 00 5D 00', { feature: '2500' }).measurement,
    )
  })

  it.each([
    ['odd hexadecimal digits', indication('007'), 'OUT_OF_RANGE value'],
    ['no hexadecimal', indication('1E 7x'), 'OUT_OF_RANGE value'],
    ['base64 without padding', indication('AHgAUABdAA', { encoding: 'base64' }), 'OUT_OF_RANGE value'],
    ['half a Feature word', indication('00 78 00 50 00 5D 00', { feature: '25' }), 'TRUNCATED feature'],
    ['an encoding of its own', indication('00', { encoding: 'octal' }), 'NOT_A_CHOICE encoding'],
    ['no time of receipt', withoutReceipt(), 'MISSING_KEY receivedAt'],
    [
      'a receipt without offset',
      indication('00', { receivedAt: '2026-11-24T21:31:00' }),
      'BAD_TIME receivedAt',
    ],
    ['a number for a subject', indication('00', { subject: 1001 }), 'WRONG_TYPE subject'],
    ['another key', indication('00', { pulse: 70 }), 'UNKNOWN_KEY pulse'],
    [
      'a key of the device that is not known',
      indication('00', { device: { colour: 'x' } }),
      'UNKNOWN_KEY device.colour',
    ],
    ['no object', 'bytes', 'WRONG_TYPE '],
  ])('with %s is refused', (_what, value, expected) => {
    expect(refusal(value)).toEqual([expected])
  })

  it('of another user of the monitor is another person’s', () => {
    const b1 = '1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00 00'
    expect(decoded(b1, { monitorUser: 1 }).remarks).toEqual([])
    expect(refusal(indication(b1, { monitorUser: 2 }))).toEqual(['NOT_A_MEASUREMENT value'])
    const unknown = decoded('08 78 00 50 00 5D 00 FF', { monitorUser: 2 })
    expect(told(unknown.remarks)).toEqual(['information TOLERATED value'])
  })

  it('never throws and never invents a number, whatever the bytes', () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 30 }),
        fc.constantFrom('2A35', '2B34'),
        fc.option(fc.uint8Array({ maxLength: 3 })),
        (bytes, characteristic, feature) => {
          const hex = (octets: Uint8Array) => Buffer.from(octets).toString('hex')
          const value = indication(hex(bytes), {
            characteristic,
            ...(feature === null ? {} : { feature: hex(feature) }),
          })
          const result = decode(value)
          if (!result.ok) return result.issues.every(blocks)
          return result.value.every(({ remarks, record }) => {
            const { measurement } = record.value as IndicationTree
            const numbers = [measurement.systolic, measurement.diastolic, measurement.meanArterial]
            return (
              remarks.every((issue) => !blocks(issue)) &&
              numbers.every((number) => number === undefined || Number.isFinite(number)) &&
              JSON.stringify(JSON.parse(JSON.stringify(measurement))) === JSON.stringify(measurement)
            )
          })
        },
      ),
      { numRuns: 2000 },
    )
  })

  it('never throws, whatever the JSON', () => {
    const anything = fc.oneof(
      fc.jsonValue(),
      fc.record(
        {
          characteristic: fc.oneof(fc.constantFrom('2A35', '2b34', '2A36'), fc.jsonValue()),
          value: fc.oneof(fc.string(), fc.constant('1E7800'), fc.jsonValue()),
          encoding: fc.oneof(fc.constantFrom('hex', 'base64'), fc.jsonValue()),
          feature: fc.jsonValue(),
          subject: fc.jsonValue(),
          receivedAt: fc.oneof(fc.constant(RECEIVED), fc.jsonValue()),
          device: fc.jsonValue(),
        },
        { requiredKeys: [] },
      ),
    )
    fc.assert(
      fc.property(anything, (value) => {
        const result = decode(value)
        return result.ok ? result.value.length === 1 : result.issues.length > 0
      }),
      { numRuns: 2000 },
    )
  })

  it('reads the same from a part of a longer buffer', () => {
    const buffer = Uint8Array.from([9, 9, 0, 0x78, 0, 0x50, 0, 0x5d, 0])
    const read = readMeasurement(buffer.subarray(2), 'measurement', undefined)
    expect(read).toMatchObject({ ok: true, value: { measurement: { systolic: 120, diastolic: 80 } } })
  })
})

describe('through the shipped mapping', () => {
  const read = (...values: readonly unknown[]) =>
    mappedSessions('bluetooth-blood-pressure', decodeIndication, values)
  const session = (hex: string, besides: object = {}) => {
    const { sessions, refused } = read(indication(hex, besides))
    expect(refused).toEqual([])
    expect(sessions).toHaveLength(1)
    return sessions[0]
  }
  const inMmHg = (value: number) => ({ value, unit: 'mmHg' })

  it('B1 is a session of the person’s own morning', () => {
    expect(session('1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00 00')).toMatchObject({
      ...{ subject: 'HW-1001', setting: 'home', entry: 'transferred' },
      takenAt: { text: '2026-03-29T07:15:00+02:00' },
      readings: [{ systolic: inMmHg(120), diastolic: inMmHg(80), pulse: 72 }],
    })
  })

  it('B2 and B11 are told to be of the time of receipt, and B1 is not', () => {
    for (const hex of ['00 78 00 50 00 FF 07', '02 78 00 50 00 5D 00 00 00 00 00 00 00 00'])
      expect(session(hex)).toMatchObject({ timeFrom: 'receipt', takenAt: { text: RECEIVED } })
    expect(session('1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00 00')).not.toHaveProperty('timeFrom')
  })

  it('B3 keeps kPa', () => {
    expect(session('01 A0 F0 6B F0 7C F0')?.readings[0]).toMatchObject({
      systolic: { value: 16, unit: 'kPa' },
      diastolic: { value: 10.7, unit: 'kPa' },
    })
  })

  it('B4 has no diastolic, and movement', () => {
    expect(session('16 80 00 FF 07 FF 07 EA 07 0B 18 15 1E 05 4E 00 01 00')?.readings).toMatchObject([
      { systolic: inMmHg(128), diastolic: null, pulse: 78, monitorSays: { bodyMovement: true } },
    ])
  })

  it('B5 says what was detected, and of the rest nothing', () => {
    expect(session('14 91 00 5A 00 6C 00 42 00 06 00')?.readings[0]?.monitorSays).toEqual({
      cuffTooLoose: true,
      irregularPulse: true,
    })
  })

  it('B6 has no pulse', () => {
    const reading = session('1C 8C 00 5C 00 6C 00 FF 07 FF 27 00')?.readings[0]
    expect(reading).toMatchObject({ systolic: inMmHg(140), diastolic: inMmHg(92) })
    expect(reading).not.toHaveProperty('pulse')
  })

  it.each([
    ['B7', '10 9E 00 62 00 76 00 08 00', 158, 98],
    ['B8', '10 9E 00 62 00 76 00 10 00', 158, 98],
    ['B9', '10 9E 00 62 00 76 00 18 00', 158, 98],
    ['B10', '1E F6 F4 16 F3 FF 07 E4 07 01 14 08 2B 00 B2 F2 01 80 00', 127, 79],
    ['B13', '20 78 00 50 00 5D 00', 120, 80],
    ['B15', '00 7B F3 50 00 5D 00', 89.1, 80],
  ])('%s is a reading', (_id, hex, systolic, diastolic) => {
    expect(session(hex)?.readings).toMatchObject([
      { systolic: inMmHg(systolic), diastolic: inMmHg(diastolic) },
    ])
  })

  it('B12 and B14 are none', () => {
    for (const hex of ['00 00 08 02 08 FE 07', '1E 78 00 50 00 5D 00 EA 07 03 1D 07 0F 00 48 00 01 00'])
      expect(read(indication(hex)).sessions).toEqual([])
  })

  it('B16 makes a bit of 0 a false, where the monitor looks', () => {
    const says = session('10 78 00 50 00 5D 00 04 00', { feature: '25 00' })?.readings[0]?.monitorSays
    expect(says).toEqual({ bodyMovement: false, irregularPulse: true })
  })

  it('E1 keeps the offset of the person', () => {
    const hex = '7E 80 00 50 00 60 00 5D BE 98 32 48 00 01 04 00 6D CC 98 32'
    expect(session(hex, { characteristic: '2B34' })).toMatchObject({
      takenAt: { text: '2026-11-24T22:30:05+01:00' },
      readings: [{ systolic: inMmHg(128), diastolic: inMmHg(80), pulse: 72 }],
    })
  })

  it('the sample is one sitting of two readings, and one by the time of receipt', () => {
    const lines = mappedSample('bluetooth-indications.ndjson').trim().split('\n')
    const { sessions, refused } = read(...lines.map((line) => JSON.parse(line)))
    expect(refused).toEqual([])
    expect(sessions.map(({ readings, timeFrom }) => [readings.length, timeFrom])).toEqual([
      [2, undefined],
      [1, 'receipt'],
    ])
  })
})

function withoutReceipt(): object {
  return { characteristic: '2A35', value: '00', encoding: 'hex', subject: 'HW-1001' }
}

function told(remarks: readonly Issue[]): readonly string[] {
  return remarks.map(({ severity, code, at }) => `${severity} ${code} ${at}`)
}
