import { describe, expect, it } from 'vitest'
import { cleanSession, sessionWhereReading } from '../../../../tests/support/clean-session.ts'
import { ATTENTION_CODES, NO_FINDINGS } from '../finding.ts'
import { attentionCodesOf, attentionFinding } from './attention-finding.ts'
import { DEFAULT_ATTENTION_LIMITS } from './attention-limits.ts'
import { sessionAttention } from './session-attention.ts'

const inMmHg = (value: number) => ({ value, unit: 'mmHg' }) as const
const limits = DEFAULT_ATTENTION_LIMITS

describe('what one sitting calls for', () => {
  it('is nothing in an ordinary one, and allocates no list for it', () => {
    expect(sessionAttention(cleanSession(), limits)).toBe(NO_FINDINGS)
  })

  it('is told of each reading by itself, and a repeat that is lower does not take the first back', () => {
    const session = sessionWhereReading({ 1: { systolic: inMmHg(193) }, 3: { diastolic: inMmHg(57) } })
    expect(sessionAttention(session, limits)).toMatchObject([
      { code: 'very-high', kind: 'attention', severity: 'warning', direction: 'unknown', reading: 1 },
      { code: 'very-low', kind: 'attention', severity: 'warning', direction: 'unknown', reading: 3 },
    ])
  })

  it('can be both for one reading', () => {
    const session = sessionWhereReading({ 2: { systolic: inMmHg(193), diastolic: inMmHg(57) } })
    expect(sessionAttention(session, limits).map(({ code, reading }) => [code, reading])).toEqual([
      ['very-high', 2],
      ['very-low', 2],
    ])
  })

  it('looks at the pressure that is there when the other is missing', () => {
    const high = sessionWhereReading({ 1: { systolic: null, diastolic: inMmHg(123) } })
    const low = sessionWhereReading({ 1: { systolic: inMmHg(87), diastolic: null } })
    expect(attentionCodesOf(sessionAttention(high, limits))).toEqual(['very-high'])
    expect(attentionCodesOf(sessionAttention(low, limits))).toEqual(['very-low'])
  })

  it('does not take a diastolic heard to zero for a low pressure', () => {
    expect(sessionAttention(sessionWhereReading({ 1: { diastolic: inMmHg(0) } }), limits)).toBe(NO_FINDINGS)
  })

  it('is only what is very high in a 24-hour recording, because pressures fall in sleep', () => {
    const night = {
      ...sessionWhereReading({ 1: { systolic: inMmHg(87) }, 2: { systolic: inMmHg(193) } }),
      setting: 'ambulatory',
    } as const
    expect(sessionAttention(night, limits)).toMatchObject([{ code: 'very-high', reading: 2 }])
  })

  it('goes by the limits of local practice, and says that they are', () => {
    const own = {
      ...limits,
      high: { systolicMmHg: 135, diastolicMmHg: 85, citation: 'local-practice' },
    } as const
    const [call] = sessionAttention(sessionWhereReading({}), own)
    expect(call?.text).toMatch(
      /^Reading 1 is at or above 135 mmHg systolic or 85 mmHg diastolic, the limit set by local practice\./,
    )
  })
})

describe('the words of a call for attention', () => {
  const worded = ATTENTION_CODES.map((code) =>
    attentionFinding({ code, seen: 'Something was seen', citation: 'common-practice' }),
  )

  it.each(worded)('put symptoms before any repeat, and defer to local practice: $code', ({ text }) => {
    const symptoms = text.indexOf('call the local emergency number at once and do not wait to measure again')
    const otherwise = text.indexOf('Without symptoms')
    expect(symptoms).toBeGreaterThan(0)
    expect(otherwise).toBeGreaterThan(symptoms)
    expect(text).toContain('kept')
    expect(
      text.endsWith('Local practice decides; this is not a diagnosis and not an emergency service.'),
    ).toBe(true)
  })

  it('hold no measured value', () => {
    const session = sessionWhereReading({ 1: { systolic: inMmHg(193), diastolic: inMmHg(127), pulse: 97 } })
    for (const { text } of sessionAttention(session, limits)) expect(text).not.toMatch(/193|127|97/)
  })

  it('cite a source once, and not beside itself', () => {
    const call = attentionFinding({
      code: 'arms-differ',
      seen: 'The arms differ',
      citation: 'common-practice',
      alsoCites: ['nice-ng136', 'nice-ng136'],
    })
    expect([call.citation, call.alsoCites]).toEqual(['common-practice', ['nice-ng136']])
  })
})

describe('the codes of findings', () => {
  it('are those of attention, each once, in one order', () => {
    const call = (code: (typeof ATTENTION_CODES)[number]) =>
      attentionFinding({ code, seen: 'Seen', citation: 'common-practice' })
    const technique = { ...call('very-low'), code: 'talking', kind: 'technique' } as const
    expect(attentionCodesOf([call('arms-differ'), technique, call('very-low'), call('arms-differ')])).toEqual(
      ['very-low', 'arms-differ'],
    )
    expect(attentionCodesOf([technique])).toEqual([])
    expect(attentionCodesOf([])).toEqual([])
  })
})
