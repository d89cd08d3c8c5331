import { describe, expect, it } from 'vitest'
import { type ChaosOptions, runChaos } from './chaos-run.ts'

/**
 * The built gateway between two clinics whose servers drop, stall, lie and throttle, killed with SIGKILL again and again.
 * Afterwards each clinic must hold each average once, in its last version with its history, each reading once, and every
 * patient's things must have come in the order in which they were accepted.
 *
 * `CHAOS_SEEDS=1,2,3 CHAOS_DELIVERIES=2000 CHAOS_KILLS=30` makes it as long as wanted.
 */
const seeds = (process.env.CHAOS_SEEDS ?? '1').split(',').map(Number)
const deliveries = Number(process.env.CHAOS_DELIVERIES ?? 200)
const kills = Number(process.env.CHAOS_KILLS ?? 5)
const MINUTES = 60_000

// Side by side: half of each is waiting, for answers that do not come and for what goes on by itself.
describe.concurrent('killed and lied to at random', () => {
  it.each(seeds)(
    'a clinic that takes transactions gets everything once, seed %i',
    (seed) => nothingIsWrong({ seed, deliveries, kills, rung: 'transaction' }),
    5 * MINUTES,
  )

  it.each([
    ['first-of-type', 21],
    ['kept', 22],
  ] as const)(
    'so does one whose server leaves the reference to the patient %s, each in the right record, seed %i',
    (conditionalReference, seed) =>
      nothingIsWrong({
        seed,
        deliveries: deliveries / 4,
        kills: Math.ceil(kills / 3),
        rung: 'transaction',
        conditionalReference,
      }),
    5 * MINUTES,
  )

  it.each([
    ['conditional-create', 11],
    ['own-id', 12],
    ['search-first', 13],
  ] as const)(
    'so does one that is served by %s, seed %i',
    (rung, seed) => nothingIsWrong({ seed, deliveries: deliveries / 4, kills: Math.ceil(kills / 3), rung }),
    5 * MINUTES,
  )
})

async function nothingIsWrong(options: ChaosOptions): Promise<void> {
  const figures = await runChaos(options)
  expect(figures.wrong).toEqual([])
  // That it was put to the test at all.
  expect(figures.deliveries).toBeGreaterThan(options.deliveries * 0.5)
  expect([...figures.faults.values()].reduce((sum, count) => sum + count, 0)).toBeGreaterThan(10)
  expect(figures.retries).toBeGreaterThan(0)
  expect((figures.requests.transaction ?? 0) > 0).toBe(options.rung === 'transaction')
}
