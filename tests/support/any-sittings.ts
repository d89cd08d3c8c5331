import fc from 'fast-check'
import type { CheckedSession, PeriodPlan } from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { homeSitting, type Numbers, techniqueFinding } from './home-sitting.ts'
import { shippedProtocol } from './shipped-profiles.ts'

const FIRST_MS = Date.parse('2026-03-01T00:00:00Z')
const MINUTES = 16 * 24 * 60

const nice = shippedProtocol('nice-ng136-home')
const fortnight = shippedProtocol('fortnight-of-mornings')

/** Any combination of the rules a protocol can state, on two schedules. */
export const anyProtocol: fc.Arbitrary<Protocol> = fc
  .record({
    schedule: fc.constantFrom(nice, fortnight),
    asked: fc.integer({ min: 2, max: 3 }),
    pooling: fc.constantFrom('all-readings', 'mean-of-sitting-means'),
    windowsAveraged: fc.constantFrom('together', 'apart'),
    leaveOut: fc.record({
      firstDays: fc.integer({ min: 0, max: 2 }),
      partialFirstDay: fc.constantFrom('is-the-first-day', 'comes-before-it'),
      firstReading: fc.constantFrom<Protocol['leaveOut']['firstReading']>(
        'keep',
        'drop',
        'drop-unless-alone',
        { dropWhenHigherThanMeanOfOthersByMmHg: 10 },
      ),
      extraReadings: fc.constantFrom('keep', 'leave-out'),
      extraSittings: fc.constantFrom('keep', 'leave-out'),
      standingOrLying: fc.constantFrom('keep', 'leave-out'),
      zeroDiastolic: fc.constantFrom('keep', 'leave-out-beside-others'),
    }),
  })
  .map(({ schedule, asked, ...rules }) => ({
    ...schedule,
    ...rules,
    readingsPerSitting: { least: 2, asked },
  }))

/** Sixteen days around a fortnight with a change of the clock, in a few zones; sometimes one arm is asked for. */
export const anyPlan: fc.Arbitrary<PeriodPlan> = fc
  .record({
    protocol: anyProtocol,
    zone: fc.constantFrom('America/Denver', 'Asia/Kathmandu', 'Australia/Lord_Howe'),
    arm: fc.constantFrom(undefined, undefined, 'left', 'right'),
    excludes: fc.boolean(),
  })
  .map(({ arm, excludes, ...said }) => ({
    ...said,
    firstDay: '2026-03-02',
    lastDay: '2026-03-15',
    ...(arm === undefined ? {} : { arm }),
    ...(excludes ? { policy: { talking: 'exclude' } } : {}),
  }))

const numbers: fc.Arbitrary<Numbers> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.tuple(
      fc.integer({ min: 90, max: 220 }),
      fc.integer({ min: 40, max: 89 }),
      fc.integer({ min: 40, max: 120 }),
    ),
  },
  { weight: 1, arbitrary: fc.constantFrom<Numbers>([null, 80], [130, null]) },
  { weight: 1, arbitrary: fc.constantFrom<Numbers>([130, 0], [130, 80], [130, 80]) },
)

/** Mostly ordinary sittings of sixteen days, some at the edge of every rule, and some sent again under another id. */
export const anySittings: fc.Arbitrary<readonly CheckedSession[]> = fc
  .array(
    fc.record({
      minute: fc.oneof(
        fc.integer({ min: 0, max: MINUTES }),
        // Few moments, the mornings of Denver, so that sittings meet.
        fc.integer({ min: 0, max: 16 }).map((day) => day * 24 * 60 + 14 * 60),
      ),
      readings: fc.array(numbers, { minLength: 1, maxLength: 4 }),
      arm: fc.constantFrom('left', 'left', 'left', 'right', 'not-stated'),
      site: fc.constantFrom('upper-arm', 'upper-arm', 'upper-arm', 'wrist', 'not-stated'),
      position: fc.constantFrom('sitting', 'sitting', 'sitting', 'standing', 'lying', 'not-stated'),
      setting: fc.constantFrom('home', 'home', 'home', 'clinic'),
      findings: fc.constantFrom([], [], [techniqueFinding()]),
      withdrawn: fc.constantFrom(false, false, false, false, true),
      copies: fc.constantFrom(1, 1, 1, 2),
    }),
    { maxLength: 24, size: 'max' },
  )
  .map((all) =>
    all
      .flatMap(({ copies, ...said }) => Array.from({ length: copies }, () => said))
      .map(({ minute, withdrawn, ...said }, place) => ({
        ...homeSitting({
          ...said,
          // Ids that are not in the order of the times.
          id: `s-${(place * 7) % 53}`,
          at: new Date(FIRST_MS + minute * 60_000).toISOString(),
        }),
        withdrawn,
      })),
  )
