import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { CheckedSession, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import { homeSitting } from './home-sitting.ts'
import { shippedProtocol } from './shipped-profiles.ts'

/**
 * A home average of exactly these readings, whatever the days, beside what else came; none of them gives one without a
 * mean.
 */
export function homeAverage(
  readings: readonly (readonly [number, number])[],
  beside: readonly CheckedSession[] = [],
): PeriodAverage {
  const protocol = {
    ...shippedProtocol('fortnight-of-mornings'),
    leaveOut: { ...shippedProtocol('nice-ng136-home').leaveOut, firstDays: 0, firstReading: 'keep' as const },
  }
  const sittings = readings.length === 0 ? [] : [homeSitting({ at: '2026-03-03T07:00:00Z', readings })]
  return averagePeriod(
    { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-15' },
    [...sittings, ...beside],
    [],
  )
}
