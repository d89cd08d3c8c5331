import { localTime } from '../basics/local-day.ts'

const MS_PER_MINUTE = 60_000

/**
 * An epoch instant as RFC 3339 text with the offset its zone has at that moment: `2026-03-02T00:00:00-07:00`. Whole
 * seconds; offsets are whole minutes, as in every zone since 1972.
 */
export function instantInZone(epochMs: number, zone: string): string {
  const { day, minuteOfDay } = localTime(epochMs, zone)
  const utcMinute = Math.floor(epochMs / MS_PER_MINUTE)
  const offset = Date.parse(`${day}T00:00:00Z`) / MS_PER_MINUTE + minuteOfDay - utcMinute
  const second = Math.floor(epochMs / 1000) - utcMinute * 60
  const size = Math.abs(offset)
  return `${day}T${clock(minuteOfDay)}:${twoDigits(second)}${offset < 0 ? '-' : '+'}${clock(size)}`
}

function clock(minutes: number): string {
  return `${twoDigits(Math.floor(minutes / 60))}:${twoDigits(minutes % 60)}`
}

function twoDigits(value: number): string {
  return String(value).padStart(2, '0')
}
