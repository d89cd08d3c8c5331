import type { Reference } from 'fhir/r4.js'
import { writeVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import {
  createPatient,
  isPatient,
  type PatientIdentifier,
  patientSearch,
  readPatientSearch,
} from '../../../core/exchange/asked/patient-search.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { endingOf } from '../errand/ending-of.ts'
import { shownIn } from './standing-in.ts'

export interface PatientFound {
  readonly kind: 'found'
  /** To the clinic's own record, or a logical one for servers that match by themselves. */
  readonly reference: Reference
  /** It was made just now. */
  readonly created: boolean
}

/**
 * The clinic's patient by the identifier of the enrolment, or why it is left to a person. A patient is created only where
 * the destination says so, and holds nothing but the identifier.
 */
export async function findPatient(errand: Errand, by: Means): Promise<PatientFound | Ending> {
  const { destination, rendered } = errand
  const { name } = destination
  const { system, value } = rendered.patient
  if (destination.patient.by === 'identifier-only') {
    return found({ type: 'Patient', identifier: { system, value } })
  }
  const known = by.patients.id(name, rendered.patient)
  if (known !== undefined) return found(patientReference(known))

  for (const form of by.patients.forms(name)) {
    const answer = await by.ask(patientSearch(rendered.patient, form))
    const search = readPatientSearch(answer, rendered.patient)
    if (search.kind === 'not-offered') continue
    if (search.kind === 'not-now' || search.kind === 'stop') return search
    by.patients.worked(name, form)
    if (search.kind === 'one') {
      by.patients.remember(name, rendered.patient, search.id)
      return found(patientReference(search.id))
    }
    if (search.kind === 'none' && destination.patient.create) return makePatient(errand, by)
    return { kind: 'park', problem: PROBLEMS[search.kind] }
  }
  return { kind: 'park', problem: 'PATIENT_NOT_MATCHED' }
}

const PROBLEMS = {
  none: 'PATIENT_UNKNOWN',
  several: 'PATIENT_AMBIGUOUS',
  replaced: 'PATIENT_REPLACED',
} as const

async function makePatient({ destination, rendered }: Errand, by: Means): Promise<PatientFound | Ending> {
  const answer = await by.write(createPatient(rendered.patient))
  const verdict = writeVerdict(answer, 'conditional-create')
  if (verdict.kind === 'done') {
    const [outcome] = verdict.outcomes
    const id = outcome?.place?.id
    if (id === undefined) return { kind: 'not-now', problem: 'CLINIC_BUSY' }
    if (outcome?.what === 'already-there') {
      const doubt = await unlessTheirs(id, rendered.patient, by)
      if (doubt !== undefined) return doubt
    }
    by.patients.remember(destination.name, rendered.patient, id)
    return found(patientReference(id), true)
  }
  switch (verdict.kind) {
    case 'look':
      return { kind: 'park', problem: 'PATIENT_AMBIGUOUS' }
    case 'not-offered':
    case 'refused':
    case 'patient':
    case 'too-large':
      return {
        kind: 'park',
        problem: 'PATIENT_UNKNOWN',
        ...(verdict.said === undefined ? {} : { said: verdict.said }),
      }
    case 'unknown':
      // A patient who was made without anyone hearing of it is found by the next search: the entry itself is in no doubt.
      return {
        kind: 'not-now',
        problem: verdict.problem,
        ...(verdict.said === undefined ? {} : { said: verdict.said }),
      }
    default:
      return endingOf(verdict)
  }
}

/**
 * A search found nobody, and the create found somebody: another process may have been quicker, or the server passes over what
 * its condition asks for, and the record is another person's. Only one that shows the identifier is believed.
 */
async function unlessTheirs(id: string, patient: PatientIdentifier, by: Means): Promise<Ending | undefined> {
  const shown = shownIn(await by.ask({ method: 'GET', path: `Patient/${id}` }))
  if (shown === undefined) return { kind: 'not-now', problem: 'CLINIC_BUSY', quiet: true }
  return isPatient(shown, patient) ? undefined : { kind: 'park', problem: 'PATIENT_NOT_MATCHED' }
}

function found(reference: Reference, created = false): PatientFound {
  return { kind: 'found', reference, created }
}

function patientReference(id: string): Reference {
  return { reference: `Patient/${id}`, type: 'Patient' }
}
