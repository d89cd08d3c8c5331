import { evening, morning, type PlannedSitting } from './planned-sitting.ts'
import type { SeededRandom } from './seeded-random.ts'
import { type Sitting, transferredSession, typedKPaSession } from './session-of.ts'
import { CAREFUL, type Level, MORNING } from './sitting.ts'

/** What makes one person's sittings theirs. */
export interface Scenario {
  readonly seed: number
  readonly level: Level
  /** Readings in each sitting. */
  readonly readings: number
  /** The arm circumferences of the person's own cuff. */
  readonly cuffFor: NonNullable<Sitting['conditions']['cuffFor']>
  readonly write: typeof transferredSession
  readonly plan: (random: SeededRandom) => readonly PlannedSitting[]
}

const ADULT_CUFF = { minCm: 22, maxCm: 32 }
const LARGE_CUFF = { minCm: 32, maxCm: 42 }

const days = (count: number) => Array.from({ length: count }, (_, index) => index + 1)

/** A fortnight of mornings with nothing to remark. */
const cleanFortnight: Scenario = {
  seed: 1001,
  level: { systolic: 128, diastolic: 79, pulse: 66 },
  readings: 3,
  cuffFor: ADULT_CUFF,
  write: transferredSession,
  plan: (random) => days(14).map((day) => morning(day, random)),
}

/** A week whose first day stands so high that leaving it out moves the mean across 135. */
const excitedFirstDay: Scenario = {
  seed: 1002,
  level: { systolic: 131.5, diastolic: 79, pulse: 72 },
  readings: 2,
  cuffFor: ADULT_CUFF,
  write: transferredSession,
  plan: (random) =>
    days(7).flatMap((day) => {
      const shift = day === 1 ? { systolic: 18, diastolic: 8 } : { systolic: 0, diastolic: 0 }
      return [
        { ...morning(day, random), shift },
        { ...evening(day, random), shift },
      ]
    }),
}

/** A fortnight read off a kPa display and typed in; on two mornings the first reading was taken in a hurry. */
const kiloPascals: Scenario = {
  seed: 1003,
  level: { systolic: 133, diastolic: 82, pulse: 70 },
  readings: 3,
  cuffFor: ADULT_CUFF,
  write: typedKPaSession,
  plan: (random) =>
    days(14).map((day) => {
      const hurried = day === 4 || day === 11
      return { ...morning(day, random), ...(hurried ? { firstShift: { systolic: 20, diastolic: 7 } } : {}) }
    }),
}

/**
 * A week of sittings several of which went wrong, each by about what its error is published to add: a cuff 10 cm low
 * by the weight of the column of blood, the others within the ranges of Kallioinen 2017 (J Hypertens 35:421).
 */
const techniqueFlagged: Scenario = {
  seed: 1004,
  level: { systolic: 129, diastolic: 78, pulse: 74 },
  readings: 2,
  cuffFor: LARGE_CUFF,
  write: transferredSession,
  plan: (random) => {
    const { low, talk, full, small } = TECHNIQUE
    const wrong = [
      [talk, low],
      [full, undefined],
      [talk, low],
      [small, small],
      [undefined, low],
      [full, undefined],
      [undefined, small],
    ]
    return days(7).flatMap((day) =>
      [morning(day, random), evening(day, random)].map((planned, half) => {
        const error = wrong[day - 1]?.[half]
        if (error === undefined) return planned
        return { ...planned, shift: error.shift, conditions: { ...planned.conditions, ...error.said } }
      }),
    )
  },
}

const TECHNIQUE = {
  low: { shift: { systolic: 8, diastolic: 8 }, said: { cuffHeight: { relativeToHeartCm: -10 } } },
  talk: { shift: { systolic: 11, diastolic: 8 }, said: { talking: true } },
  full: { shift: { systolic: 12, diastolic: 7 }, said: { bladderFull: true } },
  small: { shift: { systolic: 9, diastolic: 5 }, said: { cuffFor: ADULT_CUFF } },
} as const

/** A week on the right arm; on the first three mornings the left was measured too, and stands far lower. */
const bothArms: Scenario = {
  seed: 1005,
  level: { systolic: 143, diastolic: 86, pulse: 68 },
  readings: 2,
  cuffFor: ADULT_CUFF,
  write: transferredSession,
  plan: (random) =>
    days(7).flatMap((day) => {
      const right = { ...morning(day, random), arm: 'right' as const }
      const left = {
        ...right,
        time: `08:${right.time.slice(3)}`,
        arm: 'left' as const,
        shift: { systolic: -26, diastolic: -11 },
      }
      const rest = [{ ...evening(day, random), arm: 'right' as const }]
      return day <= 3 ? [right, left, ...rest] : [right, ...rest]
    }),
}

/**
 * A week of nights: once in the small hours, on a night off as on a shift, and once after getting up in the
 * afternoon. On the fourth day the clock jumps from 02:00 to 03:00 between two sittings.
 */
const nightShift: Scenario = {
  seed: 1006,
  level: { systolic: 126, diastolic: 77, pulse: 63 },
  readings: 2,
  cuffFor: ADULT_CUFF,
  write: transferredSession,
  plan: (random) => {
    const second = () => String(random.whole(10, 59))
    const night = (day: number, minute: string): PlannedSitting => ({
      day,
      time: `${minute}:${second()}`,
      conditions: { ...CAREFUL, minutesSince: { caffeine: 200, nicotine: null, exercise: null, meal: 150 } },
    })
    const afternoon = (day: number): PlannedSitting => ({
      day,
      time: `17:${random.whole(10, 55)}:${second()}`,
      conditions: MORNING,
    })
    return days(7).flatMap((day) =>
      day === 4
        ? [night(day, '01:30'), night(day, '03:30'), afternoon(day)]
        : [night(day, `0${random.whole(1, 3)}:${random.whole(10, 50)}`), afternoon(day)],
    )
  },
}

/** By subject, as in `samples/people.json`. */
export const SCENARIOS: ReadonlyMap<string, Scenario> = new Map([
  ['HW-1001', cleanFortnight],
  ['HW-1002', excitedFirstDay],
  ['HW-1003', kiloPascals],
  ['HW-1004', techniqueFlagged],
  ['HW-1005', bothArms],
  ['HW-1006', nightShift],
])
