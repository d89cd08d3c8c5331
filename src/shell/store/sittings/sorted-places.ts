/** Compares what stands at two places, as for `Array.sort`. */
export type ComparePlaces = (one: number, other: number) => number

/**
 * The places 0 to `count` - 1 in order, equal ones as they stood. A merge sort that pauses, because sorting a hundred
 * thousand texts in one go would hold up the thread for a tenth of a second: between two pauses it makes about
 * `count` comparisons.
 */
export function* sortedPlaces(count: number, compare: ComparePlaces): Generator<void, Uint32Array> {
  let from = Uint32Array.from({ length: count }, (_, place) => place)
  let into = new Uint32Array(count)
  for (let width = 1; width < count; width *= 2) {
    for (let low = 0; low < count; low += 2 * width) {
      mergeRuns(from, into, low, Math.min(low + width, count), Math.min(low + 2 * width, count), compare)
    }
    const merged = into
    into = from
    from = merged
    yield
  }
  return from
}

/** Merges the sorted runs [low, middle) and [middle, high). */
function mergeRuns(
  from: Uint32Array,
  into: Uint32Array,
  low: number,
  middle: number,
  high: number,
  compare: ComparePlaces,
): void {
  let left = low
  let right = middle
  for (let to = low; to < high; to += 1) {
    const one = from[left] ?? 0
    const other = from[right] ?? 0
    const takesLeft = left < middle && (right >= high || compare(one, other) <= 0)
    into[to] = takesLeft ? one : other
    if (takesLeft) left += 1
    else right += 1
  }
}
