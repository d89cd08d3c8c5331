import type { PeriodAverage } from '../averaging/period-average.ts'
import type { CitationId } from '../citations.ts'
import { readingsWith } from './measured-readings.ts'
import { byDay, type PressureName, pressurePoints } from './pressure-points.ts'
import { coefficientOfVariation } from './sample-deviation.ts'

/** How much the first reading of each morning varies, beside what one large study called raised. */
export interface MorningVariability {
  /** Coefficient of variation of the first morning readings, per cent, unrounded. */
  readonly cvPercent: number
  /** Mornings it rests on. */
  readonly days: number
  readonly limitPercent: number
  /** Whether it is above the limit. Compared without rounding. */
  readonly raised: boolean
  readonly citation: CitationId
}

/**
 * Above these, day-to-day variability counted as raised. Source: Juhanoja 2017, PMID 28193705, 6,238 people, the first
 * morning reading on 3 to 7 days. An earlier conference report of the same data printed 10.7 and 12.6.
 */
export const USUAL_VARIABILITY = {
  limitPercent: { systolic: 11, diastolic: 12.8 },
  leastDays: 3,
  citation: 'juhanoja-2017',
} as const satisfies {
  limitPercent: Record<PressureName, number>
  leastDays: number
  citation: CitationId
}

/**
 * The first reading of each morning of the average, also where its protocol leaves first readings out. Undefined for
 * fewer than three mornings, or a protocol without a window named `morning`.
 */
export function morningVariability(
  average: PeriodAverage,
  pressure: PressureName,
): MorningVariability | undefined {
  const { protocol } = average.plan
  const mornings = readingsWith(average, ['first-reading']).filter(({ window }) => window === 'morning')
  const first = [...byDay(pressurePoints(mornings, pressure, protocol)).values()].flatMap(
    ([point]) => point?.mmHg ?? [],
  )
  const cvPercent = first.length < USUAL_VARIABILITY.leastDays ? undefined : coefficientOfVariation(first)
  if (cvPercent === undefined) return undefined
  const limitPercent = USUAL_VARIABILITY.limitPercent[pressure]
  return {
    cvPercent,
    days: first.length,
    limitPercent,
    raised: cvPercent > limitPercent,
    citation: USUAL_VARIABILITY.citation,
  }
}
