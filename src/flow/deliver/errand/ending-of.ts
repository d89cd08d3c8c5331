import type { WriteVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import type { Ending } from './course.ts'

/** Verdicts that end a course, unless it knows better what to do about them. */
export type Failure = Exclude<WriteVerdict, { readonly kind: 'done' }>

/** What a verdict comes to when nothing more can be done about it in this attempt. */
export function endingOf(verdict: Failure): Ending {
  const said = verdict.said === undefined ? {} : { said: verdict.said }
  switch (verdict.kind) {
    case 'conflict': {
      const { retryAfterMs } = verdict
      const wait = retryAfterMs === undefined ? {} : { retryAfterMs }
      return { kind: 'not-now', problem: 'CLINIC_BUSY', ...wait, ...said }
    }
    case 'stale':
      return { kind: 'not-now', problem: 'CLINIC_BUSY', ...said }
    case 'look':
    case 'not-offered':
      return { kind: 'not-offered', problem: 'CLINIC_NOT_OFFERED', ...said }
    case 'too-large':
      return { kind: 'refused', problem: 'CLINIC_TOO_LARGE', ...said }
    case 'patient':
      return { kind: 'park', problem: 'PATIENT_NOT_MATCHED', ...said }
    default:
      return verdict
  }
}
