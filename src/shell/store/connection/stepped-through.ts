/**
 * The distinct values of an index, each found by one step from the one before, where there are few of them over very
 * many rows.
 *
 * @param next the least value greater than the one given; undefined when there is none.
 */
export function steppedThrough(next: (last: string) => string | undefined): string[] {
  const found: string[] = []
  for (let value = next(''); value !== undefined; value = next(value)) found.push(value)
  return found
}
