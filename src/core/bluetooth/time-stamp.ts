import { isCalendarDay } from '../basics/instant.ts'
import type { OctetCursor } from './octet-cursor.ts'

/** When a monitor says that it measured: a text, or `absent` with the reason. */
export type TimeStamp = { readonly text: string } | { readonly absent: 'unknown' | 'impossible' }

/**
 * The seven bytes of a Date Time: year (16 bits), month, day, hour, minute, second, what the clock of the monitor
 * showed, without an offset: `2026-03-29T07:15:00`. A year, month or day of 0 is one the monitor does not know, and a
 * time without its day is none. Source: Bluetooth GATT Specification Supplement, Date Time.
 */
export function readDateTime(cursor: OctetCursor): TimeStamp {
  const [year, month, day] = [cursor.word(), cursor.octet(), cursor.octet()]
  const [hour, minute, second] = [cursor.octet(), cursor.octet(), cursor.octet()]
  if (year === 0 || month === 0 || day === 0) return { absent: 'unknown' }
  if (year > 9999 || !isCalendarDay(year, month, day) || hour > 23 || minute > 59 || second > 59)
    return { absent: 'impossible' }
  const date = `${digits(year, 4)}-${digits(month, 2)}-${digits(day, 2)}`
  return { text: `${date}T${digits(hour, 2)}:${digits(minute, 2)}:${digits(second, 2)}` }
}

/** Which day the seconds of an enhanced stamp are counted from, by bit 6 of its flags. */
export type Epoch = 1900 | 2000

/** Widest offset of a zone, in seconds, and the step in which offsets are set. Sources: IANA tz data; FHIR R4 dateTime. */
const WIDEST_OFFSET = 14 * 3600
const OFFSET_STEP = 15 * 60

/**
 * When an enhanced measurement was taken: its stamp is UTC in seconds since the epoch; the user facing time is what the
 * person read, counted alike, so the two together give the offset. Both alone are read for what they are: the stamp as
 * UTC with `Z`, the user facing time as a time without an offset.
 *
 * A stamp of 0 is a clock that was never set (a decision of ours: nothing was measured on the day of an epoch).
 * An offset that no zone has leaves UTC, and is told by `oddOffset`.
 * Source: Bluetooth GATT Specification Supplement, Enhanced Blood Pressure Measurement; the offset is ours to infer.
 */
export function enhancedTime(
  epoch: Epoch,
  stamp: number | undefined,
  userFacing: number | undefined,
): TimeStamp & { readonly oddOffset?: true } {
  if (stamp === undefined || stamp === 0) {
    if (userFacing === undefined || userFacing === 0) return { absent: 'unknown' }
    return { text: wallText(epoch, userFacing) }
  }
  if (userFacing === undefined || userFacing === 0) return { text: `${wallText(epoch, stamp)}Z` }
  const offset = userFacing - stamp
  if (Math.abs(offset) > WIDEST_OFFSET || offset % OFFSET_STEP !== 0)
    return { text: `${wallText(epoch, stamp)}Z`, oddOffset: true }
  const [hours, minutes] = [Math.floor(Math.abs(offset) / 3600), Math.floor((Math.abs(offset) % 3600) / 60)]
  return {
    text: `${wallText(epoch, userFacing)}${offset < 0 ? '-' : '+'}${digits(hours, 2)}:${digits(minutes, 2)}`,
  }
}

function wallText(epoch: Epoch, seconds: number): string {
  return new Date(Date.UTC(epoch, 0, 1) + seconds * 1000).toISOString().slice(0, 19)
}

function digits(value: number, width: number): string {
  return String(value).padStart(width, '0')
}
