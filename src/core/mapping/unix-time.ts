import { FIRST_YEAR, LAST_YEAR } from '../record/taken-at.ts'
import type { Convert, Misfit } from './convert-value.ts'
import { textClass } from './forms/text-class.ts'

/** How many milliseconds one of what is counted since 1970-01-01T00:00:00Z has. */
const UNITS = { 'Unix seconds': 1000, 'Unix milliseconds': 1 } as const

/** A time that a source counts in place of writing a date. */
export type UnixTimeUnit = keyof typeof UNITS

export const UNIX_TIME_UNITS = Object.keys(UNITS) as readonly UnixTimeUnit[]

/**
 * Whole seconds or milliseconds, as a number or its digits as text, to an RFC 3339 text in UTC; milliseconds that are not
 * nought are kept. Years in which no reading can have been taken are refused: the other unit gives them as well, so the two
 * are never taken for each other.
 *
 * Source: IEEE Std 1003.1-2017 (POSIX), base definitions 4.16, Seconds Since the Epoch.
 */
export function unixTime(unit: UnixTimeUnit): Convert {
  return {
    how: 'time',
    convert: (value) => {
      const count = typeof value === 'string' && DIGITS.test(value) ? Number(value) : value
      if (typeof count !== 'number' || !Number.isInteger(count)) {
        return misfit(`a whole number of ${unit}, not ${kindOf(value)}`, 'Correct it at the source.')
      }
      const epochMs = count * UNITS[unit]
      if (isInRange(epochMs)) return { value: new Date(epochMs).toISOString().replace('.000Z', 'Z') }
      const other = UNIX_TIME_UNITS.find((each) => isInRange(count * UNITS[each]))
      return misfit(
        `${unit} from ${FIRST_YEAR} to ${LAST_YEAR}`,
        other === undefined
          ? 'Correct it at the source.'
          : `It seems to be in ${other.replace('Unix ', '')}: declare ${other} in the mapping if so.`,
      )
    },
  }
}

const DIGITS = /^\d{1,16}$/
const FROM_MS = Date.UTC(FIRST_YEAR, 0)
const TO_MS = Date.UTC(LAST_YEAR + 1, 0)

function isInRange(epochMs: number): boolean {
  return epochMs >= FROM_MS && epochMs < TO_MS
}

function kindOf(value: unknown): string {
  if (typeof value === 'string') return textClass(value)
  return typeof value === 'number' ? 'a number with a fraction' : 'another type'
}

function misfit(expected: string, remedy: string): Misfit {
  return { code: 'BAD_TIME', expected, remedy }
}
