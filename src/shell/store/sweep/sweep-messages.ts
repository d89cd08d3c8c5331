import type { SweepRequest } from '../../../flow/ports/ports.ts'
import type { PackedBatch } from './packed-batch.ts'

/** Given to the thread of a sweep when it starts. */
export interface SweepStart {
  readonly file: string
  readonly request: SweepRequest
}

/** To it: one more batch, or no more of them. */
export type SweepOrder = 'more' | 'stop'

/** From it: the answer to each order but `stop`. */
export type SweepReply =
  | { readonly kind: 'batch'; readonly batch: PackedBatch }
  | { readonly kind: 'done' }
  | { readonly kind: 'failed'; readonly message: string }
