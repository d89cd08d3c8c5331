import { addDays } from '../../src/core/basics/local-day.ts'
import type { SeededRandom } from './seeded-random.ts'
import type { Sitting } from './session-of.ts'
import { EVENING, MORNING, type Shift } from './sitting.ts'

/** One sitting of a plan: when, and what is unusual about it. */
export interface PlannedSitting {
  /** 1 for the first day of the period. */
  readonly day: number
  /** Wall-clock time of the first reading, `06:41:00`. */
  readonly time: string
  /** How it was measured; the cuff is the person's own when not told. */
  readonly conditions: Sitting['conditions']
  /** Moves every reading. */
  readonly shift?: Shift
  /** Moves the first reading alone. */
  readonly firstShift?: Shift
  /** The arm of the period when absent. */
  readonly arm?: Sitting['arm']
}

export const morning = (day: number, random: SeededRandom): PlannedSitting => ({
  day,
  time: timeBetween(6, random),
  conditions: MORNING,
})

export const evening = (day: number, random: SeededRandom): PlannedSitting => ({
  day,
  time: timeBetween(20, random),
  conditions: EVENING,
})

/** A time within an hour and a half of the full hour. */
function timeBetween(hour: number, random: SeededRandom): string {
  const minutes = random.whole(20, 89)
  return `${two(hour + Math.floor(minutes / 60))}:${two(minutes % 60)}:${two(random.whole(0, 59))}`
}

const two = (value: number) => String(value).padStart(2, '0')

export const dayOf = (firstDay: string, day: number) => addDays(firstDay, day - 1)
