import { readInstant } from '../../basics/instant.ts'

/**
 * When something was taken, for order and distance: a moment in time, or what a clock on the wall showed. The two do
 * not compare, and wall times only as far as the clock was not set between them.
 */
export interface Moment {
  readonly clock: 'utc' | 'wall'
  /** Milliseconds since 1970, on that clock. */
  readonly ms: number
}

/** The moment a native time text means; undefined for what is no such text. */
export function momentOf(time: unknown): Moment | undefined {
  if (typeof time !== 'string') return undefined
  const instant = readInstant(time)
  if (instant !== undefined) return { clock: 'utc', ms: instant.epochMs }
  const wall = readInstant(`${time}Z`)
  return wall === undefined ? undefined : { clock: 'wall', ms: wall.epochMs }
}

export function isSameMoment(one: Moment | undefined, other: Moment | undefined): boolean {
  return one !== undefined && other !== undefined && one.clock === other.clock && one.ms === other.ms
}
