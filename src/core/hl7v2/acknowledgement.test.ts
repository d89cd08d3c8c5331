import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { SAID_CHARACTERS } from '../outbox/entry.ts'
import { controlIdOf, readAcknowledgement } from './acknowledgement.ts'

const MSH = 'MSH|^~\\&|EHR|CLINIC|BPGW|HOMEBP|20261124213006+0100||ACK^R01^ACK|A1|P|2.5.1'
const AWAITED = { controlId: '7f3c0001', settledBy: 'application' } as const

const read = (...segments: string[]) => readAcknowledgement(`${[MSH, ...segments].join('\r')}\r`, AWAITED)

describe('readAcknowledgement', () => {
  it('ignores an acknowledgement of another message, and what is none', () => {
    expect(read('MSA|AA|7f3c0000')).toEqual({ kind: 'other' })
    expect(read('MSA|AA')).toEqual({ kind: 'other' })
    expect(read()).toEqual({ kind: 'other' })
    expect(readAcknowledgement('MSA|AA|7f3c0001\r', AWAITED)).toEqual({ kind: 'other' })
    expect(readAcknowledgement('', AWAITED)).toEqual({ kind: 'other' })
  })

  it('takes an AA for settled even where storing was enough', () => {
    const awaited = { ...AWAITED, settledBy: 'commit' } as const
    expect(readAcknowledgement(`${MSH}\rMSA|AA|7f3c0001\r`, awaited)).toEqual({
      kind: 'answer',
      answer: { kind: 'accepted' },
    })
  })

  it('knows the patient is unknown by ERR of 2.5 and later, and as it was until 2.4', () => {
    for (const error of [
      'ERR||PID^1^3|204^Unknown key identifier^HL70357|E',
      'ERR|PID^1^3^204&Unknown key identifier',
    ])
      expect(read('MSA|AE|7f3c0001', error)).toMatchObject({
        answer: { kind: 'refused', problem: 'PATIENT_UNKNOWN' },
      })
    for (const error of ['ERR||OBX^1^3|204|E', 'ERR||PID^1^3|101|E', 'ERR'])
      expect(read('MSA|AE|7f3c0001', error)).toMatchObject({
        answer: { kind: 'refused', problem: 'CLINIC_REFUSED' },
      })
  })

  it('keeps what the receiver said, line by line and no longer than is kept', () => {
    expect(read('MSA|AE|7f3c0001', 'ERR||OBR^1^4|103|E|||No such test|Ask the desk')).toEqual({
      kind: 'answer',
      answer: {
        kind: 'refused',
        problem: 'CLINIC_REFUSED',
        said: { text: `${MSH}\nMSA|AE|7f3c0001\nERR||OBR^1^4|103|E|||No such test|Ask the desk` },
      },
    })
    const long = read('MSA|AR|7f3c0001', `ERR||||||||${'x'.repeat(2 * SAID_CHARACTERS)}`)
    expect(long).toMatchObject({ answer: { said: { text: expect.any(String) } } })
    expect(JSON.stringify(long).length).toBeLessThan(SAID_CHARACTERS + 200)
  })

  it('reads other separators and other line ends', () => {
    const lines = ['MSH$%~!@$EHR', 'MSA$AA$7f3c0001']
    for (const end of ['\n', '\r\n', '\r'])
      expect(readAcknowledgement(lines.join(end), AWAITED)).toMatchObject({ answer: { kind: 'accepted' } })
  })

  it('takes a code that is in no table for no answer at all', () => {
    for (const code of ['', 'OK', 'aa', 'A'])
      expect(read(`MSA|${code}|7f3c0001`)).toEqual({
        kind: 'answer',
        answer: { kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE' },
      })
  })

  it('never throws, and never settles a message that is not named in MSA-2', () => {
    const piece = fc.constantFrom(
      'MSH',
      'MSA',
      'ERR',
      'PID',
      '|',
      '^',
      '~',
      '\\',
      '&',
      '\r',
      '\n',
      'AA',
      'AE',
      '204',
      '7f3c000',
      'é',
      '\u0000',
    )
    const any = fc.oneof(
      fc.string({ unit: piece }),
      fc.string({ unit: 'binary' }),
      fc.string({ unit: piece }).map((rest) => `${MSH}\rMSA|${rest}`),
    )
    fc.assert(
      fc.property(any, (text) => {
        expect(readAcknowledgement(text, AWAITED).kind).toBe('other')
      }),
      { numRuns: 2000 },
    )
  })
})

describe('controlIdOf', () => {
  it('reads MSH-10', () => {
    expect(controlIdOf('MSH|^~\\&|a|b|c|d|t||ORU^R01^ORU_R01|id\\T\\1|P|2.5.1\rPID|1\r')).toBe('id&1')
    expect(controlIdOf('')).toBe('')
  })
})
