import { z } from 'zod'
import { LONGEST_NAME, NAME, NAME_EXPECTED } from '../basics/name.ts'
import { FIRST_YEAR, LAST_YEAR } from './taken-at.ts'

/** Too long a text is not matched with its pattern: on tens of megabytes the matcher runs out of stack. */
const BEFORE_PATTERN = { abort: true } as const

/** Free text as an R4 string allows it: no control characters but tab, line feed and carriage return. */
const TEXT = /^(?:[^\p{Cc}\p{Cs}]|[\t\n\r])+$/u

/*
 * Each description is a clause that completes "expected …": the published JSON Schema and the issues of a refused
 * record are made from the same words.
 */

export const name = (whose: string) =>
  z.string().max(LONGEST_NAME, BEFORE_PATTERN).regex(NAME).describe(`${whose}: ${NAME_EXPECTED}`)

export const text = (what: string, longest: number) =>
  z
    .string()
    .max(longest, BEFORE_PATTERN)
    .regex(TEXT)
    .describe(`${what}: text of 1 to ${longest} characters`)
    .exactOptional()

export const takenAt = (what: string) =>
  z
    .string()
    .describe(
      `${what}: a time from ${FIRST_YEAR} to ${LAST_YEAR} with seconds and offset, such as 2026-03-02T06:41:00-07:00; the offset may be left out when the subject is enrolled with a time zone`,
    )
    .meta({ pattern: String.raw`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:(?:\.\d{1,9})?(?:Z|[+-]\d\d:\d\d))?$` })

export const flag = (what: string) => z.boolean().describe(`true or false: whether ${what}`).exactOptional()

export const amount = (what: string, lowest: number, highest: number) =>
  z.number().min(lowest).max(highest).describe(`${what}: a number from ${lowest} to ${highest}`)
