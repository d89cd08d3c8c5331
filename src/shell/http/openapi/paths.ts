import { conformancePaths } from './conformance-paths.ts'
import { fhirPaths } from './fhir-paths.ts'
import { intakePaths } from './intake-paths.ts'
import { outcomePaths } from './outcome-paths.ts'
import type { Paths } from './path-parts.ts'
import { servicePaths } from './service-paths.ts'

/** Every route of the gateway, one entry each. */
export function openApiPaths(): Paths {
  return { ...intakePaths(), ...outcomePaths(), ...fhirPaths(), ...conformancePaths(), ...servicePaths() }
}
