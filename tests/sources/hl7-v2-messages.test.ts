import type { Bundle, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { readAcknowledgement } from '../../src/core/hl7v2/acknowledgement.ts'
import { escapeText, unescapeText } from '../../src/core/hl7v2/escape-text.ts'
import { framed } from '../../src/core/hl7v2/mllp-frame.ts'
import { oruMessage } from '../../src/core/hl7v2/oru-message.ts'
import { segment } from '../../src/core/hl7v2/segment.ts'
import { messageDestination } from '../support/message-destination.ts'

/**
 * HL7 version 2.5.1: chapter 2 (encoding, escape sequences 2.7, acknowledgements 2.9, table 0008), chapter 7
 * (ORU^R01, OBR, OBX); HL7 v2 Implementation Guide, Minimal Lower Layer Protocol. H1 and H2 are written by hand from
 * them; the bytes of H1 were counted with other software.
 */

const H1 = [
  'MSH|^~\\&|BPGW|HOMEBP|EHR|CLINIC|20261124213005+0100||ORU^R01^ORU_R01|7f3c0001|P|2.5.1|||AL|NE||UNICODE UTF-8',
  'PID|1||PAT-1^^^CLINIC^MR||Test^Pat||19600101|F',
  'OBR|1||PRD-1^BPGW|96607-7^BP panel mean^LN|||20261117000000+0100|20261124000000+0100||||||||||||||20261124213005+0100|||F',
  'OBX|1|NM|96608-5^Systolic mean^LN|1|131|mm[Hg]^mm[Hg]^UCUM|||||F|||20261117000000+0100',
  'OBX|2|NM|96609-3^Diastolic mean^LN|1|82|mm[Hg]^mm[Hg]^UCUM|||||F|||20261117000000+0100',
]

/** H1 as the average it tells of; the patient's name, birth date and sex are in H1 and never in a message of ours. */
const H1_BUNDLE: Bundle = {
  resourceType: 'Bundle',
  type: 'transaction',
  entry: [{ fullUrl: 'urn:uuid:PRD-1', resource: h1Average() }],
}

describe('H1, an average as ORU^R01', () => {
  it('is written segment by segment', () => {
    const units = ['mm[Hg]', 'mm[Hg]', 'UCUM']
    const result = (number: string, code: string, name: string, value: string) =>
      segment('OBX', {
        ...{ 1: number, 2: 'NM', 3: [code, name, 'LN'], 4: '1', 5: value, 6: units },
        ...{ 11: 'F', 14: '20261117000000+0100' },
      })
    expect([
      segment('MSH', {
        ...{ 3: 'BPGW', 4: 'HOMEBP', 5: 'EHR', 6: 'CLINIC', 7: '20261124213005+0100' },
        ...{ 9: ['ORU', 'R01', 'ORU_R01'], 10: '7f3c0001', 11: 'P', 12: '2.5.1' },
        ...{ 15: 'AL', 16: 'NE', 18: 'UNICODE UTF-8' },
      }),
      segment('PID', {
        ...{ 1: '1', 3: ['PAT-1', '', '', 'CLINIC', 'MR'], 5: ['Test', 'Pat'], 7: '19600101', 8: 'F' },
      }),
      segment('OBR', {
        ...{ 1: '1', 3: ['PRD-1', 'BPGW'], 4: ['96607-7', 'BP panel mean', 'LN'] },
        ...{ 7: '20261117000000+0100', 8: '20261124000000+0100', 22: '20261124213005+0100', 25: 'F' },
      }),
      result('1', '96608-5', 'Systolic mean', '131'),
      result('2', '96609-3', 'Diastolic mean', '82'),
    ]).toEqual(H1)
  })

  it('comes of the average, but for who the patient is beside the identifier', () => {
    const written = oruMessage(H1_BUNDLE, {
      destination: messageDestination(),
      patient: { system: 'https://clinic.example/mrn', value: 'PAT-1' },
      controlId: '7f3c0001',
      messageTime: '2026-11-24T21:30:05+01:00',
    })
    const lines = written.split('\r')
    expect(lines).toEqual([H1[0], 'PID|1||PAT-1^^^CLINIC^MR||~^^^^^^U', ...H1.slice(2), ''])
  })

  it('is 452 bytes, and 455 in its frame, which opens 0B 4D 53 48 and closes 0D 1C 0D', () => {
    const message = H1.map((line) => `${line}\r`).join('')
    expect(new TextEncoder().encode(message)).toHaveLength(452)
    const frame = framed(message)
    expect(frame).toHaveLength(455)
    expect([...frame.subarray(0, 4)]).toEqual([0x0b, 0x4d, 0x53, 0x48])
    expect([...frame.subarray(-3)]).toEqual([0x0d, 0x1c, 0x0d])
  })
})

describe('H2, an error for the message of H1', () => {
  const H2 = 'MSH|^~\\&|EHR|CLINIC|BPGW|HOMEBP|20261124213006+0100||ACK^R01^ACK|A1|P|2.5.1\rMSA|AE|7f3c0001\r'

  it('refuses it: no blind retry', () => {
    expect(readAcknowledgement(H2, { controlId: '7f3c0001', settledBy: 'application' })).toMatchObject({
      kind: 'answer',
      answer: { kind: 'refused', problem: 'CLINIC_REFUSED', said: { text: H2.trim().replace('\r', '\n') } },
    })
  })

  it('says nothing of any other message', () => {
    expect(readAcknowledgement(H2, { controlId: '7f3c0002', settledBy: 'application' })).toEqual({
      kind: 'other',
    })
  })
})

describe('table 0008', () => {
  const answerTo = (code: string, settledBy: 'commit' | 'application') =>
    readAcknowledgement(`MSH|^~\\&|EHR\rMSA|${code}|1\r`, { controlId: '1', settledBy })

  it.each([
    ['AA', 'accepted', 'accepted'],
    ['CA', 'accepted', 'stored'],
    ['AE', 'refused', 'refused'],
    ['CE', 'refused', 'refused'],
    ['AR', 'stop', 'stop'],
    ['CR', 'stop', 'stop'],
  ])('%s is %s where storing settles, %s where filing does', (code, byCommit, byApplication) => {
    const kinds = (['commit', 'application'] as const).map((settledBy) => {
      const heard = answerTo(code, settledBy)
      return heard.kind === 'answer' ? heard.answer.kind : heard.kind
    })
    expect(kinds).toEqual([byCommit, byApplication])
  })
})

describe('escape sequences', () => {
  it('writes A|B^C&D~E\\F as the standard has it, and reads it back', () => {
    expect(escapeText('A|B^C&D~E\\F')).toBe('A\\F\\B\\S\\C\\T\\D\\R\\E\\E\\F')
    expect(unescapeText('A\\F\\B\\S\\C\\T\\D\\R\\E\\E\\F')).toBe('A|B^C&D~E\\F')
  })

  it('writes a line break as .br, because a raw CR would end the segment', () => {
    expect(escapeText('one\rtwo\nthree\r\nfour')).toBe('one\\.br\\two\\.br\\three\\.br\\four')
  })
})

function h1Average(): Observation {
  const loinc = (code: string, display: string) => ({
    coding: [{ system: 'http://loinc.org', code, display }],
  })
  const mmHg = (value: number) => ({
    value,
    unit: 'mmHg',
    system: 'http://unitsofmeasure.org',
    code: 'mm[Hg]',
  })
  return {
    resourceType: 'Observation',
    identifier: [{ system: 'https://home-bp-gateway.example/fhir/average', value: 'PRD-1' }],
    status: 'final',
    code: loinc('96607-7', 'BP panel mean'),
    effectivePeriod: { start: '2026-11-17T00:00:00+01:00', end: '2026-11-24T00:00:00+01:00' },
    issued: '2026-11-24T21:30:05+01:00',
    component: [
      { code: loinc('96608-5', 'Systolic mean'), valueQuantity: mmHg(131) },
      { code: loinc('96609-3', 'Diastolic mean'), valueQuantity: mmHg(82) },
    ],
  }
}
