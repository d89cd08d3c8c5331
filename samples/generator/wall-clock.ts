import { Temporal } from 'temporal-polyfill'

/**
 * The epoch milliseconds of a wall-clock time in a zone.
 *
 * @param time `06:41:00`.
 * @throws RangeError when the clocks skipped or repeated that time.
 */
export function wallClock(day: string, time: string, zone: string): number {
  return Temporal.PlainDateTime.from(`${day}T${time}`).toZonedDateTime(zone, { disambiguation: 'reject' })
    .epochMilliseconds
}

/** An epoch instant as RFC 3339 text with seconds and the offset of the zone at that moment. */
export function textInZone(epochMs: number, zone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(epochMs)
    .toZonedDateTimeISO(zone)
    .toString({ timeZoneName: 'never', smallestUnit: 'second' })
}
