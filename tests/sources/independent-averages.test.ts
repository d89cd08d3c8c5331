// A second computation of period averages, written from the words of the protocols and not from the code: SQL over the
// same rows. Words: NICE NG136 1.2.7 and 1.2.8 (first day left out, all remaining readings averaged), JSH 2019 (the mean
// of an occasion is its value), family-practice triplicate (first of each sitting left out), NHANES code book BPX (first
// left out unless alone), NG136 1.2.1 (the arm with the higher reading), 1.2.7 (the person is seated). An arm or a site that is not stated is a group
// of its own, NULL here; a stated site goes before it unless it is the wrist, a stated arm on a tie. Local days come from offsets: fixed ones, and
// those of America/New_York, whose clock changed on 2026-03-08T07:00Z and on 2026-11-01T06:00Z (Energy Policy Act 2005).
import { DatabaseSync, type DatabaseSyncInstance } from '@photostructure/sqlite'
import { beforeAll, describe, expect, it } from 'vitest'
import { seededRandom } from '../../samples/generator/seeded-random.ts'
import type { ExactMean } from '../../src/core/basics/exact-mean.ts'
import { instantOf } from '../../src/core/basics/instant.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { CheckedSession, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import type { Arm, Reading, Session, Setting, Site } from '../../src/core/clinical/session.ts'
import { periodStatistics } from '../../src/core/clinical/statistics/period-statistics.ts'
import { shippedProtocol } from '../support/shipped-profiles.ts'

const PERIODS = 10_000
const MS_PER_DAY = 86_400_000

/** Minutes east of UTC, from a moment on. */
const OFFSETS: readonly (readonly [zone: string, fromUtc: string, minutes: number])[] = [
  ['UTC', '1970-01-01T00:00:00Z', 0],
  ['Asia/Kolkata', '1970-01-01T00:00:00Z', 330],
  ['America/Phoenix', '1970-01-01T00:00:00Z', -420],
  ['Pacific/Kiritimati', '1970-01-01T00:00:00Z', 840],
  ['America/New_York', '2025-11-02T06:00:00Z', -300],
  ['America/New_York', '2026-03-08T07:00:00Z', -240],
  ['America/New_York', '2026-11-01T06:00:00Z', -300],
]

const STARTS: Readonly<Record<string, readonly string[]>> = {
  'America/New_York': ['2026-03-05', '2026-06-20', '2026-10-29'],
}

const MICROPASCALS = `CASE unit WHEN 'mmHg' THEN 133322000 ELSE 1000000 END`

const SQL = `
WITH placed AS (
  SELECT r.*, p.first_days, p.first_reading, p.arm AS plan_arm,
    (r.taken_ms + 60000 * o.minutes) / ${MS_PER_DAY} AS day,
    (r.taken_ms + 60000 * o.minutes) % ${MS_PER_DAY} / 60000 AS minute,
    p.first_day, p.last_day,
    r.systolic_written * ${MICROPASCALS} AS systolic, r.diastolic_written * ${MICROPASCALS} AS diastolic
  FROM reading r JOIN period p ON p.id = r.period
  JOIN zone_offset o ON o.zone = p.zone AND r.taken_ms >= o.from_ms AND r.taken_ms < o.to_ms
), home AS (
  SELECT *, dense_rank() OVER (PARTITION BY period ORDER BY day) AS day_of_measuring
  FROM placed WHERE setting = 'home' AND day BETWEEN first_day AND last_day
), scheduled AS (
  SELECT h.*, w.name AS sitting_window
  FROM home h JOIN sitting_window w ON w.period = h.period AND h.minute >= w.from_minute AND h.minute < w.to_minute
  WHERE systolic IS NOT NULL AND diastolic IS NOT NULL AND day_of_measuring > first_days
    AND (position IS NULL OR position NOT IN ('standing', 'lying'))
), beside AS (
  SELECT *,
    count(*) FILTER (WHERE ordinal > 1) OVER (PARTITION BY period, sitting) AS others,
    avg(systolic) FILTER (WHERE ordinal > 1) OVER (PARTITION BY period, sitting) AS others_mean
  FROM scheduled
), candidate AS (
  SELECT * FROM beside WHERE NOT (ordinal = 1 AND CASE first_reading
    WHEN 'keep' THEN 0
    WHEN 'drop' THEN 1
    WHEN 'drop-unless-alone' THEN others > 0
    ELSE others > 0 AND systolic - others_mean > 133322000 * CAST(first_reading AS INTEGER) + 1
  END)
  AND (plan_arm IS NULL OR arm = plan_arm)
), limb AS (
  SELECT period, site, arm, row_number() OVER (
    PARTITION BY period
    ORDER BY CASE WHEN site = 'upper-arm' THEN 0 WHEN site IS NULL THEN 1 ELSE 2 END,
      count(*) DESC, arm IS NULL, avg(systolic) DESC, avg(diastolic) DESC, arm = 'right'
  ) AS choice
  FROM candidate GROUP BY period, site, arm
), used AS (
  SELECT c.* FROM candidate c JOIN limb l
    ON l.period = c.period AND l.site IS c.site AND l.arm IS c.arm
  WHERE l.choice = 1
), sitting_sum AS (
  SELECT period, sitting, 6 / count(*) * sum(systolic) AS systolic, 6 / count(*) * sum(diastolic) AS diastolic
  FROM used GROUP BY period, sitting
), sitting_total AS (
  SELECT period, count(*) AS sittings, sum(systolic) AS systolic6, sum(diastolic) AS diastolic6
  FROM sitting_sum GROUP BY period
), centre AS (
  SELECT period, avg(systolic) AS systolic, avg(diastolic) AS diastolic FROM used GROUP BY period
)
SELECT u.period AS period, count(*) AS readings, sum(u.systolic) AS systolic, sum(u.diastolic) AS diastolic,
  count(u.pulse) AS pulses, sum(u.pulse) AS pulse, count(DISTINCT u.day) AS days, u.arm AS arm, u.site AS site,
  t.sittings AS sittings, t.systolic6 AS systolic6, t.diastolic6 AS diastolic6,
  count(*) FILTER (WHERE sitting_window = 'morning') AS mornings,
  sum(u.systolic) FILTER (WHERE sitting_window = 'morning') AS morning_systolic,
  sum((u.systolic - c.systolic) * (u.systolic - c.systolic)) AS systolic_squares,
  sum((u.diastolic - c.diastolic) * (u.diastolic - c.diastolic)) AS diastolic_squares
FROM used u JOIN sitting_total t USING (period) JOIN centre c USING (period)
GROUP BY u.period`

interface SqlRow {
  readonly period: number
  readonly readings: number
  readonly systolic: number
  readonly diastolic: number
  readonly pulses: number
  readonly pulse: number | null
  readonly days: number
  readonly arm: Arm | null
  readonly site: Site | null
  readonly sittings: number
  /** Sum over sittings of six times the sitting's mean: whole, as sittings have one to three readings. */
  readonly systolic6: number
  readonly diastolic6: number
  readonly mornings: number
  readonly morning_systolic: number | null
  readonly systolic_squares: number
  readonly diastolic_squares: number
}

describe(`${PERIODS} generated periods`, () => {
  const random = seededRandom(20260301)
  let averages: readonly PeriodAverage[] = []
  let expected: ReadonlyMap<number, SqlRow> = new Map()

  beforeAll(() => {
    const database = emptyDatabase()
    averages = Array.from({ length: PERIODS }, (_, id) => {
      const made = anyPeriod()
      insert(database, id, made)
      return averagePeriod(made.plan, made.sittings, [])
    })
    database.exec('COMMIT')
    const rows = database.prepare(SQL).all() as unknown as SqlRow[]
    expected = new Map(rows.map((row) => [row.period, row]))
    database.close()
  }, 60_000)

  it('have the same readings, sums and counts in SQL', () => {
    const different = averages.flatMap((average, period) => {
      const row = expected.get(period)
      const { mean, used, arm, site, sufficiency, byWindow } = average
      if (row === undefined || mean === undefined)
        return row === undefined && mean === undefined && used.length === 0 ? [] : [{ period, row, mean }]
      const morning = byWindow.find(({ window }) => window === 'morning')
      const pooled = average.plan.protocol.pooling === 'all-readings'
      const agrees =
        mean.readings === row.readings &&
        used.length === row.readings &&
        sufficiency.daysUsed === row.days &&
        (arm ?? null) === row.arm &&
        (site ?? null) === row.site &&
        (morning?.mean.readings ?? 0) === row.mornings &&
        (pooled
          ? same(mean.systolic, row.systolic, row.readings) &&
            same(mean.diastolic, row.diastolic, row.readings) &&
            same(mean.pulse, row.pulse, row.pulses) &&
            same(morning?.mean.systolic, row.morning_systolic, row.mornings)
          : same(mean.systolic, row.systolic6, 6 * row.sittings) &&
            same(mean.diastolic, row.diastolic6, 6 * row.sittings))
      return agrees ? [] : [{ period, row, mean }]
    })
    expect(different.slice(0, 3)).toEqual([])
  })

  it('have the same means and standard deviations to 1e-9 mmHg', () => {
    let compared = 0
    for (const [period, row] of expected) {
      const average = averages[period]
      if (average === undefined || row.readings < 2) continue
      const statistics = periodStatistics(average)
      const sd = (squares: number) => Math.sqrt(squares / (row.readings - 1)) / 133_322_000
      const differences = [
        (statistics?.systolic.sd.readings ?? Number.NaN) - sd(row.systolic_squares),
        (statistics?.diastolic.sd.readings ?? Number.NaN) - sd(row.diastolic_squares),
        inMmHg(average.mean?.systolic) -
          (average.plan.protocol.pooling === 'all-readings'
            ? row.systolic / row.readings
            : row.systolic6 / (6 * row.sittings)) /
            133_322_000,
      ]
      expect(Math.max(...differences.map(Math.abs))).toBeLessThan(1e-9)
      compared += 1
    }
    expect(compared).toBeGreaterThan(0.6 * PERIODS)
  }, 30_000)

  it('reach every rule compared, so that agreement means something', () => {
    const reasons = new Set(averages.flatMap(({ leftOut }) => leftOut.map(({ reason }) => reason)))
    expect([...reasons].sort()).toEqual([
      'arm-not-stated',
      'first-day',
      'first-reading',
      'other-arm',
      'other-position',
      'other-setting',
      'other-site',
      'outside-period',
      'outside-window',
      'pressure-missing',
      'site-not-stated',
    ])
    const used = averages.filter(({ mean }) => mean !== undefined)
    expect(used.filter(({ arm }) => arm === undefined).length).toBeGreaterThan(0)
    expect(used.filter(({ site }) => site === undefined).length).toBeGreaterThan(0)
    expect(averages.filter(({ mean }) => mean === undefined).length).toBeGreaterThan(0)
    expect(averages.filter(({ plan }) => plan.zone === 'America/New_York').length).toBeGreaterThan(
      PERIODS / 10,
    )
  })

  interface MadePeriod {
    readonly plan: PeriodAverage['plan']
    readonly sittings: readonly CheckedSession[]
  }

  function anyPeriod(): MadePeriod {
    const zone = pick(OFFSETS)[0]
    const firstDay = pick(STARTS[zone] ?? ['2026-01-30', '2026-02-26', '2026-12-29'])
    const length = random.whole(2, 8)
    const arm = pick([undefined, undefined, 'left', 'right'] as const)
    return {
      plan: {
        protocol: anyProtocol(),
        zone,
        firstDay,
        lastDay: dayText(dayNumber(firstDay) + length - 1),
        ...(arm === undefined ? {} : { arm }),
      },
      sittings: Array.from({ length: 2 * length + random.whole(0, 3) }, (_, index) =>
        anySitting(index, firstDay, length),
      ),
    }
  }

  function anyProtocol(): Protocol {
    const base = shipped
    const narrow = [
      { name: 'morning', from: '05:00', to: '10:30' },
      { name: 'evening', from: '17:00', to: '23:00' },
    ]
    return {
      ...base,
      sittings: random.next() < 0.3 ? narrow : base.sittings,
      pooling: pick(['all-readings', 'mean-of-sitting-means']),
      leaveOut: {
        ...base.leaveOut,
        firstDays: pick([0, 1, 1, 2]),
        firstReading: pick([
          'keep',
          'keep',
          'drop',
          'drop-unless-alone',
          { dropWhenHigherThanMeanOfOthersByMmHg: 10 },
        ] as const),
      },
    }
  }

  function anySitting(index: number, firstDay: string, length: number): CheckedSession {
    // Local midnight is up to 14 hours off: days before, between and after the period are all met.
    const second = random.whole(-MS_PER_DAY / 1000, ((length + 1) * MS_PER_DAY) / 1000)
    const startMs = dayNumber(firstDay) * MS_PER_DAY + second * 1000
    const unit = random.next() < 0.2 ? 'kPa' : 'mmHg'
    const inUnit = (mmHg: number) => (unit === 'mmHg' ? mmHg : Math.round(mmHg * 133.322) / 1000)
    const readings = Array.from({ length: random.whole(1, 3) }, (_, place): Reading => {
      const missing = random.next()
      const systolic = { value: inUnit(random.whole(100, 175)), unit } as const
      const diastolic = { value: inUnit(random.whole(55, 98)), unit } as const
      return {
        ordinal: place + 1,
        takenAt: instantOf(startMs + place * 60_000),
        systolic: missing < 0.02 ? null : systolic,
        diastolic: missing > 0.98 ? null : diastolic,
        ...(random.next() < 0.8 ? { pulse: random.whole(50, 100) } : {}),
      }
    })
    const setting: Setting =
      random.next() < 0.94 ? 'home' : pick(['clinic', 'public-kiosk', 'ambulatory'] as const)
    return {
      session: {
        id: `s-${index}`,
        subject: 'P-1',
        takenAt: instantOf(startMs),
        setting,
        ...oneOf<Pick<Session, 'position'>>(
          [0.85, { position: 'sitting' }],
          [0.88, { position: 'standing' }],
          [0.9, { position: 'lying' }],
          [0.92, { position: 'semi-recumbent' }],
          [1, {}],
        ),
        ...oneOf<Pick<Session, 'arm'>>([0.7, { arm: 'left' }], [0.9, { arm: 'right' }], [1, {}]),
        ...oneOf<Pick<Session, 'site'>>([0.84, { site: 'upper-arm' }], [0.94, { site: 'wrist' }], [1, {}]),
        entry: 'transferred',
        conditions: {},
        readings,
      },
      findings: [],
    }
  }

  /** Each choice up to its share of all, counted from the first. */
  function oneOf<T>(...choices: readonly (readonly [upTo: number, choice: T])[]): T {
    const drawn = random.next()
    const found = choices.find(([upTo]) => drawn < upTo)
    if (found === undefined) throw new TypeError('nothing to pick from')
    return found[1]
  }

  function pick<T>(choices: readonly T[]): T {
    const choice = choices[random.whole(0, choices.length - 1)]
    if (choice === undefined && !choices.includes(choice as T)) throw new TypeError('nothing to pick from')
    return choice as T
  }
})

const shipped = shippedProtocol('nice-ng136-home')

function emptyDatabase(): DatabaseSyncInstance {
  const database = new DatabaseSync(':memory:')
  database.exec(`
    CREATE TABLE zone_offset (zone TEXT, from_ms INTEGER, to_ms INTEGER, minutes INTEGER);
    CREATE TABLE period (id INTEGER PRIMARY KEY, zone TEXT, first_day INTEGER, last_day INTEGER, arm TEXT,
      first_days INTEGER, first_reading TEXT);
    CREATE TABLE sitting_window (period INTEGER, name TEXT, from_minute INTEGER, to_minute INTEGER,
      PRIMARY KEY (period, name));
    CREATE TABLE reading (period INTEGER, sitting TEXT, ordinal INTEGER, taken_ms INTEGER, setting TEXT, position TEXT, arm TEXT,
      site TEXT, unit TEXT, systolic_written INTEGER, diastolic_written INTEGER, pulse INTEGER);
    BEGIN`)
  const add = database.prepare('INSERT INTO zone_offset VALUES (?, ?, ?, ?)')
  OFFSETS.forEach(([zone, from, minutes], at) => {
    const next = OFFSETS[at + 1]
    const to = next?.[0] === zone ? next[1] : '2100-01-01T00:00:00Z'
    add.run(zone, Date.parse(from), Date.parse(to), minutes)
  })
  return database
}

type Inserts = Readonly<Record<'period' | 'window' | 'reading', ReturnType<DatabaseSyncInstance['prepare']>>>
const prepared = new WeakMap<DatabaseSyncInstance, Inserts>()

function insertsOf(database: DatabaseSyncInstance): Inserts {
  const known = prepared.get(database) ?? {
    period: database.prepare('INSERT INTO period VALUES (?, ?, ?, ?, ?, ?, ?)'),
    window: database.prepare('INSERT INTO sitting_window VALUES (?, ?, ?, ?)'),
    reading: database.prepare('INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)'),
  }
  prepared.set(database, known)
  return known
}

function insert(
  database: DatabaseSyncInstance,
  id: number,
  { plan, sittings }: { plan: PeriodAverage['plan']; sittings: readonly CheckedSession[] },
): void {
  const add = insertsOf(database)
  const { firstDays, firstReading } = plan.protocol.leaveOut
  const rule =
    typeof firstReading === 'string' ? firstReading : `${firstReading.dropWhenHigherThanMeanOfOthersByMmHg}`
  add.period.run(
    id,
    plan.zone,
    dayNumber(plan.firstDay),
    dayNumber(plan.lastDay),
    plan.arm ?? null,
    firstDays,
    rule,
  )
  for (const { name, from, to } of plan.protocol.sittings)
    add.window.run(id, name, minutes(from), minutes(to))
  for (const { session } of sittings) {
    for (const reading of session.readings) {
      const { unit } = reading.systolic ?? reading.diastolic ?? { unit: 'mmHg' }
      // mmHg are whole here; kPa have three decimals, so they are written down in pascals.
      const written = (value: number) => (unit === 'mmHg' ? value : Math.round(1000 * value))
      add.reading.run(
        id,
        session.id,
        reading.ordinal,
        reading.takenAt?.epochMs ?? session.takenAt.epochMs,
        session.setting,
        session.position ?? null,
        session.arm ?? null,
        session.site ?? null,
        unit,
        reading.systolic === null ? null : written(reading.systolic.value),
        reading.diastolic === null ? null : written(reading.diastolic.value),
        reading.pulse ?? null,
      )
    }
  }
}

/** Whether a mean is exactly `total / count`; no mean, when nothing was counted. */
function same(mean: ExactMean | undefined, total: number | null, count: number): boolean {
  if (mean === undefined || total === null) return mean === undefined && total === null && count === 0
  return mean.total * BigInt(count) === BigInt(total) * mean.count
}

function inMmHg(mean: ExactMean | undefined): number {
  return mean === undefined ? Number.NaN : Number(mean.total) / Number(mean.count) / 133_322_000
}

function dayNumber(day: string): number {
  return Date.parse(`${day}T00:00:00Z`) / MS_PER_DAY
}

function dayText(number: number): string {
  return new Date(number * MS_PER_DAY).toISOString().slice(0, 10)
}

function minutes(time: string): number {
  return 60 * Number(time.slice(0, 2)) + Number(time.slice(3))
}
