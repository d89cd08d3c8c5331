import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import {
  PUBLISHED_FIRST_DAY,
  PUBLISHED_LAST_DAY,
  PUBLISHED_ZONE,
  publishedWeek,
} from '../fixtures/published-week.ts'
import { shippedProtocol, shippedThresholdSets } from './shipped-profiles.ts'

// A program of its own: prints the average of the published week, and the offset of the server's own clock.
const average = averagePeriod(
  {
    protocol: shippedProtocol('nice-ng136-home'),
    zone: PUBLISHED_ZONE,
    firstDay: PUBLISHED_FIRST_DAY,
    lastDay: PUBLISHED_LAST_DAY,
  },
  publishedWeek,
  shippedThresholdSets(),
)
const text = JSON.stringify(average, (_, value: unknown) =>
  typeof value === 'bigint' ? value.toString() : value,
)
console.log(JSON.stringify({ serverOffsetMinutes: new Date(2023, 0, 1).getTimezoneOffset(), text }))
