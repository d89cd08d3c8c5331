import type { ErrorCode } from '../basics/error-codes.ts'
import type { FhirAnswer, FhirRequest } from './fhir-exchange.ts'

export interface PatientIdentifier {
  readonly system: string
  readonly value: string
}

/** The search for the clinic's patient: as `POST Patient/_search`, so that the identifier stands in no address, or as a GET. */
export function patientSearch(_patient: PatientIdentifier, _as: 'post' | 'get'): FhirRequest {
  throw new Error('to be written')
}

export type FoundPatient =
  | { readonly kind: 'one'; readonly id: string }
  /** `replaced`: the only match says it was merged into another record (`link` replaced-by). */
  | { readonly kind: 'none' | 'several' | 'replaced' }
  /** This form of search is not offered: try the other one. */
  | { readonly kind: 'not-offered' }
  | { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  | { readonly kind: 'stop'; readonly problem: ErrorCode }

/** Only a Patient that carries the very identifier counts. */
export function readPatientSearch(_answer: FhirAnswer, _patient: PatientIdentifier): FoundPatient {
  throw new Error('to be written')
}

/** A Patient with nothing but the identifier, as a conditional create. Only for destinations that say so. */
export function createPatient(_patient: PatientIdentifier): FhirRequest {
  throw new Error('to be written')
}
