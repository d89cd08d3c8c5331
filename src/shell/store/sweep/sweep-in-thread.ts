import { setImmediate } from 'node:timers/promises'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { sweepBatches } from './sweep-batches.ts'
import type { SweepOf } from './sweep-of.ts'

/** Sweeps in the calling thread, with a turn of the event loop for everything else after each batch. */
export function sweepInThread(file: string): SweepOf {
  return async function* (request) {
    try {
      for (const batch of sweepBatches(file, request)) {
        yield batch
        await setImmediate()
      }
    } catch (error) {
      throw asStoreFailed('sweep', error)
    }
  }
}
