import { INTAKE_EXAMPLES } from './intake-examples.ts'
import { OTHER_EXAMPLES } from './other-examples.ts'
import { OUTCOME_EXAMPLES } from './outcome-examples.ts'
import { REGISTRY_EXAMPLES } from './registry-examples.ts'
import type { UseExample } from './use-example.ts'

export type { UseExample } from './use-example.ts'

/** Examples of use by `operationId`. The people, sources and clinics are those of the samples. */
export const USE_EXAMPLES: Readonly<Record<string, readonly UseExample[]>> = {
  ...INTAKE_EXAMPLES,
  ...REGISTRY_EXAMPLES,
  ...OUTCOME_EXAMPLES,
  ...OTHER_EXAMPLES,
}
