/**
 * Compares two FHIR dateTimes: negative when the first is earlier, 0 when equal, positive when later, undefined when
 * they agree as far as the less precise one goes. Two with a time of day are compared as moments, by their zones;
 * others by year, month and day as written. Source: FHIRPath 2.0, section 6.2, date comparison.
 */
export function compareMoments(first: string, second: string): number | undefined {
  if (first.length > DAY && second.length > DAY) {
    const difference = momentOf(first) - momentOf(second)
    return Number.isNaN(difference) ? undefined : difference
  }
  const shared = Math.min(first.length, second.length, DAY)
  const one = first.slice(0, shared)
  const other = second.slice(0, shared)
  if (one === other) return first.length === second.length ? 0 : undefined
  return one < other ? -1 : 1
}

/** Epoch ms; a leap second, which R4 allows, is the first of the next minute. NaN for what is no moment. */
function momentOf(text: string): number {
  const seconds = DAY + 'T00:00:'.length
  if (!text.startsWith('60', seconds)) return Date.parse(text)
  return Date.parse(`${text.slice(0, seconds)}59${text.slice(seconds + 2)}`) + 1000
}

/** Characters of YYYY-MM-DD. */
const DAY = 10
