import fc from 'fast-check'
import type { Bundle, Observation } from 'fhir/r4.js'
import { type HL7Node, Message } from 'node-hl7-client'
import { describe, expect, it } from 'vitest'
import { blocks } from '../../src/core/basics/issue.ts'
import { sessionBundle } from '../../src/core/fhir/session/session-bundle.ts'
import { decodeOruMessage, type OruTree } from '../../src/core/hl7v2/decode-oru-message.ts'
import { oruMessage } from '../../src/core/hl7v2/oru-message.ts'
import { readParts, refusedOf, toldParts } from '../support/decoded-parts.ts'
import { emittedResources } from '../support/emitted-resources.ts'
import { EXAMPLE_RECORD, exampleContext } from '../support/example-context.ts'
import { exampleReading, exampleSession, instant } from '../support/example-session.ts'
import { type MappedSessions, mappedSessions } from '../support/mapped-session.ts'
import { messageDestination } from '../support/message-destination.ts'
import { mappedSample } from '../support/shipped-mapping.ts'

/**
 * HL7 version 2.5.1: chapter 2 (separators 2.5.4, escapes 2.7, MSH 2.15.9, data types CE, DTM, NM), chapter 7 (ORU^R01
 * 7.3.1, OBR 7.4.1, OBX 7.4.2), tables 0085 (result status), 0104 (versions), 0211 (character sets), 0396 (code systems).
 * H1 is written by hand from them. Second opinion: the parser of node-hl7-client 2.3.1 (MIT).
 */

const MSH =
  'MSH|^~\\&|HARBOUR|APP|BPGW|HOMEBP|20261124213005+0100||ORU^R01^ORU_R01|m-1|P|2.5.1|||AL|NE||UNICODE UTF-8'
const PID = 'PID|1||HW-1001^^^HARBOUR^PI'
const OBR =
  'OBR|1||s-1^HARBOUR|85354-9^Blood pressure^LN|||20261124211500+0100|||||||||||||||20261124213005+0100|||F'
const SYSTOLIC = 'OBX|1|NM|8480-6^Systolic^LN|1|128|mm[Hg]^mm[Hg]^UCUM|||||F|||20261124211500+0100'
const DIASTOLIC = 'OBX|2|NM|8462-4^Diastolic^LN|1|80|mm[Hg]^mm[Hg]^UCUM|||||F|||20261124211500+0100'
const PULSE = 'OBX|3|NM|8867-4^Heart rate^LN|1|72|/min^/min^UCUM|||||F|||20261124211500+0100'

const H1 = [
  'MSH|^~\\&|BPGW|HOMEBP|EHR|CLINIC|20261124213005+0100||ORU^R01^ORU_R01|7f3c0001|P|2.5.1|||AL|NE||UNICODE UTF-8',
  'PID|1||PAT-1^^^CLINIC^MR||Test^Pat||19600101|F',
  'OBR|1||PRD-1^BPGW|96607-7^BP panel mean^LN|||20261117000000+0100|20261124000000+0100||||||||||||||20261124213005+0100|||F',
  'OBX|1|NM|96608-5^Systolic mean^LN|1|131|mm[Hg]^mm[Hg]^UCUM|||||F|||20261117000000+0100',
  'OBX|2|NM|96609-3^Diastolic mean^LN|1|82|mm[Hg]^mm[Hg]^UCUM|||||F|||20261117000000+0100',
]

const WHOLE = [MSH, PID, OBR, SYSTOLIC, DIASTOLIC, PULSE]
/** Another reading under the same OBR. */
const SECOND = [SYSTOLIC.replace('|1|128', '|2|131'), DIASTOLIC.replace('|1|80', '|2|84')]

function decode(lines: readonly string[], end = '\r') {
  const text = lines.map((line) => `${line}${end}`).join('')
  return decodeOruMessage({ value: text, text })
}

function trees(lines: readonly string[], end?: string): readonly OruTree[] {
  const result = decode(lines, end)
  if (!result.ok) throw new Error(result.issues.map(({ code, at }) => `${code} ${at}`).join(', '))
  return result.value.map(({ record }) => record.value as OruTree)
}

function only(lines: readonly string[]): OruTree {
  const [tree, ...others] = trees(lines)
  if (tree === undefined || others.length > 0) throw new Error('one reading was meant')
  return tree
}

function refusal(lines: readonly string[]): readonly string[] {
  return refusedOf(decode(lines))
}

/** The message with one line replaced, or left out. */
function changed(line: string, by: string | undefined): readonly string[] {
  return WHOLE.flatMap((one) => (one === line ? (by === undefined ? [] : [by]) : [one]))
}

describe('one reading', () => {
  it.each([
    ['with another offset', '20261124201500+0000'],
    ['with a fraction of nothing', '20261124211500.0000+0100'],
    ['without seconds', '202611242115+0100'],
    ['by the report alone', ''],
  ])('has pressures of one moment, though one is written %s', (_, written) => {
    const tree = only(changed(DIASTOLIC, DIASTOLIC.replace('20261124211500+0100', written)))
    expect(tree.reading.at).toBe('2026-11-24T21:15:00+01:00')
    expect(tree.reading.results).toHaveLength(3)
  })

  it('has a pulse of the same minute, or of no time of its own', () => {
    for (const written of ['20261124211600+0100', '20261124201400+0000', ''])
      expect(
        only(changed(PULSE, PULSE.replace('20261124211500+0100', written))).reading.results,
      ).toHaveLength(3)
  })

  it('is a tree of who, what, when and in which unit', () => {
    expect(only(WHOLE)).toEqual({
      message: {
        ...{ controlId: 'm-1', version: '2.5.1', processing: 'P' },
        sender: { application: 'HARBOUR', facility: 'APP' },
      },
      patient: { id: 'HW-1001', identifiers: [{ id: 'HW-1001', authority: 'HARBOUR', type: 'PI' }] },
      order: {
        filler: { id: 's-1', namespace: 'HARBOUR' },
        codes: [{ code: '85354-9', system: 'LN' }],
        ...{ at: '2026-11-24T21:15:00+01:00', status: 'F', shared: [] },
      },
      reading: {
        ...{ subId: '1', at: '2026-11-24T21:15:00+01:00', unit: 'mm[Hg]' },
        results: [
          ['8480-6', 128, 'mm[Hg]'],
          ['8462-4', 80, 'mm[Hg]'],
          ['8867-4', 72, '/min'],
        ].map(([code, value, unit]) => ({
          codes: [{ code, system: 'LN' }],
          ...{ type: 'NM', value, unit, unitSystem: 'UCUM', status: 'F' },
        })),
      },
    })
  })

  it('carries the segments it came from and nothing of the patient but the identifiers', () => {
    const named = changed(PID, 'PID|1||HW-1001^^^HARBOUR^PI||Test^Pat||19600101|F')
    const result = decode([...named, 'NTE|1|L|felt unwell'])
    const [record] = result.ok ? result.value : []
    expect(record?.record.text.split('\r').map((line) => line.slice(0, 5))).toEqual([
      ...['MSH|^', 'PID|1', 'OBR|1', 'OBX|1', 'OBX|2', 'OBX|3', ''],
    ])
    expect(JSON.stringify(record?.record.value)).not.toMatch(/Test|1960|unwell/)
  })

  it('H1, an average, is read under its own codes, and is no reading of 8480-6 or 8462-4', () => {
    const tree = only(H1)
    expect(tree.order.codes).toEqual([{ code: '96607-7', system: 'LN' }])
    expect(tree.order.until).toBe('2026-11-24T00:00:00+01:00')
    expect(tree.reading.results.map(({ codes, value }) => [codes[0]?.code, value])).toEqual([
      ['96608-5', 131],
      ['96609-3', 82],
    ])
    expect(tree.reading.unit).toBeUndefined()
  })
})

describe('several readings', () => {
  const second = [SYSTOLIC, DIASTOLIC].map((line) =>
    line.replace('|1|128', '|2|134').replace('|1|80', '|2|84'),
  )
  const position = 'OBX|9|CE|8361-8^Body position^LN||LA11868-9^Sitting^LN||||||F'

  it('are told apart by their sub-id, and what has none holds for all', () => {
    const found = trees([MSH, PID, OBR, SYSTOLIC, DIASTOLIC, ...second, position])
    expect(found.map(({ reading }) => [reading.subId, ...reading.results.map(({ value }) => value)])).toEqual(
      [
        ['1', 128, 80],
        ['2', 134, 84],
      ],
    )
    for (const { order } of found) {
      expect(order.shared.map(({ value, valueText }) => [value, valueText])).toEqual([
        ['LA11868-9', 'Sitting'],
      ])
    }
  })

  it('may stand in orders of their own', () => {
    const found = trees([MSH, PID, OBR, SYSTOLIC, DIASTOLIC, OBR.replace('|1||s-1', '|2||s-2'), ...second])
    expect(found.map(({ order }) => order.filler.id)).toEqual(['s-1', 's-2'])
  })

  it('without sub-ids cannot be told apart', () => {
    const bare = (line: string) => line.replace('^LN|1|', '^LN||').replace('^LN|2|', '^LN||')
    expect(only([MSH, PID, OBR, bare(SYSTOLIC), bare(DIASTOLIC)]).reading.subId).toBe('')
    const lines = [MSH, PID, OBR, ...[SYSTOLIC, DIASTOLIC, ...second].map(bare)]
    expect(refusal(lines)).toEqual(['TOO_MANY OBX[3]-4', 'TOO_MANY OBX[4]-4'])
    expect(refusal([MSH, PID, OBR, SYSTOLIC, bare(DIASTOLIC)])).toEqual(['MISSING_KEY OBX[2]-4'])
  })
})

describe('what is read otherwise', () => {
  it('ISO/IEEE 11073 codes and units, as PCD-01 has them', () => {
    const tree = only([
      ...[MSH, PID, OBR],
      'OBX|1|NM|150021^MDC_PRESS_BLD_NONINV_SYS^MDC|1.0.0.1|128|266016^MDC_DIM_MMHG^MDC|||||R|||20261124211500+0100||||0123456789ABCDEF^^0123456789ABCDEF^EUI-64',
    ])
    expect(tree.reading).toMatchObject({
      ...{ subId: '1.0.0', unit: '266016', device: { id: '0123456789ABCDEF', namespace: '' } },
      results: [{ codes: [{ code: '150021', system: 'MDC' }], value: 128, status: 'R' }],
    })
  })

  it('the alternate coding of a result and of a unit', () => {
    const line = SYSTOLIC.replace('8480-6^Systolic^LN', 'SYS^Sys^L^8480-6^Systolic^LN').replace(
      'mm[Hg]^mm[Hg]^UCUM',
      'mmHg^mmHg^L^mm[Hg]^mm[Hg]^UCUM',
    )
    expect(only([MSH, PID, OBR, line, DIASTOLIC]).reading).toMatchObject({
      unit: 'mm[Hg]',
      results: [{ codes: [{ code: 'SYS' }, { code: '8480-6', system: 'LN' }] }, {}],
    })
  })

  it.each([
    'mm[Hg]^mmHg^UCUM',
    'mm[Hg]^millimeter of mercury^UCUM',
    'mm[Hg]^^UCUM^266016^MDC_DIM_MMHG^MDC',
    '266016^MDC_DIM_MMHG^MDC^mm[Hg]^mm Hg^UCUM',
  ])('a unit in words of its own: %s', (unit) => {
    const lines = [SYSTOLIC, DIASTOLIC].map((line) => line.replace('mm[Hg]^mm[Hg]^UCUM', unit))
    expect(only([MSH, PID, OBR, ...lines]).reading.results.map(({ value }) => value)).toEqual([128, 80])
  })

  it('kPa, tenths and signs', () => {
    const inKPa = (line: string, value: string) =>
      line.replace(/\|(?:128|80)\|/, `|${value}|`).replaceAll('mm[Hg]', 'kPa')
    const tree = only([MSH, PID, OBR, inKPa(SYSTOLIC, '+16.0'), inKPa(DIASTOLIC, '10.7')])
    expect(tree.reading.unit).toBe('kPa')
    expect(tree.reading.results.map(({ value }) => value)).toEqual([16, 10.7])
  })

  it('separators of its own, and escapes of those', () => {
    const own = WHOLE.map((line) =>
      line.replace('|^~\\&|', '#*~!@#').replaceAll('|', '#').replaceAll('^', '*'),
    )
    const escaped = own.map((line) => line.replace('HW-1001', 'HW!F!1!S!001'))
    expect(only(escaped).patient.id).toBe('HW#1*001')
  })

  it.each([
    ['LF', '\n'],
    ['CR LF', '\r\n'],
  ])('segments ended by %s, with a remark', (_name, end) => {
    const result = decode(WHOLE, end)
    const told = readParts(result).flatMap(({ remarks }) => remarks)
    expect(told.map(({ severity, code, at }) => `${severity} ${code} ${at}`)).toEqual([
      'information TOLERATED ',
    ])
    expect(trees(WHOLE, end)).toEqual(trees(WHOLE))
  })

  it.each([
    ['20261124211500', '2026-11-24T21:15:00+01:00', ['information TOLERATED OBX[1]-14']],
    ['202611242115+0100', '2026-11-24T21:15:00+01:00', ['information TOLERATED OBX[1]-14']],
    ['20261124211500.2500-0330', '2026-11-24T21:15:00.2500-03:30', []],
    ['', '2026-11-24T21:15:00+01:00', []],
  ])('a time of %s', (written, text, remarks) => {
    const at = (line: string) => line.replace(/\|20261124211500\+0100$/, `|${written}`)
    const [record] = readParts(decode([MSH, PID, OBR, at(SYSTOLIC), at(DIASTOLIC)]))
    expect(record?.record.value).toMatchObject({ reading: { at: text } })
    expect(record?.remarks.map(({ severity, code, at: place }) => `${severity} ${code} ${place}`)).toEqual(
      remarks,
    )
  })

  it('a time without any offset, as what a clock showed', () => {
    const lines = [MSH, PID, OBR, SYSTOLIC, DIASTOLIC].map((line) => line.replaceAll('+0100', ''))
    expect(only(lines).reading).toMatchObject({ clockShowed: '2026-11-24T21:15:00' })
    expect(only(lines).reading).not.toHaveProperty('at')
  })

  it('no value and other states of a result, for the mapping to judge', () => {
    for (const status of ['P', 'C', 'D', 'W', 'X', 'R']) {
      const line = `OBX|2|NM|8462-4^Diastolic^LN|1||mm[Hg]^mm[Hg]^UCUM|||||${status}`
      const [, diastolic] = only([MSH, PID, OBR, SYSTOLIC.replace(/\|\|\|2026.*$/, ''), line]).reading.results
      expect(diastolic).toMatchObject({ status })
      expect(diastolic?.value).toBeUndefined()
    }
  })

  it('a comparator apart from the number, and a range as none', () => {
    const withSn = (value: string) =>
      only(changed(PULSE, PULSE.replace('|NM|', '|SN|').replace('|72|', `|${value}|`)))
    expect(withSn('<^50').reading.results[2]).toMatchObject({ value: 50, comparator: '<' })
    expect(withSn('^72').reading.results[2]).not.toHaveProperty('comparator')
    expect(withSn('^70^-^74').reading.results[2]).toMatchObject({ comparator: '-' })
  })

  it('an identifier where there is one only', () => {
    const two = only(changed(PID, 'PID|1||HW-1001^^^HARBOUR^PI~LB-1^^^LANTERN^MR'))
    expect(two.patient).toEqual({
      identifiers: [
        { id: 'HW-1001', authority: 'HARBOUR', type: 'PI' },
        { id: 'LB-1', authority: 'LANTERN', type: 'MR' },
      ],
    })
  })
})

describe('what is refused, by segment and field', () => {
  const msh = (field: number, value: string) => {
    const parts = MSH.split('|')
    parts[field - 1] = value
    return changed(MSH, parts.join('|'))
  }
  const both = (from: string, to: string) => [MSH, PID, OBR, SYSTOLIC.replace(from, to), DIASTOLIC]
  it.each<[string, readonly string[], readonly string[]]>([
    ['another message', msh(9, 'ADT^A01'), ['NOT_SUPPORTED MSH-9']],
    ['another event', msh(9, 'ORU^R30^ORU_R30'), ['NOT_SUPPORTED MSH-9']],
    ['a version before 2.3', msh(12, '2.2'), ['NOT_SUPPORTED MSH-12']],
    ['version 3', msh(12, '3'), ['NOT_SUPPORTED MSH-12']],
    ['another character set', msh(18, '8859/1'), ['NOT_SUPPORTED MSH-18']],
    ['two character sets', msh(18, 'ASCII~UNICODE UTF-8'), ['NOT_SUPPORTED MSH-18']],
    ['no control id', msh(10, ''), ['MISSING_KEY MSH-10']],
    ['a bad time of the message', msh(7, '24.11.2026'), ['BAD_TIME MSH-7']],
    ['no header', WHOLE.slice(1), ['STRUCTURE MSH']],
    ['separators that are alike', [MSH.replace('^~\\&', '^~\\^'), ...WHOLE.slice(1)], ['STRUCTURE MSH']],
    ['two messages', [...WHOLE, ...WHOLE], ['TOO_MANY MSH[2]']],
    ['a fragment', [...WHOLE, 'DSC|next'], ['NOT_SUPPORTED DSC[1]']],
    ['a line that is no segment', [...WHOLE, 'felt unwell'], ['STRUCTURE segment 7']],
    ['no patient', changed(PID, undefined), ['MISSING_KEY PID']],
    ['two patients', [...WHOLE, PID], ['TOO_MANY PID[2]']],
    ['no order', changed(OBR, undefined), ['STRUCTURE OBX[1]', 'MISSING_KEY OBR']],
    ['no results', [MSH, PID, OBR], ['MISSING_KEY OBX']],
    ['a decimal comma', both('|128|', '|128,5|'), ['WRONG_TYPE OBX[1]-5']],
    ['a unit in the value', both('|128|', '|128 mmHg|'), ['WRONG_TYPE OBX[1]-5']],
    ['an exponent', both('|128|', '|1.28e2|'), ['WRONG_TYPE OBX[1]-5']],
    ['both pressures in one value', both('|128|', '|128/80|'), ['WRONG_TYPE OBX[1]-5']],
    ['a value twice', both('|128|', '|128~130|'), ['TOO_MANY OBX[1]-5']],
    ['a unit without its system', both('mm[Hg]^mm[Hg]^UCUM', 'mm[Hg]'), ['CODE OBX[1]-6']],
    ['no unit', both('mm[Hg]^mm[Hg]^UCUM', ''), ['CODE OBX[1]-6']],
    ['two units', both('mm[Hg]^mm[Hg]^UCUM', 'kPa^kPa^UCUM'), ['CODE OBX[2]-6']],
    ['a unit in other words', both('mm[Hg]^mm[Hg]^UCUM', 'mm[Hg]^kPa^UCUM'), ['CODE OBX[1]-6']],
    ['two units in one', both('mm[Hg]^mm[Hg]^UCUM', 'mmHg^x^L^kPa^kPa^UCUM'), ['CODE OBX[1]-6']],
    [
      'a unit of ISO/IEEE 11073 in other words',
      both('mm[Hg]^mm[Hg]^UCUM', '266016^MDC_DIM_KILO_PASCAL^MDC'),
      ['CODE OBX[1]-6'],
    ],
    ['two times', both('20261124211500+0100', '20261124211600+0100'), ['BAD_TIME OBX[2]-14']],
    ['a fraction of a second between', both('211500+', '211500.001+'), ['BAD_TIME OBX[2]-14']],
    [
      'a pulse of another time',
      changed(PULSE, PULSE.replace('20261124211500', '20261124094500')),
      ['BAD_TIME OBX[3]-14'],
    ],
    [
      'a pulse before its pressures, of another time',
      [MSH, PID, OBR, PULSE.replace('211500+', '211601+'), SYSTOLIC, DIASTOLIC],
      ['BAD_TIME OBX[1]-14'],
    ],
    ['a day alone', both('20261124211500+0100', '20261124'), ['BAD_TIME OBX[1]-14']],
    ['a day that is none', both('20261124211500+0100', '20260230211500+0100'), ['BAD_TIME OBX[1]-14']],
    ['no code', both('8480-6^Systolic^LN', '^Systolic'), ['MISSING_KEY OBX[1]-3']],
    ['the same twice', [...WHOLE, SYSTOLIC], ['TOO_MANY OBX[4]-4']],
  ])('%s', (_what, lines, expected) => {
    expect(refusal(lines)).toEqual(expected)
  })

  it.each<[string, readonly string[], ReturnType<typeof toldParts>]>([
    ['of one reading, and the readings beside it are read', [...WHOLE, ...SECOND], ['read', 'read']],
    [
      'a number that is none',
      [...WHOLE, ...SECOND.map((line) => line.replace('|131|', '|131,5|'))],
      ['read', ['WRONG_TYPE OBX[4]-5']],
    ],
    [
      'a time and a unit of the first',
      [
        ...changed(DIASTOLIC, DIASTOLIC.replace('mm[Hg]^mm[Hg]^UCUM', '').replace('|20261124', '|20261324')),
        ...SECOND,
      ],
      [['BAD_TIME OBX[2]-14', 'CODE OBX[2]-6'], 'read'],
    ],
    [
      'what holds for all readings of an order, with those of another order read',
      [
        ...[MSH, PID, OBR.replace('20261124211500', '20261324211500'), SYSTOLIC, DIASTOLIC, ...SECOND],
        ...[OBR.replace('|1|', '|2|'), SYSTOLIC, DIASTOLIC],
      ],
      [['BAD_TIME OBR[1]-7'], 'read'],
    ],
    [
      'a pressure without a sub-id beside others with one',
      [MSH, PID, OBR, SYSTOLIC.replace('|1|128', '||128'), DIASTOLIC, ...SECOND],
      [['MISSING_KEY OBX[1]-4']],
    ],
  ])('%s', (_what, lines, parts) => {
    expect(toldParts(decode(lines))).toEqual(parts)
  })

  it('a part that is refused is told with its own segments', () => {
    const bad = SECOND.map((line) => line.replace('|131|', '|131,5|'))
    const result = decode([...WHOLE, ...bad])
    const texts = result.ok ? result.value.map(({ record }) => record.text.split('\r').slice(0, -1)) : []
    expect(texts).toEqual([WHOLE, [MSH, PID, OBR, ...bad]])
  })

  it('never repeats what the message says', () => {
    const canary = changed(PULSE, PULSE.replace('|72|', '|7CANARY2|'))
    const result = decode([...canary, 'CANARY'])
    expect(JSON.stringify(result)).not.toContain('CANARY')
  })
})

describe('second opinion: node-hl7-client reads the same', () => {
  const messages: readonly [string, readonly string[]][] = [
    ['one reading', WHOLE],
    ['H1', H1],
    ['escapes', changed(PID, 'PID|1||HW\\S\\1001\\T\\\\F\\\\R\\\\E\\^^^HARBOUR^PI')],
  ]
  it.each(messages)('%s', (_name, lines) => {
    const message = new Message({ text: lines.map((line) => `${line}\r`).join('') })
    const tree = only(lines)
    expect(tree.patient.id).toBe(textAt(message, 'PID.3.1'))
    expect(tree.message.controlId).toBe(textAt(message, 'MSH.10'))
    expect(tree.order.filler.id).toBe(textAt(message, 'OBR.3.1'))
    const read: string[][] = []
    message.forEach((row) => {
      if (row.name === 'OBX')
        read.push(['3.1', '3.3', '4', '5', '6.1', '11'].map((path) => textAt(row, path)))
    })
    expect(
      tree.reading.results.map(({ codes, value, unit, status }) => [
        ...[codes[0]?.code, codes[0]?.system, tree.reading.subId, String(value), unit, status],
      ]),
    ).toEqual(read)
  })
})

describe('our own messages, read back', () => {
  const bundles = emittedResources().flatMap(([name, resource]) =>
    resource.resourceType === 'Bundle' ? [{ name, bundle: resource }] : [],
  )

  it.each(bundles)('$name: every number of the resources, digit for digit', ({ bundle }) => {
    const text = oruMessage(bundle, {
      destination: messageDestination(),
      patient: { system: 'https://clinic.example/mrn', value: 'LB|20^433' },
      controlId: '7f3c0001',
      messageTime: '2026-03-09T08:00:00Z',
    })
    const result = decodeOruMessage({ value: text, text })
    if (!result.ok) throw new Error(JSON.stringify(result.issues))
    const found = result.value.map(({ record }) => record.value as OruTree)
    expect(new Set(found.map(({ patient }) => patient.id))).toEqual(new Set(['LB|20^433']))
    const numbers = new Map<string, (number | string | undefined)[]>()
    for (const { order, reading } of found) {
      for (const { codes, value, type } of reading.results) {
        if (type !== 'NM' || codes[0]?.system !== 'LN') continue
        const key = `${order.filler.id} ${codes[0].code}`
        numbers.set(key, [...(numbers.get(key) ?? []), value])
      }
    }
    const expected = new Map<string, (number | undefined)[]>()
    for (const resource of observationsOf(bundle)) {
      for (const one of [resource, ...(resource.component ?? [])]) {
        const coding = one.code.coding?.[0]
        if (coding?.system !== 'http://loinc.org' || one.valueQuantity?.value === undefined) continue
        const key = `${resource.identifier?.[0]?.value} ${coding.code}`
        expected.set(key, [...(expected.get(key) ?? []), one.valueQuantity.value])
      }
    }
    expect(numbers).toEqual(expected)
  })
})

describe('through the shipped mapping', () => {
  const read = (lines: readonly string[]) =>
    mappedSessions('hl7v2-oru', decodeOruMessage, [lines.map((line) => `${line}\r`).join('')])
  const numbers = ({ sessions, refused }: MappedSessions) => {
    expect(refused).toEqual([])
    return sessions.map(({ readings }) =>
      readings.map(({ systolic, diastolic, pulse }) => [
        systolic?.value ?? null,
        diastolic?.value ?? null,
        pulse,
      ]),
    )
  }
  const withStatus = (status: string) => changed(DIASTOLIC, DIASTOLIC.replace('|||||F|', `|||||${status}|`))

  it('is a session', () => {
    const found = read(WHOLE)
    expect(numbers(found)).toEqual([[[128, 80, 72]]])
    expect(found.sessions[0]).toMatchObject({
      ...{ subject: 'HW-1001', entry: 'transferred', takenAt: { text: '2026-11-24T21:15:00+01:00' } },
    })
    expect(numbers(read(withStatus('C')))).toEqual([[[128, 80, 72]]])
  })

  it('H1 is refused: an average is not a reading', () => {
    expect(read(H1)).toEqual({
      sessions: [],
      refused: [expect.stringMatching(/^REFUSED_BY_MAPPING .*an average is not a reading/)],
    })
  })

  it.each(['P', 'R', 'I', 'S', 'U', ''])('a result of status "%s" is none', (status) => {
    const { sessions, refused } = read(withStatus(status))
    expect(sessions).toEqual([])
    expect(refused).toHaveLength(1)
    expect(refused.join()).toMatch(/^REFUSED_BY_MAPPING/)
  })

  it('status X is a pressure the monitor did not give; no OBX at all is refused', () => {
    const none = 'OBX|2||8462-4^Diastolic^LN|1|||||||X|||20261124211500+0100'
    expect(numbers(read(changed(DIASTOLIC, none)))).toEqual([[[128, null, 72]]])
    expect(read(changed(DIASTOLIC, undefined)).refused.join()).toMatch(/^REFUSED_BY_MAPPING .*diastolic/)
  })

  it.each([
    ['beside the pressures', OBR],
    ['in an order of its own', undefined],
  ])('a pulse %s is refused by a unit that is none of a pulse', (_where, besides) => {
    const inUnit = (unit: string) => {
      const pulse = PULSE.replace('/min^/min^UCUM', unit)
      const own = [OBR.replace('OBR|1', 'OBR|2').replace('s-1', 's-2'), pulse]
      return read(
        besides === undefined ? [MSH, PID, OBR, SYSTOLIC, DIASTOLIC, ...own] : changed(PULSE, pulse),
      )
    }
    expect(inUnit('Hz^Hz^UCUM').refused.join()).toMatch(/^REFUSED_BY_MAPPING .*a pulse is counted per minute/)
    for (const unit of ['{beats}/min^beats/min^UCUM', '264864^MDC_DIM_BEAT_PER_MIN^MDC', '']) {
      expect(numbers(inUnit(unit))).toEqual([[[128, 80, 72]]])
    }
  })

  it('a training message, a bound and a period are refused', () => {
    const training = changed(MSH, MSH.replace('|m-1|P|', '|m-1|T|'))
    const bound = changed(DIASTOLIC, DIASTOLIC.replace('|NM|', '|SN|').replace('|80|', '|<^80|'))
    const period = changed(
      OBR,
      OBR.replace('|20261124211500+0100|', '|20261124211500+0100|20261124221500+0100'),
    )
    for (const lines of [training, bound, period])
      expect(read(lines).refused.join()).toMatch(/^REFUSED_BY_MAPPING/)
  })

  it('PCD-01 metrics of one channel are one reading, in the unit of their code', () => {
    const metric = (set: number, code: string, path: string, value: number, unit: string) =>
      `OBX|${set}|NM|${code}^x^MDC|${path}|${value}|${unit}^x^MDC|||||R|||20261124211500+0100`
    const found = read([
      ...[MSH, PID, OBR],
      metric(1, '150021', '1.0.1.1', 128, '266016'),
      metric(2, '150022', '1.0.1.2', 80, '266016'),
      metric(3, '149546', '1.0.1.3', 72, '264864'),
    ])
    expect(numbers(found)).toEqual([[[128, 80, 72]]])
    expect(found.sessions[0]?.readings[0]?.systolic?.unit).toBe('mmHg')
  })

  it('the sample is one sitting of two readings', () => {
    const found = mappedSessions('hl7v2-oru', decodeOruMessage, [mappedSample('hl7v2-readings.hl7')])
    expect(numbers(found)).toEqual([
      [
        [126, 78, 74],
        [131, 75, 64],
      ],
    ])
    expect(found.sessions[0]).toMatchObject({ position: 'sitting' })
  })

  it.each([
    ['2.5.1', false],
    ['2.5.1', true],
    ['2.6', false],
  ] as const)(
    'our own messages of version %s give the same sitting back, SNOMED CT %s',
    (version, snomed) => {
      const at = (second: string) => ({ takenAt: instant(`2026-03-02T06:41:${second}-07:00`) })
      const session = exampleSession({
        subject: 'LB-20433',
        readings: [
          exampleReading({ ...at('00'), monitorSays: { irregularPulse: true, bodyMovement: false } }),
          exampleReading({ ...at('59'), ordinal: 2, diastolic: null }),
        ],
      })
      const text = oruMessage(sessionBundle(session, [], exampleContext({ snomed }), EXAMPLE_RECORD), {
        destination: messageDestination({ version }),
        patient: { system: 'https://clinic.example/mrn', value: 'LB-20433' },
        controlId: '7f3c0001',
        messageTime: '2026-03-09T08:00:00Z',
      })
      const found = mappedSessions('hl7v2-oru', decodeOruMessage, [text])
      expect(found.refused).toEqual([])
      const { id: _, arm, site, ...told } = session
      expect(found.sessions).toHaveLength(1)
      // From version 2.6 the site stands in OBX-20, which is not read.
      expect(found.sessions[0]).toMatchObject(version === '2.6' ? told : { ...told, arm, site })
    },
  )
})

describe('any text', () => {
  it('never throws', () => {
    const piece = fc.oneof(
      fc.constantFrom('MSH|^~\\&|', ...WHOLE, ...H1, '|', '^', '~', '\\', '&', '\r', '\n', '""', '\\X41\\'),
      fc.string(),
    )
    const anything = fc.oneof(
      fc.string(),
      fc.array(piece, { maxLength: 20 }).map((parts) => parts.join('\r')),
    )
    fc.assert(
      fc.property(anything, (text) => {
        const result = decodeOruMessage({ value: text, text })
        return result.ok || result.issues.every(blocks)
      }),
      { numRuns: 2000 },
    )
  })

  it('of a message with one character changed is read or refused', () => {
    const whole = WHOLE.map((line) => `${line}\r`).join('')
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.string({ maxLength: 3 }), (at, by) => {
        const text = whole.slice(0, at) + by + whole.slice(at + 1)
        const result = decodeOruMessage({ value: text, text })
        if (!result.ok) return result.issues.every(blocks)
        return readParts(result).every(({ record }) =>
          (record.value as OruTree).reading.results.every(
            ({ value }) => typeof value !== 'number' || Number.isFinite(value),
          ),
        )
      }),
      { numRuns: 2000 },
    )
  })
})

function observationsOf({ entry = [] }: Bundle): readonly Observation[] {
  return entry.flatMap(({ resource }) =>
    resource?.resourceType === 'Observation' ? [resource as Observation] : [],
  )
}

function textAt(node: HL7Node, path: string): string {
  return node.get(path).toString()
}
