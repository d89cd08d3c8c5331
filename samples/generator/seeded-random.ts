/** Numbers that look random and are the same on every machine and run for the same seed. */
export interface SeededRandom {
  /** In [0, 1). */
  next(): number
  /** A whole number from lowest to highest, both included. */
  whole(lowest: number, highest: number): number
  /** Bell-shaped around 0 with a standard deviation of 1, within ±6. */
  bell(): number
  /** A version 4 UUID. */
  uuid(): string
}

/**
 * The mulberry32 generator: 32 bits of state, which it walks through without repeating, so ids made of it do not
 * repeat either. Only whole-number steps, additions and divisions by powers of two are used, whose results do not
 * depend on the machine.
 *
 * @param seed a whole number; its low 32 bits count.
 */
export function seededRandom(seed: number): SeededRandom {
  let state = seed | 0

  function bits(): number {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return (mixed ^ (mixed >>> 14)) >>> 0
  }

  const next = () => bits() / 2 ** 32
  const hex = () => bits().toString(16).padStart(8, '0')
  return {
    next,
    whole: (lowest, highest) => lowest + Math.floor(next() * (highest - lowest + 1)),
    bell() {
      let sum = -6
      for (let count = 0; count < 12; count += 1) sum += next()
      return sum
    },
    uuid() {
      const digits = hex() + hex() + hex() + hex()
      const variant = '89ab'[Number.parseInt(digits.charAt(16), 16) % 4]
      return [
        digits.slice(0, 8),
        digits.slice(8, 12),
        `4${digits.slice(13, 16)}`,
        `${variant}${digits.slice(17, 20)}`,
        digits.slice(20),
      ].join('-')
    },
  }
}
