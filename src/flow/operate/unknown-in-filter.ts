import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { DeliveryFilter, Ports, Store } from '../ports/ports.ts'

/**
 * The names of a filter that mean nothing: a list that is empty for a misspelt one would look like all being well. A
 * destination that has left the settings is known as long as anything of it is kept.
 *
 * @returns an issue for each, `at` the key of the filter.
 */
export async function unknownInFilter(
  { destination, source }: DeliveryFilter,
  { store, catalogue }: Pick<Ports, 'store' | 'catalogue'>,
): Promise<readonly Issue[]> {
  const issues: Issue[] = []
  if (destination !== undefined && !catalogue.destinations.has(destination)) {
    const kept = await store.deliveryPage({ limit: 1, destination })
    if (kept.length === 0) {
      const names = [...catalogue.destinations.keys()]
      const expected =
        names.length === 0
          ? 'the name of a destination, and the settings have none'
          : `the name of a destination: one of ${names.join(', ')}, or one that was served before`
      issues.push(
        inputError('not-found', 'UNKNOWN_DESTINATION', 'destination', expected, 'Correct the name.'),
      )
    }
  }
  return [...issues, ...(await unknownSource(source, store))]
}

/** An issue for a source that is named and was never registered. */
export async function unknownSource(
  source: string | undefined,
  store: Pick<Store, 'sources'>,
): Promise<readonly Issue[]> {
  if (source === undefined || (await store.sources()).some(({ name }) => name === source)) return []
  const expected = 'the name of a registered source'
  return [inputError('not-found', 'UNKNOWN_SOURCE', 'source', expected, 'Correct the name.')]
}
