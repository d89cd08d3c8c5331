import type { Errand, Means } from '../errand/course.ts'

/**
 * Whether the patient is named in a transaction by the conditional reference, which the server resolves; else they are
 * searched for first: because the destination says so, or because the server does not hold to what the reference asks for.
 */
export function refersByCondition(
  { destination }: Pick<Errand, 'destination'>,
  by: Pick<Means, 'references'>,
): boolean {
  return destination.patient.by === 'conditional-reference' && by.references()?.seen !== 'passed-over'
}
