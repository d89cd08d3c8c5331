import { z } from 'zod'
import { isCalendarDayText } from '../../../core/basics/instant.ts'
import { NAME, NAME_EXPECTED } from '../../../core/basics/name.ts'
import { refusedRequest } from '../request-refused.ts'

export const nameText = z.string().regex(NAME, NAME_EXPECTED)

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
    NAME_EXPECTED,
    'Use the subject as the source writes it.',
  )
}
