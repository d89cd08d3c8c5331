import { describe, expect, it } from 'vitest'
import { DEFAULT_ATTENTION_LIMITS } from '../../../core/clinical/attention/attention-limits.ts'
import { readBySchema } from '../reading/schema-issues.ts'
import { attentionLimits, attentionSettings } from './attention-settings.ts'

describe('the settings of attention', () => {
  it('are the published limits with their sources where nothing is set', () => {
    expect(attentionLimits(attentionSettings.parse({}))).toEqual(DEFAULT_ATTENTION_LIMITS)
  })

  it('cite local practice for what a clinic sets, and the source for what it leaves', () => {
    const limits = attentionLimits(
      attentionSettings.parse({ high: { systolicMmHg: 171.5 }, armsDifferMmHg: 33 }),
    )
    expect(limits).toEqual({
      ...DEFAULT_ATTENTION_LIMITS,
      high: {
        systolicMmHg: 171.5,
        diastolicMmHg: DEFAULT_ATTENTION_LIMITS.high.diastolicMmHg,
        citation: 'local-practice',
      },
      armsDiffer: { mmHg: 33, citation: 'local-practice' },
    })
  })

  it('keep the source where a clinic writes the same numbers down', () => {
    const { sittings, withinDays } = DEFAULT_ATTENTION_LIMITS.irregularPulse
    expect(attentionLimits(attentionSettings.parse({ irregularPulse: { sittings, withinDays } }))).toEqual(
      DEFAULT_ATTENTION_LIMITS,
    )
  })

  it.each([
    [
      'a low limit that reaches the high one',
      { low: { systolicMmHg: 180 }, high: { systolicMmHg: 180 } },
      'low.systolicMmHg',
      'less than attention.high.systolicMmHg',
    ],
    [
      'an unknown key',
      { high: { sistolicMmHg: 180 } },
      'high.sistolicMmHg',
      'only the keys systolicMmHg, diastolicMmHg',
    ],
    ['half a sitting', { irregularPulse: { sittings: 1.5 } }, 'irregularPulse.sittings', 'a whole number'],
    [
      'a limit no pressure reaches',
      { high: { systolicMmHg: 1000 } },
      'high.systolicMmHg',
      'a number of at most 300',
    ],
  ])('refuse %s', (_what, written, at, expected) => {
    const read = readBySchema(attentionSettings, written)
    expect(read.ok ? [] : read.issues.map((issue) => [issue.at, issue.expected])).toEqual([[at, expected]])
  })
})
