import { isCalendarDay } from '../basics/instant.ts'

/** A time of HL7 v2 as RFC 3339, without its offset where none is known. */
export interface ReadTime {
  readonly text: string
  /** Read with a tolerance: the seconds were not told, or the offset is the message's. */
  readonly tolerance?: 'seconds' | 'offset'
}

/** Offset of a time, `+01:00`; empty when it has none. Undefined when it is no such time at all. */
export function offsetOf(written: string): string | undefined {
  const parts = TIME.exec(written)
  return parts === null ? undefined : offsetText(parts[8] ?? '')
}

/**
 * Reads a time that names a minute or a second: `20261124213005.25+0100` is `2026-11-24T21:30:05.25+01:00`. A minute is
 * its first second. Where the time has no offset, the one of MSH-7 holds for the whole message (from memory: HL7 v2.5.1
 * section 2.15.9.7; the same is said of times of day in section 2.A.75), and without that it is what a clock showed at
 * the sender's.
 * Source: HL7 v2.5.1 section 2.A.22, DTM.
 *
 * @param messageOffset of MSH-7, `+01:00`, or empty.
 * @returns undefined when it is malformed, has no time of day, or its day does not exist.
 */
export function readTime(written: string, messageOffset: string): ReadTime | undefined {
  const parts = TIME.exec(written)
  if (parts === null) return undefined
  const [, year = '', month = '', day = '', hour = '', minute = '', second, fraction, zone = ''] = parts
  if (hour === '' || !isCalendarDay(Number(year), Number(month), Number(day))) return undefined
  const offset = offsetText(zone)
  if (offset === undefined) return undefined
  const tolerance =
    second === undefined ? 'seconds' : offset === '' && messageOffset !== '' ? 'offset' : undefined
  const seconds = `${second ?? '00'}${fraction === undefined ? '' : `.${fraction}`}`
  const whole = offset === '' ? messageOffset : offset
  // A time without an offset is placed by whoever knows the zone, to the second.
  const text = `${year}-${month}-${day}T${hour}:${minute}:${whole === '' ? (second ?? '00') : seconds}${whole}`
  return tolerance === undefined ? { text } : { text, tolerance }
}

const TIME =
  /^(\d{4})(?:(\d\d)(?:(\d\d)(?:([01]\d|2[0-3])([0-5]\d)(?:([0-5]\d)(?:\.(\d{1,4}))?)?)?)?)?([+-]\d{4})?$/

/** `+0100` as `+01:00`; undefined when it is wider than 14 hours. Source: FHIR R4 4.0.1, data type dateTime. */
function offsetText(zone: string): string | undefined {
  if (zone === '') return ''
  const [hours, minutes] = [Number(zone.slice(1, 3)), Number(zone.slice(3))]
  if (minutes > 59 || hours * 60 + minutes > 14 * 60) return undefined
  return `${zone.slice(0, 3)}:${zone.slice(3)}`
}
