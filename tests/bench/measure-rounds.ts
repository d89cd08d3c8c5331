import { median } from './measure.ts'

const ROUNDS = 9
const WARM_MS = 300
const ROUND_MS = 150

/**
 * Calls per second of two functions that may have to be waited for: as `callsPerSecondInTurn`, each warmed up and then
 * taken in turn, the median of nine rounds.
 */
export async function roundsPerSecondInTurn(
  first: () => Promise<void> | void,
  second: () => Promise<void> | void,
): Promise<readonly [number, number]> {
  await round(first, WARM_MS)
  await round(second, WARM_MS)
  const firsts: number[] = []
  const seconds: number[] = []
  for (let taken = 0; taken < ROUNDS; taken += 1) {
    firsts.push(await round(first, ROUND_MS))
    seconds.push(await round(second, ROUND_MS))
  }
  return [median(firsts), median(seconds)]
}

async function round(call: () => Promise<void> | void, atLeastMs: number): Promise<number> {
  const start = performance.now()
  let calls = 0
  let elapsed = 0
  while (elapsed < atLeastMs) {
    await call()
    calls += 1
    elapsed = performance.now() - start
  }
  return (calls / elapsed) * 1000
}
