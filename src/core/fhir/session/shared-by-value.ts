import { frozen } from '../../basics/frozen.ts'

/** Pressures of a tenth of a mmHg, and pulses, are fewer. */
const MOST = 5_000

/**
 * What is written of a number, made once for each and shared: people measure the same few hundred numbers, and what never
 * changes is validated once, and its text is written once.
 */
export function sharedByValue<T>(make: (value: number) => T): (value: number) => T {
  const made = new Map<number, T>()
  return (value) => {
    const known = made.get(value)
    if (known !== undefined) return known
    if (made.size >= MOST) return make(value)
    const one = frozen(make(value))
    made.set(value, one)
    return one
  }
}
