import { setFlagsFromString } from 'node:v8'

/** How much the heap may grow, in per cent of what lives in it, before it is collected. A local choice. */
const GROWTH_PERCENT = 20

/**
 * Has what is no longer needed collected sooner, for a command that runs long over input of any size: V8 otherwise lets
 * garbage come to several times what lives. Measured on 150,000 CSV rows: 224 MB resident in place of 345 MB, in 25 s in
 * place of about 21 s.
 */
export function keepHeapSmall(): void {
  setFlagsFromString(`--heap-growing-percent=${GROWTH_PERCENT}`)
}
