/**
 * Whether two times are one moment, with whatever offset and digits they are written. Both undefined are; one that shows
 * no offset is another than one that does, because nobody can say.
 */
export function isSameMoment(a: string | undefined, b: string | undefined): boolean {
  if (a === b) return true
  return a !== undefined && b !== undefined && apartMs(a, b) === 0
}

/** Whether two times are at most a minute apart, as all results of one inflation are. Common practice. */
export function isOfOneInflation(a: string, b: string): boolean {
  return apartMs(a, b) <= 60_000
}

function apartMs(a: string, b: string): number {
  if (HAS_OFFSET.test(a) !== HAS_OFFSET.test(b)) return Number.POSITIVE_INFINITY
  return Math.abs(epochMs(a) - epochMs(b))
}

/** Of what a clock showed, as if it had shown UTC. */
function epochMs(text: string): number {
  return Date.parse(HAS_OFFSET.test(text) ? text : `${text}Z`)
}

/** RFC 3339 with its offset, and not only what a clock showed. */
export const HAS_OFFSET = /[+-]\d\d:\d\d$/
