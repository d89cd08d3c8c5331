import type { ErrorCode } from '../basics/error-codes.ts'
import { readInstant } from '../basics/instant.ts'
import { FIRST_YEAR, LAST_YEAR, readTakenAt } from '../record/taken-at.ts'
import type { CodeTable } from './concept-map.ts'
import { type DecimalMark, readNumberText } from './forms/number-text.ts'
import { textClass } from './forms/text-class.ts'
import type { TimeForm } from './forms/time-form.ts'

/** Turns a value of the source into one of the native record. */
export interface Convert {
  readonly how: 'as-is' | 'number' | 'time' | 'code-table'
  /** How a time is declared to be written, where it is not RFC 3339. */
  readonly form?: TimeForm
  readonly convert: (value: unknown) => Converted | Misfit
}

interface Converted {
  readonly value: string | number | boolean
}

/** Why a value does not convert; never the value. */
export interface Misfit {
  readonly code: Extract<
    ErrorCode,
    'WRONG_TYPE' | 'OUT_OF_RANGE' | 'NOT_A_CHOICE' | 'BAD_TIME' | 'TIME_NEEDS_OFFSET'
  >
  readonly expected: string
  readonly remedy: string
}

const AT_SOURCE = 'Correct it at the source.'

function wrongType(expected: string, remedy = AT_SOURCE): Misfit {
  return { code: 'WRONG_TYPE', expected, remedy }
}

/** Text as it is; a number is not turned into text: leading noughts of an id may be lost already. */
export const TEXT: Convert = {
  how: 'as-is',
  convert: (value) => (typeof value === 'string' ? { value } : wrongType('a text')),
}

export const FLAG: Convert = {
  how: 'as-is',
  convert: (value) =>
    typeof value === 'boolean'
      ? { value }
      : wrongType('true or false', 'Send it so, or give the rule a code table (`codes`).'),
}

export const NUMBER: Convert = {
  how: 'as-is',
  convert: (value) =>
    typeof value === 'number'
      ? { value }
      : wrongType('a number', 'Send it as a JSON number, or give the rule `number` where it is text.'),
}

/** Text to number by a strict pattern; a JSON number passes. */
export function numberText(decimalMark: DecimalMark): Convert {
  const mark = decimalMark === '.' ? 'point' : 'comma'
  return {
    how: 'number',
    convert: (value) => {
      if (typeof value === 'number') return { value }
      if (typeof value !== 'string') return wrongType('a number, or a text with one')
      const number = readNumberText(value, decimalMark)
      if (typeof number === 'number') return { value: number }
      const plain = `a number with a decimal ${mark} and nothing else`
      const expected =
        number === 'too-long' ? `${plain}, of 15 digits at most` : `${plain}, not ${textClass(value)}`
      return { code: 'OUT_OF_RANGE', expected, remedy: AT_SOURCE }
    },
  }
}

/** Code of the source to our word; where the place takes true or false, to that. */
export function codeTable(table: CodeTable, isFlag: boolean): Convert {
  return {
    how: 'code-table',
    convert: (value) => {
      const code = codeText(value)
      if (code === undefined) return wrongType('a code: a text, a whole number, true or false')
      const word = table.get(code)
      if (word !== undefined) return { value: isFlag ? word === 'true' : word }
      const remedy = 'Correct it at the source, or add the code to the code table.'
      return { code: 'NOT_A_CHOICE', expected: `a code of the code table: ${codesText(table)}`, remedy }
    },
  }
}

function codeText(value: unknown): string | undefined {
  if (typeof value === 'string') return value
  return typeof value === 'boolean' || Number.isSafeInteger(value) ? String(value) : undefined
}

const MOST_CODES_TOLD = 12

function codesText(table: CodeTable): string {
  const codes = [...table.keys()].slice(0, MOST_CODES_TOLD).map((code) => JSON.stringify(code))
  return table.size > MOST_CODES_TOLD ? `${codes.join(', ')} and others` : codes.join(', ')
}

export const RFC_3339: Convert = {
  how: 'time',
  convert: (value) => {
    if (typeof value !== 'string') {
      return wrongType(
        'a time as text',
        'Send it so, or declare Unix seconds or Unix milliseconds in the mapping.',
      )
    }
    if (readInstant(value) !== undefined) return { value }
    const expected = 'RFC 3339 with seconds and offset, such as 2026-03-02T06:41:00-07:00'
    const wall = readInstant(`${value}Z`) !== undefined
    return wall
      ? {
          code: 'TIME_NEEDS_OFFSET',
          expected,
          remedy: 'Send the offset: without it no single moment is meant.',
        }
      : { code: 'BAD_TIME', expected: `${expected}, not ${textClass(value)}`, remedy: AT_SOURCE }
  },
}

/**
 * A time in a declared form.
 *
 * @param zone IANA zone of the source's clock; absent when the text has an offset, or the person's own zone decides.
 */
export function formedTime(form: TimeForm, zone: string | undefined): Convert {
  const expected = `a time written as ${form.form}`
  return {
    how: 'time',
    form,
    convert: (value) => {
      if (typeof value !== 'string') return wrongType('a time as text')
      const time = form.read(value)
      if (typeof time === 'string') return zone === undefined ? { value: time } : inZone(time, zone, expected)
      const remedy = time.swapped
        ? 'Day and month seem exchanged: correct the form in the mapping.'
        : AT_SOURCE
      // A day or hour that is none is written as declared.
      const isWritten = time.problem === 'no-such-day' || time.problem === 'no-such-time'
      const told = isWritten ? `${expected}, that exists` : `${expected}, not ${textClass(value)}`
      return { code: 'BAD_TIME', expected: told, remedy }
    },
  }
}

function inZone(wall: string, zone: string, expected: string): Converted | Misfit {
  const moment = readTakenAt(wall, zone)
  if (typeof moment !== 'string') return { value: moment.text }
  if (moment === 'overlap' || moment === 'unknown-zone') {
    const remedy = `The clock in ${zone} does not say which moment is meant: send the offset.`
    return { code: 'TIME_NEEDS_OFFSET', expected, remedy }
  }
  const shown = `${expected}, that the clock in ${zone} showed from ${FIRST_YEAR} to ${LAST_YEAR}`
  return { code: 'BAD_TIME', expected: shown, remedy: AT_SOURCE }
}
