import { type SeededRandom, seededRandom } from '../../samples/generator/seeded-random.ts'

/** A seeded generator that chooses. */
export interface Chooser extends SeededRandom {
  /** One of several, each as likely as the others. */
  of<T>(several: readonly [T, ...T[]]): T
  /** Whether something happens that happens with this likelihood, from 0 to 1. */
  happens(likelihood: number): boolean
  /** A place in a list of this length, its end left out; 0 of an empty one. */
  place(length: number): number
}

export function chooser(seed: number): Chooser {
  const random = seededRandom(seed)
  const place = (length: number) => (length === 0 ? 0 : random.whole(0, length - 1))
  return {
    ...random,
    place,
    of: (several) => several[place(several.length)] ?? several[0],
    happens: (likelihood) => random.next() < likelihood,
  }
}
