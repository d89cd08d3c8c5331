/** One thing measured beside its floor in the same run. Speeds are per second; higher is better. */
export interface Measured {
  readonly stage: string
  readonly unit: string
  readonly floor: { readonly what: string; readonly perSecond: number }
  readonly ours: { readonly what: string; readonly perSecond: number }
  /** What was aimed for, as a sentence. */
  readonly goal: string
  readonly reached: boolean
  /** Further figures of the stage: syncs, memory, bytes. */
  readonly also: Readonly<Record<string, number>>
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  const upper = sorted[middle] ?? Number.NaN
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? Number.NaN) + upper) / 2
}

/**
 * Calls per second of two functions: each warmed up for a quarter of a second, then taken in turn, so that a machine
 * that slows down slows both. The median of nine samples of at least 150 ms each.
 */
export function callsPerSecondInTurn(first: () => void, second: () => void): readonly [number, number] {
  sample(first, 250)
  sample(second, 250)
  const firsts: number[] = []
  const seconds: number[] = []
  for (let round = 0; round < 9; round += 1) {
    firsts.push(sample(first, 150))
    seconds.push(sample(second, 150))
  }
  return [median(firsts), median(seconds)]
}

function sample(call: () => void, atLeastMs: number): number {
  const start = performance.now()
  let calls = 0
  let elapsed = 0
  while (elapsed < atLeastMs) {
    for (let i = 0; i < 50; i += 1) call()
    calls += 50
    elapsed = performance.now() - start
  }
  return (calls / elapsed) * 1000
}
