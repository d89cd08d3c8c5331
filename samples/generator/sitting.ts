import type { SessionRecordInput } from '../../src/core/record/session-record.ts'
import type { SeededRandom } from './seeded-random.ts'

/** What a person's pressure is like: the level they live at, in mmHg and beats per minute. */
export interface Level {
  readonly systolic: number
  readonly diastolic: number
  readonly pulse: number
}

/** mmHg by which a sitting is off a person's level, from what the day or the technique does to it. */
export interface Shift {
  readonly systolic: number
  readonly diastolic: number
}

/**
 * Standard deviations in mmHg. Day to day: systolic 8.6, diastolic 5.8 (morning home readings, Ohasama study); within
 * one sitting: 4.3 and 3.9 (three readings, computed from NHANES 2009 to 2012). The people here are calmer than that
 * from day to day, so that a week shows what it is meant to show.
 */
const DAY = { systolic: 4, diastolic: 2.5 }
const WITHIN = { systolic: 3, diastolic: 2.2 }

/** How far the first reading of a sitting tends to stand above the next ones, in mmHg. */
const FIRST_READING: Shift = { systolic: 2.5, diastolic: 1 }

/** The numbers of one sitting in whole mmHg, as a monitor would show them. */
export function sittingNumbers(
  level: Level,
  count: number,
  shift: Shift,
  random: SeededRandom,
): readonly Level[] {
  const ofDay = { systolic: DAY.systolic * random.bell(), diastolic: DAY.diastolic * random.bell() }
  return Array.from({ length: count }, (_, index) => {
    const first = index === 0 ? FIRST_READING : { systolic: 0, diastolic: 0 }
    const number = (of: 'systolic' | 'diastolic') =>
      Math.round(level[of] + shift[of] + ofDay[of] + first[of] + WITHIN[of] * random.bell())
    return {
      systolic: number('systolic'),
      diastolic: number('diastolic'),
      pulse: Math.round(level.pulse + 3 * random.bell() - index),
    }
  })
}

/** Everything as the instructions ask: what a careful person answers when the app asks. The cuff is the person’s. */
export const CAREFUL: NonNullable<SessionRecordInput['conditions']> = {
  restMinutes: 5,
  backSupported: true,
  feetFlat: true,
  legsCrossed: false,
  armSupported: true,
  cuffHeight: { relativeToHeartCm: 0 },
  cuffOver: 'bare-arm',
  cuffEdgeAboveElbowCm: 3,
  fingersUnderCuff: 2,
  talking: false,
  moving: false,
  bladderFull: false,
  pain: false,
}

/** Morning answers: nothing eaten, drunk or smoked since the day before, the day's medicine still to come. */
export const MORNING: NonNullable<SessionRecordInput['conditions']> = {
  ...CAREFUL,
  minutesSince: { caffeine: null, nicotine: null, exercise: null, meal: null },
  medication: 'before',
}

export const EVENING: NonNullable<SessionRecordInput['conditions']> = {
  ...CAREFUL,
  minutesSince: { caffeine: 360, nicotine: null, exercise: 600, meal: 180 },
  medication: 'after',
}
