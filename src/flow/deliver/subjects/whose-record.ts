import { objectsOf } from '../../../core/basics/json-object.ts'
import type { AnsweredResource } from '../../../core/exchange/answered/answer-body.ts'
import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import { subjectOf } from '../../../core/exchange/answered/subject-of.ts'
import { isRecordOf, leadsToRecord } from '../../../core/exchange/asked/patient-search.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Errand, Means } from '../errand/course.ts'
import { findCurrent } from '../looks/find-current.ts'
import { shownIn } from '../looks/standing-in.ts'
import { patientsFound } from './patients-found.ts'

/** What stands in another record than the patient's, or in none, and where. */
export interface Misplaced {
  readonly misplaced: ResourcePlace
}

/**
 * In whose record something stands that was written at a server: the patient's, or another's, or nobody's.
 *
 * - `not-shown`: it is not found, and may be once the server shows what it holds.
 * - `untold`: the server does not tell.
 * - undefined: not just now.
 *
 * That it is not theirs is said of what was seen twice: a single answer may come from something before the server.
 */
export async function whoseRecord(written: SentResource, errand: Errand, by: Means): Promise<Seen> {
  const seen = await lookedAt(written, errand, by)
  return typeof seen === 'object' ? lookedAt(written, errand, by) : seen
}

type Seen = 'theirs' | Misplaced | 'not-shown' | 'untold' | undefined

async function lookedAt(written: SentResource, errand: Errand, by: Means): Promise<Seen> {
  const current = await findCurrent(written, errand, by)
  switch (current.kind) {
    case 'found': {
      const { place, resource } = current.match
      const whose = await whoseIs(resource, errand, by)
      return whose === 'not-theirs' ? { misplaced: place } : whose
    }
    case 'absent':
      return 'not-shown'
    case 'not-now':
      return current.problem === 'CLINIC_NOT_SHOWN' ? 'not-shown' : undefined
    default:
      return 'untold'
  }
}

function whoseIs(resource: unknown, errand: Errand, by: Means): Promise<Whose | undefined> | Whose {
  const subject = subjectOf(resource, errand.destination.baseUrl)
  if (subject.kind === 'record') return whoseIsRecord(subject.place.id, errand, by)
  return subject.kind === 'nobody' ? 'not-theirs' : 'untold'
}

type Whose = 'theirs' | 'not-theirs' | 'untold'

/**
 * By the identifiers that the record carries; where these are not the patient's to the letter, by whether a search for
 * the patient finds that record, or one that was merged into it: servers leave identifiers out, mask them, or write them in
 * another way.
 */
async function whoseIsRecord(id: string, errand: Errand, by: Means): Promise<Whose | undefined> {
  const { patient } = errand.rendered
  const answer = await by.ask({ method: 'GET', path: `Patient/${id}` })
  const record = shownIn(answer)
  if (record === undefined && readFailure(answer).kind === 'not-now') return undefined
  const isTheirs = record && isRecordOf(record, patient)
  if (isTheirs === true) return 'theirs'
  const found = await patientsFound(patient, errand, by)
  if (found === undefined || (found.kind === 'searchset' && found.more)) {
    return isTheirs === false ? 'not-theirs' : 'untold'
  }
  if (found.kind !== 'searchset') return undefined
  const { resources } = found
  const leading = resources.filter((one) => leadsToRecord(one, id))
  if (leading.length > 0) return leading.length === resources.length ? 'theirs' : 'untold'
  return resources.length === 0 && !showsIdentifiers(record) ? 'untold' : 'not-theirs'
}

function showsIdentifiers(record: AnsweredResource | undefined): boolean {
  return objectsOf(record?.identifier).length > 0
}
