import { describe, expect, it } from 'vitest'
import {
  exampleReading,
  exampleSession,
  inKPa,
  inMmHg,
  withoutStating,
} from '../../../../tests/support/example-session.ts'
import { instantOf } from '../../basics/instant.ts'
import { NO_FINDINGS } from '../finding.ts'
import type { Reading, Session } from '../session.ts'
import { DEFAULT_ATTENTION_LIMITS } from './attention-limits.ts'
import { historyAttention } from './history-attention.ts'

const START = Date.parse('2026-03-02T13:41:00Z')
const MINUTE = 60_000
const DAY = 1440 * MINUTE

/** A sitting that began so many minutes after the first. */
const sitting = (id: string, minutes: number, changes: Partial<Session> = {}): Session =>
  exampleSession({ id, takenAt: instantOf(START + minutes * MINUTE), ...changes })
const readings = (...pairs: readonly (readonly [number, number])[]): readonly Reading[] =>
  pairs.map(([systolic, diastolic], index) =>
    exampleReading({ ordinal: index + 1, systolic: inMmHg(systolic), diastolic: inMmHg(diastolic) }),
  )
const irregular = { readings: [exampleReading({ monitorSays: { irregularPulse: true } })] }
const codes = (session: Session, others: readonly Session[], limits = DEFAULT_ATTENTION_LIMITS) =>
  historyAttention(session, others, limits).map(({ code }) => code)

describe('an irregular pulse that came back', () => {
  it.each([
    ['a day before', -1440, true],
    ['14 days before', -14 * 1440, true],
    ['more than 14 days before', -14 * 1440 - 1, false],
    ['later, when this record came late', 1440, true],
    ['more than 14 days later', 14 * 1440 + 1, false],
  ])('%s is called for: %j', (_when, minutes, called) => {
    const found = codes(sitting('a', 0, irregular), [sitting('b', minutes, irregular)])
    expect(found).toEqual(called ? ['irregular-pulse-repeated'] : [])
  })

  it('takes several readings of one sitting for one sitting', () => {
    const often = {
      readings: [1, 2, 3].map((ordinal) =>
        exampleReading({ ordinal, monitorSays: { irregularPulse: true } }),
      ),
    }
    expect(historyAttention(sitting('a', 0, often), [], DEFAULT_ATTENTION_LIMITS)).toBe(NO_FINDINGS)
  })

  it('does not count the session against itself, nor a sitting without the mark', () => {
    const session = sitting('a', 0, irregular)
    expect(codes(session, [session, sitting('b', 10)])).toEqual([])
    expect(codes(sitting('c', 20), [session, sitting('b', 10, irregular)])).toEqual([])
  })

  it('wants all the sittings of a higher limit within its days', () => {
    const limits = {
      ...DEFAULT_ATTENTION_LIMITS,
      irregularPulse: { sittings: 3, withinDays: 14, citation: 'local-practice' },
    } as const
    const before = sitting('b', -10 * 1440, irregular)
    expect(codes(sitting('a', 0, irregular), [before, sitting('c', 4 * 1440, irregular)], limits)).toEqual([
      'irregular-pulse-repeated',
    ])
    expect(codes(sitting('a', 0, irregular), [before, sitting('c', 5 * 1440, irregular)], limits)).toEqual([])
    expect(START + 4 * DAY - (START - 10 * DAY)).toBe(14 * DAY)
  })
})

describe('arms that differ', () => {
  const left = sitting('left', 0, { readings: readings([140, 80], [144, 84]) })
  const right = (minutes: number, ...pairs: readonly (readonly [number, number])[]) =>
    sitting('right', minutes, { arm: 'right', readings: readings(...pairs) })

  it.each([
    ['exactly 20 in the mean', right(5, [122, 82]), false],
    ['a tenth more than 20', right(5, [121.9, 82]), true],
    ['more than 20 the other way', right(-5, [162.1, 82]), true],
    ['more than 20 in diastolic', right(5, [142, 61.9]), true],
    ['a difference an hour apart', right(60, [110, 82]), true],
    ['a difference more than an hour apart', right(61, [110, 82]), false],
  ])('%s is called for: %j', (_what, other, called) => {
    expect(codes(left, [other])).toEqual(called ? ['arms-differ'] : [])
    expect(codes(other, [left])).toEqual(called ? ['arms-differ'] : [])
  })

  it('goes by the nearest sitting on the other arm', () => {
    const far = { ...right(50, [110, 82]), id: 'far' }
    expect(codes(left, [far, right(2, [140, 82])])).toEqual([])
    expect(codes(left, [right(2, [140, 82]), far])).toEqual([])
  })

  it('compares mmHg with kPa exactly', () => {
    const inKilopascals = (systolic: number) =>
      sitting('right', 2, {
        arm: 'right',
        readings: [exampleReading({ systolic: inKPa(systolic), diastolic: inKPa(11) })],
      })
    // 142 mmHg less 20 is 122 mmHg, 16.265284 kPa.
    expect(codes(left, [inKilopascals(16.266)])).toEqual([])
    expect(codes(left, [inKilopascals(16.265)])).toEqual(['arms-differ'])
  })

  it.each([
    ['another position', { position: 'lying' }],
    ['another site', { site: 'wrist' }],
    ['a 24-hour recording', { setting: 'ambulatory' }],
    ['the same arm', { arm: 'left' }],
  ] as const)('is not told from %s', (_what, changes) => {
    expect(codes(left, [{ ...right(5, [110, 82]), ...changes }])).toEqual([])
  })

  it('is not told without a complete reading on both, nor from a diastolic heard to zero', () => {
    const half = sitting('right', 5, { arm: 'right', readings: [exampleReading({ systolic: null })] })
    expect(codes(left, [half])).toEqual([])
    expect(codes(left, [right(5, [142, 0])])).toEqual([])
  })

  it.each(['arm', 'position', 'site'] as const)(
    'is not told where the %s is not stated, of one or of both',
    (what) => {
      const other = right(5, [110, 82])
      expect(codes(left, [withoutStating(other, what)])).toEqual([])
      expect(codes(withoutStating(left, what), [other])).toEqual([])
      expect(codes(withoutStating(left, what), [withoutStating(other, what)])).toEqual([])
    },
  )
})

describe('a fall on standing', () => {
  const seated = sitting('seated', 0, { readings: readings([140, 80]) })
  const standing = (minutes: number, ...pairs: readonly (readonly [number, number])[]) =>
    sitting('standing', minutes, { position: 'standing', readings: readings(...pairs) })

  it.each([
    ['20 systolic within ten minutes', seated, standing(10, [120, 80]), true],
    ['10 diastolic', seated, standing(3, [140, 70]), true],
    ['19.9 and 9.9', seated, standing(3, [120.1, 70.1]), false],
    ['a rise', seated, standing(3, [165, 95]), false],
    ['20 after more than ten minutes', seated, standing(11, [120, 80]), false],
    ['20 with standing first', seated, standing(-3, [120, 80]), false],
    ['20 from lying', { ...seated, position: 'lying' }, standing(3, [120, 80]), true],
    ['20 on the other arm', { ...seated, arm: 'right' }, standing(3, [120, 80]), false],
    ['20 from standing', { ...seated, position: 'standing' }, standing(3, [120, 80]), false],
    ['20 in a 24-hour recording', { ...seated, setting: 'ambulatory' }, standing(3, [120, 80]), false],
  ] as const)('of %s is called for, whichever record came last', (_what, before, after, called) => {
    expect(codes(after, [before])).toEqual(called ? ['fall-on-standing'] : [])
    expect(codes(before, [after])).toEqual(called ? ['fall-on-standing'] : [])
  })

  it.each(['arm', 'position', 'site'] as const)(
    'is not told where the %s is not stated, of one or of both',
    (what) => {
      const after = standing(3, [120, 80])
      expect(codes(after, [withoutStating(seated, what)])).toEqual([])
      expect(codes(withoutStating(after, what), [seated])).toEqual([])
      expect(codes(withoutStating(after, what), [withoutStating(seated, what)])).toEqual([])
    },
  )

  it('is counted from the last reading before to the first one standing', () => {
    const long = sitting('seated', 0, {
      readings: readings([140, 80], [140, 80]).map((reading, index) => ({
        ...reading,
        takenAt: instantOf(START + index * 8 * MINUTE),
      })),
    })
    expect(codes(standing(18, [120, 80]), [long])).toEqual(['fall-on-standing'])
    expect(codes(standing(19, [120, 80]), [long])).toEqual([])
  })

  it('names the limit and that the interval is common practice', () => {
    const [call] = historyAttention(standing(3, [120, 80]), [seated], DEFAULT_ATTENTION_LIMITS)
    expect(call?.text).toMatch(
      /^Within 10 minutes \(common practice\) the pressure fell on standing by at least 20 mmHg systolic or 10 mmHg diastolic, a limit of published guidance\./,
    )
  })
})

it('all that a history calls for comes at once, in one order', () => {
  const marked = { monitorSays: { irregularPulse: true } }
  const seated = sitting('a', 0, { readings: [exampleReading(marked)] })
  const standing = sitting('b', 3, {
    position: 'standing',
    readings: [exampleReading({ ...marked, systolic: inMmHg(110) })],
  })
  const other = sitting('c', 4, {
    arm: 'right',
    readings: [exampleReading({ systolic: inMmHg(115) })],
  })
  expect(codes(seated, [standing, other])).toEqual([
    'irregular-pulse-repeated',
    'arms-differ',
    'fall-on-standing',
  ])
})
