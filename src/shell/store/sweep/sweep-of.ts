import type { Store } from '../../../flow/ports/ports.ts'

/** Averages everyone whose sittings the merge has passed. What it promises is written at `Store`. */
export type SweepOf = Store['sweep']
