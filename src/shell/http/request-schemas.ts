import { z } from 'zod'
import { isCalendarDayText } from '../../core/basics/instant.ts'
import { refusedRequest } from './request-refused.ts'

/** Text as a name may be: no control characters, no white space at either end. The same rule as in a session record. */
export const NAME = /^(?!\s)[^\p{Cc}\p{Cs}]{1,200}(?<!\s)$/u

export const nameText = z
  .string()
  .regex(NAME, 'text of 1 to 200 characters without control characters or white space at either end')

export const localDay = z
  .string()
  .refine(isCalendarDayText, 'a calendar day such as 2026-03-02')
  .meta({ format: 'date' })

/** A subject in a path, by the rule of a session record, so that no enrolment waits for a subject that cannot come. */
export function subjectName(text: string): string {
  if (NAME.test(text)) return text
  throw refusedRequest(
    422,
    'OUT_OF_RANGE',
    'path.subject',
    'text of 1 to 200 characters without control characters or white space at either end',
    'Use the subject as the source writes it.',
  )
}
