import { isCalendarDay } from '../../basics/instant.ts'
import { type TimeFormFault, timeFormFault } from './time-form-fault.ts'
import { formPattern, type TimeToken } from './time-form-pattern.ts'

/** A declared way of writing date and time, ready to read texts. */
export interface TimeForm {
  /** As declared: `DD.MM.YYYY HH:mm`. */
  readonly form: string
  /** Whether its texts carry their offset from UTC. */
  readonly hasOffset: boolean
  /**
   * The text as `YYYY-MM-DDTHH:MM:SS`, with the offset behind it where the form has one (`Z` or `+01:00`); what is
   * wrong with it otherwise. Where the form has no seconds they are written `:00`: a convention of writing, because
   * RFC 3339 and FHIR have no time of day without them, and no measured value.
   */
  read(text: string): string | TimeTextFault
}

/** Why a text is no time of its form. */
export interface TimeTextFault {
  /**
   * `empty`; `other-form`, not written as declared; `no-such-day`; `no-such-time`, which is 24:00, a 13th hour of
   * twelve, a 60th minute or second, and an offset beyond 14:00.
   */
  readonly problem: 'empty' | 'other-form' | 'no-such-day' | 'no-such-time'
  /**
   * Whether it would be a day with day and month exchanged: proof that the declared order is wrong, and that days up
   * to the twelfth were read for others.
   */
  readonly swapped: boolean
}

/**
 * Compiles a form of the closed tokens `YYYY MM DD HH hh mm ss A Z`, punctuation, blanks and ISO 8601's `T`.
 *
 * Every token has one width (`DD` two digits, `A` is AM or PM in either case, `Z` is `+01:00`, `+0100` or `Z`), so a
 * text fits a form in one way at most.
 *
 * @returns the form, or the word for what is wrong with it; `TIME_FORM_EXPECTED` has the words' meaning.
 */
export function compileTimeForm(form: string): TimeForm | TimeFormFault {
  const fault = timeFormFault(form)
  if (fault !== undefined) return fault
  const { pattern, tokens } = formPattern(form)
  return {
    form,
    hasOffset: tokens.includes('Z'),
    read: (text) => {
      if (text === '') return { problem: 'empty', swapped: false }
      const found = pattern.exec(text)
      if (found === null) return { problem: 'other-form', swapped: false }
      const parts: Partial<Record<TimeToken, string>> = {}
      for (const [index, token] of tokens.entries()) parts[token] = found[index + 1] ?? ''
      return timeOf(parts)
    },
  }
}

function timeOf(parts: Readonly<Partial<Record<TimeToken, string>>>): string | TimeTextFault {
  const { YYYY = '', MM = '', DD = '', mm = '', ss = '00', Z = '' } = parts
  const [year, month, day] = [Number(YYYY), Number(MM), Number(DD)]
  if (!isCalendarDay(year, month, day)) {
    return { problem: 'no-such-day', swapped: isCalendarDay(year, day, month) }
  }
  const hour = parts.hh === undefined ? parts.HH : hourOfTwelve(parts.hh, parts.A ?? '')
  const offset = Z === '' || Z === 'Z' ? Z : `${Z.slice(0, 3)}:${Z.slice(-2)}`
  if (hour === undefined || hour > '23' || mm > '59' || ss > '59' || !isOffset(offset)) {
    return { problem: 'no-such-time', swapped: false }
  }
  return `${YYYY}-${MM}-${DD}T${hour}:${mm}:${ss}${offset}`
}

/** 12 AM is midnight and 12 PM noon, as the twelve-hour clock runs 12, 1, 2 to 11 twice. */
function hourOfTwelve(hh: string, half: string): string | undefined {
  const shown = Number(hh)
  if (shown < 1 || shown > 12) return undefined
  return String((shown % 12) + (half.toUpperCase() === 'PM' ? 12 : 0)).padStart(2, '0')
}

/** No zone is further than 14 hours from UTC. Source: FHIR R4 4.0.1, data type dateTime, regular expression. */
function isOffset(offset: string): boolean {
  return offset === '' || offset === 'Z' || /^[+-](?:(?:0\d|1[0-3]):[0-5]\d|14:00)$/.test(offset)
}
