import { counted } from './narrative-words.ts'

interface OfSubject {
  readonly session: { readonly subject: string }
  readonly source?: string
}

/**
 * How many enrolments the readings of one mean came through: subjects of one or several sources that were linked to one
 * patient. Absent where it is one.
 */
export function pooledEnrolments(used: readonly OfSubject[]): { readonly enrolments?: number } {
  const enrolments = new Set(used.map(({ source, session }) => JSON.stringify([source, session.subject])))
  return enrolments.size > 1 ? { enrolments: enrolments.size } : {}
}

/** Said of a mean, because a link to the wrong patient shows in no number: who reads it can ask whose readings they are. */
export function pooledLine({ enrolments = 1 }: { readonly enrolments?: number }): readonly string[] {
  return enrolments > 1
    ? [`Readings of ${counted(enrolments, 'enrolment')} of this patient are averaged together.`]
    : []
}
