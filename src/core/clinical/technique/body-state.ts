import type { SittingCheck } from '../check.ts'
import type { Finding } from '../finding.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

export const bladder: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.bladderFull === true ? techniqueFinding('bladder-full', 'The bladder was full') : undefined

export const pain: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.pain === true ? techniqueFinding('pain', 'There was pain during the measurement') : undefined

export const cold: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.cold === true ? techniqueFinding('cold-exposure', 'The room or the person was cold') : undefined

/** The pressure itself is lower after a dose, which is no error: it matters where a schedule asks for readings before. */
export const medication: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.medication === 'after'
    ? techniqueFinding('after-medication', 'It was measured after the day’s pressure medicine')
    : undefined

/** Minutes to wait after caffeine, nicotine and exercise. Source: ACC/AHA 2017, home measurement table. */
const STIMULANT_AND_EXERCISE_MINUTES = 30

/** Minutes to wait after alcohol or a meal. Common practice: no published window was found. */
const ALCOHOL_AND_MEAL_MINUTES = 30

export const caffeine: SittingCheck<TechniqueContext> = ({ conditions }) =>
  recent(
    'caffeine-recent',
    conditions.minutesSince?.caffeine,
    STIMULANT_AND_EXERCISE_MINUTES,
    'Caffeine was taken',
  )

export const nicotine: SittingCheck<TechniqueContext> = ({ conditions }) =>
  recent(
    'nicotine-recent',
    conditions.minutesSince?.nicotine,
    STIMULANT_AND_EXERCISE_MINUTES,
    'Nicotine was taken',
  )

export const alcohol: SittingCheck<TechniqueContext> = ({ conditions }) =>
  recent('alcohol-recent', conditions.minutesSince?.alcohol, ALCOHOL_AND_MEAL_MINUTES, 'Alcohol was taken')

export const exercise: SittingCheck<TechniqueContext> = ({ conditions }) =>
  recent(
    'exercise-recent',
    conditions.minutesSince?.exercise,
    STIMULANT_AND_EXERCISE_MINUTES,
    'Exercise ended',
  )

export const meal: SittingCheck<TechniqueContext> = ({ conditions }) =>
  recent('meal-recent', conditions.minutesSince?.meal, ALCOHOL_AND_MEAL_MINUTES, 'A meal was eaten')

type RecentCode = 'caffeine-recent' | 'nicotine-recent' | 'alcohol-recent' | 'exercise-recent' | 'meal-recent'

/** Null means not today, undefined not asked: neither is a finding. The full wait is long enough. */
function recent(
  code: RecentCode,
  minutes: number | null | undefined,
  waitMinutes: number,
  what: string,
): Finding | undefined {
  if (minutes === undefined || minutes === null || minutes >= waitMinutes) return undefined
  return techniqueFinding(code, `${what} ${minutes} min before measuring instead of at least ${waitMinutes}`)
}
