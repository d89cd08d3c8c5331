import type { FhirRequest, ResourcePlace } from './fhir-exchange.ts'
import type { SentResource } from './sent-resource.ts'

/**
 * A transaction of these resources, in their order, references as they stand. Creates are conditional; an update whose
 * place is known is `PUT [type]/[id]` with `ifMatch`, else a conditional update by our identifier.
 *
 * @param places of resources that are to be updated, by UUID, with what the server holds there now.
 */
export function transactionRequest(
  _resources: readonly SentResource[],
  _places: ReadonlyMap<string, ResourcePlace & { readonly current: unknown }>,
): FhirRequest {
  throw new Error('to be written')
}

/** Halves of what was too large for one transaction (413), what is referred to in the first. Undefined for a single one. */
export function halves(
  _resources: readonly SentResource[],
): readonly [readonly SentResource[], readonly SentResource[]] | undefined {
  throw new Error('to be written')
}
