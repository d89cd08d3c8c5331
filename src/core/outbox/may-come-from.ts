import type { OutboxState } from './entry.ts'

/** Every change of an entry's state, and the states it may come from. From any other it is refused. */
export const MAY_COME_FROM = {
  claim: ['waiting'],
  lapse: ['claimed'],
  'put-off': ['claimed'],
  park: ['claimed'],
  'give-up': ['claimed'],
  /** From all but itself: that the destination has it is true whoever holds the entry, and however late it is heard. */
  settle: ['waiting', 'claimed', 'parked', 'given-up'],
  release: ['parked', 'given-up'],
  confirm: ['parked', 'given-up'],
} as const satisfies Record<string, readonly OutboxState[]>

export type Transition = keyof typeof MAY_COME_FROM

export function mayCome(transition: Transition, from: OutboxState): boolean {
  const states: readonly OutboxState[] = MAY_COME_FROM[transition]
  return states.includes(from)
}
