import type { Position } from '../session.ts'
import { MARK } from './reading-columns.ts'

/**
 * Whether a reading is said to have been taken standing or lying. Half lying, half sitting is taken for sitting, and a
 * position that is not stated is never guessed.
 */
export function isStandingOrLying(position: Position | undefined): boolean {
  return position === 'standing' || position === 'lying'
}

/** The bits of `MARK` that its position says of a session. */
export function positionMarks(position: Position | undefined): number {
  return (position === 'standing' ? MARK.standing : 0) | (position === 'lying' ? MARK.lying : 0)
}
