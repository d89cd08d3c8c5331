import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import { subjectOf } from '../../../core/exchange/answered/subject-of.ts'
import { isRecordOf, patientSearch, readPatientSearch } from '../../../core/exchange/asked/patient-search.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { Errand, Means, SentAnswer } from '../errand/course.ts'
import { shownIn } from '../looks/standing-in.ts'

/** `untold`: the server does not show it. Undefined: not just now. */
type Whose = 'theirs' | 'not-theirs' | 'untold' | undefined

/**
 * In whose record something stands that was written at a server: the patient's, or another's, or nobody's. That it is not
 * theirs is said of what was seen twice: a single answer may come from something before the server.
 */
export async function whoseRecord(written: ResourcePlace, errand: Errand, by: Means): Promise<Whose> {
  const whose = await lookedAt(written, errand, by)
  return whose === 'not-theirs' ? lookedAt(written, errand, by) : whose
}

async function lookedAt(written: ResourcePlace, errand: Errand, by: Means): Promise<Whose> {
  const answer = await read(written, by)
  const standing = shownIn(answer)
  if (standing?.resourceType !== written.type) return unshown(answer)
  const subject = subjectOf(standing, errand.destination.baseUrl)
  if (subject.kind !== 'record') return subject.kind === 'nobody' ? 'not-theirs' : 'untold'
  const answered = await read(subject.place, by)
  const record = shownIn(answered)
  const isTheirs = record && isRecordOf(record, errand.rendered.patient)
  if (isTheirs === true) return 'theirs'
  const found = await bySearch(subject.place, errand, by)
  if (found !== undefined) return found
  if (record === undefined) return unshown(answered)
  return isTheirs === false ? 'not-theirs' : 'untold'
}

/**
 * The same by a search for the patient, where their record does not show the identifier: whether it is the one that is
 * found. One that was merged into another is found no more, and the other need not carry the identifier.
 */
async function bySearch({ id }: ResourcePlace, { destination, rendered }: Errand, by: Means): Promise<Whose> {
  for (const form of by.patients.forms(destination.name)) {
    const answer = await by.ask(patientSearch(rendered.patient, form))
    const found = readPatientSearch(answer, rendered.patient)
    if (found.kind === 'one') return found.id === id ? 'theirs' : 'not-theirs'
    if (found.kind === 'replaced') return 'untold'
  }
  return undefined
}

function read({ type, id }: ResourcePlace, by: Means): Promise<SentAnswer> {
  return by.ask({ method: 'GET', path: `${type}/${id}` })
}

function unshown(answer: SentAnswer): 'untold' | undefined {
  return readFailure(answer).kind === 'not-now' ? undefined : 'untold'
}
