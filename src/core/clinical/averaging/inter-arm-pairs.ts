import { groupedBy } from '../../basics/grouped-by.ts'
import type { Arm } from '../session.ts'
import type { PlacedReading } from './period-average.ts'

/** The readings of two sittings, one on each arm, in the same window of the same local day. */
export interface ArmPair {
  readonly left: readonly PlacedReading[]
  readonly right: readonly PlacedReading[]
}

/**
 * Pairs the sittings of each window of each day in time order: the first on one arm with the first on the other, the
 * second with the second. A sitting belongs to the window of its first reading; one without a partner, or whose arm is
 * not stated, is in no pair.
 */
export function armPairs(readings: readonly PlacedReading[]): readonly ArmPair[] {
  const slots = new Map<string, Record<Arm, (readonly PlacedReading[])[]>>()
  for (const sitting of sittingsOf(readings)) {
    const [first] = sitting
    const arm = first?.session.arm
    if (first?.window === undefined || arm === undefined) continue
    const slot = `${first.day} ${first.window}`
    const arms = slots.get(slot) ?? { left: [], right: [] }
    arms[arm].push(sitting)
    slots.set(slot, arms)
  }
  return [...slots.values()].flatMap(({ left, right }) =>
    left.flatMap((ofLeft, place) => {
      const ofRight = right[place]
      return ofRight === undefined ? [] : [{ left: ofLeft, right: ofRight }]
    }),
  )
}

/** In the order of their first readings, which is that of time. */
function sittingsOf(readings: readonly PlacedReading[]): Iterable<readonly PlacedReading[]> {
  return groupedBy(readings, ({ session }) => session).values()
}
