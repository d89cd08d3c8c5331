import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import { subjectOf } from '../../../core/exchange/answered/subject-of.ts'
import { isRecordOf } from '../../../core/exchange/asked/patient-search.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { Errand, Means, SentAnswer } from '../errand/course.ts'
import { shownIn } from '../looks/standing-in.ts'

/**
 * In whose record something stands that was written at a server: the patient's, or another's, or nobody's. `untold`: the
 * server does not show it. Undefined: not just now.
 */
export async function whoseRecord(
  written: ResourcePlace,
  { destination, rendered }: Errand,
  by: Means,
): Promise<'theirs' | 'not-theirs' | 'untold' | undefined> {
  const answer = await read(written, by)
  const standing = shownIn(answer)
  if (standing?.resourceType !== written.type) return unshown(answer)
  const subject = subjectOf(standing, destination.baseUrl)
  if (subject.kind !== 'record') return subject.kind === 'nobody' ? 'not-theirs' : 'untold'
  const answered = await read(subject.place, by)
  const record = shownIn(answered)
  if (record === undefined) return unshown(answered)
  const isTheirs = isRecordOf(record, rendered.patient)
  return isTheirs === undefined ? 'untold' : isTheirs ? 'theirs' : 'not-theirs'
}

function read({ type, id }: ResourcePlace, by: Means): Promise<SentAnswer> {
  return by.ask({ method: 'GET', path: `${type}/${id}` })
}

function unshown(answer: SentAnswer): 'untold' | undefined {
  return readFailure(answer).kind === 'not-now' ? undefined : 'untold'
}
