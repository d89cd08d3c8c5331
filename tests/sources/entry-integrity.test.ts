// End digits: English primary care, PMID 15037875 (a zero in 64 % of systolic and 59 % of diastolic entries, 10 %
// expected); nurses, PMID 16733227 (31 %, 20 % expected on a scale of even numbers). Crowding: Parker RA et al. BMJ Open
// 2018;8:e019431, 44,150 typed against 20,705 transferred readings (odds ratios: a zero at the end 2.1, 134 systolic
// 1.52, 84 diastolic 1.54; alert from 135/85).
// Levels from which a signal is raised are common practice; false alarms are counted against them.
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../samples/generator/seeded-random.ts'
import type { CheckedSession, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import { binomialTail } from '../../src/core/clinical/integrity/binomial-tail.ts'
import { oddEndDigits } from '../../src/core/clinical/integrity/end-digit-preference.ts'
import type { IntegrityCode, IntegritySignal } from '../../src/core/clinical/integrity/integrity-signal.ts'
import { integritySignals } from '../../src/core/clinical/integrity/integrity-signals.ts'
import { probabilityText } from '../../src/core/clinical/integrity/probability-text.ts'
import { SIGNAL_LEVELS } from '../../src/core/clinical/integrity/signal-levels.ts'
import { PUBLISHED_ZONE, publishedWeek } from '../fixtures/published-week.ts'
import { type HandBuiltParts, handBuiltAverage } from '../support/hand-built-average.ts'
import { homeSitting, type Numbers, type SittingParts } from '../support/home-sitting.ts'
import { shippedThresholdSets } from '../support/shipped-profiles.ts'

const sets = shippedThresholdSets()

describe('transferred readings', () => {
  it('of the published week raise nothing', () => {
    expect(integritySignals(handBuiltAverage(publishedWeek, { zone: PUBLISHED_ZONE }), sets)).toEqual([])
  })

  it('of 500 ordinary fortnights raise nothing', () => {
    const random = seededRandom(20260302)
    const raised = Array.from({ length: 500 }, () =>
      integritySignals(ordinaryFortnight(random, 'transferred'), sets),
    )
    expect(raised.flat()).toEqual([])
  })

  it('that all end in zero are the monitor’s matter and raise no end-digit signal', () => {
    expect(codes(integritySignals(periodOf(fill(60, 60), 'transferred'), sets))).toEqual([])
  })
})

describe('typed readings', () => {
  it('of 500 ordinary fortnights raise nothing but that they were typed, save for one in a thousand', () => {
    const random = seededRandom(20260303)
    const others = Array.from({ length: 500 }, () =>
      codes(integritySignals(ordinaryFortnight(random, 'typed'), sets)).filter(
        (code) => code !== 'mostly-typed',
      ),
    ).filter((raised) => raised.length > 0)
    expect(others.length).toBeLessThanOrEqual(500 * SIGNAL_LEVELS.probability)
  })

  it('are called mostly typed from more than half of the sittings on', () => {
    const half = [sitting(2, 'typed'), sitting(3, 'transferred')]
    expect(integritySignals(handBuiltAverage(half), sets)).toEqual([])
    const [most] = integritySignals(handBuiltAverage([...half, sitting(4, 'typed')]), sets)
    expect(most).toMatchObject({ code: 'mostly-typed', count: 2, of: 3, citation: 'parker-2018' })
    expect(most?.text).toContain('a zero at the end of both numbers was about twice as likely')
  })
})

describe('end digits', () => {
  it('as in English primary care raise a signal for either pressure', () => {
    const values = fill(100, 64).map(
      ([systolic], index): Numbers => [systolic, index < 59 ? 80 : 71 + (index % 9)],
    )
    const signals = only('end-digit-preference', integritySignals(periodOf(values, 'typed'), sets))
    expect(signals).toMatchObject([
      {
        pressure: 'systolic',
        count: 64,
        of: 100,
        test: 'exact-binomial',
        citation: 'end-digits-primary-care',
      },
      {
        pressure: 'diastolic',
        count: 59,
        of: 100,
        test: 'exact-binomial',
        citation: 'end-digits-primary-care',
      },
    ])
    expect(signals[0]?.text).toContain(
      '64 of 100 typed systolic values end in 0, where about 10 would by chance',
    )
    expect(signals[0]?.text).toContain('probability less than 0.001')
    expect(signals[0]?.probability).toBe(binomialTail(64, 100, 0.1))
  })

  it('of even numbers are held against a fifth, not a tenth', () => {
    const evenly = Array.from({ length: 100 }, (_, index) => 110 + 2 * (index % 20))
    expect(oddEndDigits(evenly)).toBeUndefined()
  })

  it('as nurses record them stand out in 1,000 values and not yet in 100', () => {
    expect(oddEndDigits(evenValues(31, 100))).toBeUndefined()
    expect(oddEndDigits(evenValues(310, 1000))).toMatchObject({
      evenOnly: true,
      digit: 0,
      count: 310,
      of: 1000,
      probability: binomialTail(310, 1000, 0.2),
    })
  })

  it('are tested all together from five expected of each on, and say so', () => {
    const fives = (count: number) =>
      Array.from({ length: count }, (_, index) => (index % 2 === 0 ? 125 : 120 + (index % 10)))
    expect(oddEndDigits(fives(48))).toBeUndefined()
    expect(oddEndDigits(fives(50))).toMatchObject({ test: 'chi-square', digit: 5, of: 50, evenOnly: false })
    const values = fives(50).map((systolic, index): Numbers => [systolic, 70 + (index % 10)])
    const [signal] = only('end-digit-preference', integritySignals(periodOf(values, 'typed'), sets))
    expect(signal?.text).toContain('typed systolic values end in 5')
    expect(signal?.text).toContain('chi-square test of all end digits')
  })

  it('are looked at in whole mmHg only', () => {
    const tenths = Array.from({ length: 40 }, (_, index): Numbers => [120.5 + index, 70.5 + (index % 20)])
    const inKpa = Array.from({ length: 40 }, (_, index): Numbers => [20 - (index % 20) / 1000, 10])
    const raised = [periodOf(tenths, 'typed'), periodOf(inKpa, 'typed', { unit: 'kPa' })].flatMap((average) =>
      only('end-digit-preference', integritySignals(average, sets)),
    )
    expect(raised).toEqual([])
  })

  it('spread by chance raise the exact test no more often than its level, at every n to 300', () => {
    for (const share of [1 / 10, 1 / 5]) {
      for (let of = 1; of <= 300; of++) {
        const least = Array.from({ length: of + 1 }, (_, zero) => zero).find(
          (zero) => binomialTail(zero, of, share) < SIGNAL_LEVELS.probability / 4,
        )
        const raisedByChance = least === undefined ? 0 : binomialTail(least, of, share)
        expect(raisedByChance).toBeLessThanOrEqual(SIGNAL_LEVELS.probability / 4)
      }
    }
  })

  it('spread evenly at random raise a signal no more often than the level, in 20,000 seeded periods', () => {
    const random = seededRandom(20260304)
    let raised = 0
    for (let period = 0; period < 20_000; period++) {
      const values = Array.from({ length: random.whole(4, 84) }, () => random.whole(100, 179))
      if (oddEndDigits(values) !== undefined) raised++
    }
    expect(raised).toBeLessThanOrEqual(20_000 * SIGNAL_LEVELS.probability)
  })
})

describe('the same numbers again', () => {
  const varied = (count: number): Numbers[] =>
    Array.from({ length: count }, (_, index) => [121 + index, 71 + (index % 13)])

  it('are a signal from a quarter of the readings on, and from four', () => {
    const same = (count: number) => Array.from({ length: count }, (): Numbers => [163, 95])
    expect(codes(integritySignals(periodOf([...varied(3), ...same(3)], 'transferred'), sets))).toEqual([])
    expect(codes(integritySignals(periodOf([...varied(13), ...same(4)], 'transferred'), sets))).toEqual([])
    const [signal] = integritySignals(periodOf([...varied(12), ...same(4)], 'transferred'), sets)
    expect(signal).toMatchObject({ code: 'same-numbers-again', count: 4, of: 16 })
    expect(signal?.text).not.toMatch(/163|95/)
  })

  it('do not count a reading that was received twice', () => {
    const values: Numbers[] = [...varied(8), [163, 95], [163, 95], [163, 95], [163, 95]]
    const average = periodOf(values, 'transferred', {}, ({ reading, session }) =>
      reading.systolic?.value === 163 && !session.id.endsWith('-8') ? 'same-reading-again' : undefined,
    )
    expect(integritySignals(average, sets)).toEqual([])
  })
})

describe('crowding just under a threshold', () => {
  const spread: Numbers[] = [122, 126, 128, 130, 131, 138, 139, 141, 143, 147].map((systolic, index) => [
    systolic,
    71 + index,
  ])
  const under = (count: number): Numbers[] =>
    Array.from({ length: count }, (_, index) => [index % 2 === 0 ? 134 : 133, 66 + index])

  it('is a signal when all values near 135 lie under it', () => {
    const signals = integritySignals(periodOf([...spread, ...under(20)], 'typed'), sets)
    const [signal] = only('crowding-under-threshold', signals)
    expect(signal).toMatchObject({ pressure: 'systolic', count: 20, of: 20, test: 'exact-binomial' })
    expect(signal?.text).toContain('within 2 mmHg of 135')
    expect(signal?.text).toContain('one below an alert of 135/85 were about one and a half times as likely')
  })

  it('is none in transferred readings, and none for a threshold the protocol does not name', () => {
    const values = [...spread, ...under(20)]
    expect(only('crowding-under-threshold', integritySignals(periodOf(values, 'transferred'), sets))).toEqual(
      [],
    )
    const unnamed = sets.map((set) => ({ ...set, id: `other-${set.id}` }))
    expect(only('crowding-under-threshold', integritySignals(periodOf(values, 'typed'), unnamed))).toEqual([])
  })

  it('is none for the published odds of 1.52 in the readings of one person', () => {
    const above = Array.from({ length: 12 }, (_, index): Numbers => [135 + (index % 2), 66 + index])
    const values = [...spread, ...under(18), ...above]
    expect(only('crowding-under-threshold', integritySignals(periodOf(values, 'typed'), sets))).toEqual([])
  })

  it('is none for someone whose ordinary values lie below the threshold', () => {
    // Around 128 with an SD of 4: values thin out steeply towards 135.
    const random = seededRandom(20260305)
    let raised = 0
    for (let period = 0; period < 1000; period++) {
      const values = Array.from({ length: 60 }, (): Numbers => [Math.round(128 + 4 * random.bell()), 71])
      raised += only('crowding-under-threshold', integritySignals(periodOf(values, 'typed'), sets)).length
    }
    expect(raised).toBeLessThanOrEqual(1)
  })
})

describe('times', () => {
  it('of two sittings that share a moment raise a signal', () => {
    const overlapping = [
      homeSitting({
        at: '2026-03-02T07:00:00Z',
        readings: [
          [131, 82],
          [129, 81],
        ],
      }),
      homeSitting({
        at: '2026-03-02T07:01:00Z',
        readings: [
          [128, 80],
          [127, 84],
        ],
      }),
      homeSitting({ at: '2026-03-02T07:02:01Z', readings: [[126, 79]] }),
    ]
    expect(integritySignals(handBuiltAverage(overlapping), sets)).toMatchObject([
      { code: 'two-sittings-at-once', count: 2, of: 3 },
    ])
  })

  it('of receipt within one minute raise a signal for typed sittings of three days', () => {
    const received = (entry: 'typed' | 'transferred', lastMs: number): CheckedSession[] =>
      [0, 30_000, lastMs].map((ms, index) => ({
        ...sitting(2 + index, entry),
        receivedMs: 1_772_900_000_000 + ms,
      }))
    const raised = (sittings: CheckedSession[]) =>
      only('entered-in-one-go', integritySignals(handBuiltAverage(sittings), sets))
    expect(raised(received('typed', 60_000))).toMatchObject([{ count: 3, of: 3 }])
    expect(raised(received('typed', 60_001))).toEqual([])
    expect(raised(received('transferred', 60_000))).toEqual([])
    expect(raised([sitting(2, 'typed'), sitting(3, 'typed'), sitting(4, 'typed')])).toEqual([])
  })

  it('without readings raise a signal from a quarter of the days on, and from two', () => {
    const raised = (lastDay: string, days: number[]) =>
      integritySignals(
        handBuiltAverage(
          days.map((day) => sitting(day, 'transferred')),
          { firstDay: '2026-03-01', lastDay },
        ),
        sets,
      )
    expect(raised('2026-03-03', [1, 2])).toEqual([])
    expect(raised('2026-03-07', [1, 2, 3, 4, 5])).toMatchObject([
      { code: 'days-without-readings', count: 2, of: 7 },
    ])
    expect(raised('2026-03-09', [1, 2, 3, 4, 5, 6, 7])).toEqual([])
  })
})

describe('every signal', () => {
  const typed = Array.from({ length: 30 }, (_, index) => ({
    ...homeSitting({
      at: `2026-03-${String(1 + Math.floor(index / 10)).padStart(2, '0')}T07:00:00Z`,
      id: `s-${index}`,
      entry: 'typed',
      readings: [[index < 20 ? 130 : 134, 80]],
    }),
    receivedMs: 1_772_900_000_000,
  }))
  const signals = [
    ...integritySignals(handBuiltAverage(typed, { lastDay: '2026-03-07' }), sets),
    ...integritySignals(
      periodOf(
        [
          ...Array.from({ length: 18 }, (_, at): Numbers => [133, 66 + at]),
          [123, 71],
          [125, 72],
          [141, 79],
          [147, 81],
        ],
        'typed',
      ),
      sets,
    ),
  ]

  it('is reached here', () => {
    expect(new Set(codes(signals))).toEqual(
      new Set<IntegrityCode>([
        'mostly-typed',
        'end-digit-preference',
        'same-numbers-again',
        'crowding-under-threshold',
        'two-sittings-at-once',
        'entered-in-one-go',
        'days-without-readings',
      ]),
    )
  })

  it('names what may explain it and accuses no one', () => {
    for (const { text } of signals) {
      expect(text).toMatch(/\bmay\b/)
      expect(text).not.toMatch(/fraud|fake|cheat|manipulat|invent|falsif|dishonest|suspicious|patient/i)
    }
  })

  it('leaves every reading where it was: clinic and withdrawn readings do not count, the others all do', () => {
    const clinic = typed.map((one) => ({ ...one, session: { ...one.session, setting: 'clinic' as const } }))
    const withdrawn = typed.map((one) => ({ ...one, withdrawn: true }))
    expect(integritySignals(handBuiltAverage([...clinic, ...withdrawn]), sets)).toEqual([])
    const firstDay = handBuiltAverage(typed, { leavesOut: () => 'first-day', lastDay: '2026-03-07' })
    expect(codes(integritySignals(firstDay, sets))).toContain('mostly-typed')
  })
})

it.each([
  [0.00099, 'less than 0.001'],
  [0.001, '0.0010'],
  [0.01234, '0.012'],
  [0.5, '0.50'],
])('a probability of %d is shown as %s', (probability, text) => {
  expect(probabilityText(probability)).toBe(text)
})

type Entry = 'typed' | 'transferred'

/** One sitting for each pair of numbers, an hour apart. */
function periodOf(
  values: readonly Numbers[],
  entry: Entry,
  said: Partial<SittingParts> = {},
  leavesOut?: HandBuiltParts['leavesOut'],
): PeriodAverage {
  const start = Date.parse('2026-03-02T00:00:00Z')
  const sittings = values.map((numbers, index) => {
    const at = new Date(start + index * 3_600_000).toISOString().replace('.000', '')
    return homeSitting({ ...said, at, id: `s-${index}`, entry, readings: [numbers] })
  })
  return handBuiltAverage(sittings, leavesOut === undefined ? {} : { leavesOut })
}

function ordinaryFortnight(random: ReturnType<typeof seededRandom>, entry: Entry): PeriodAverage {
  const [systolic, diastolic] = [random.whole(115, 150), random.whole(68, 92)]
  return periodOf(
    Array.from(
      { length: 56 },
      (): Numbers => [
        Math.round(systolic + 8.6 * random.bell()),
        Math.round(diastolic + 5.8 * random.bell()),
      ],
    ),
    entry,
  )
}

function sitting(day: number, entry: Entry): CheckedSession {
  return homeSitting({ at: `2026-03-0${day}T07:00:00Z`, entry, readings: [[120 + day, 70 + day]] })
}

/** `count` systolic values, the first of them ending in zero as told, the others in 1 to 9 by turns. */
function fill(count: number, ending: number): Numbers[] {
  return Array.from({ length: count }, (_, index) => [
    index < ending ? 110 + 10 * (index % 6) : 111 + (index % 9) + 10 * (index % 4),
    70 + (index % 17),
  ])
}

function evenValues(zeroEnds: number, count: number): number[] {
  return Array.from({ length: count }, (_, index) => (index < zeroEnds ? 120 : 122 + 2 * (index % 4)))
}

function only(code: IntegrityCode, signals: readonly IntegritySignal[]): readonly IntegritySignal[] {
  return signals.filter((signal) => signal.code === code)
}

function codes(signals: readonly IntegritySignal[]): IntegrityCode[] {
  return signals.map(({ code }) => code)
}
