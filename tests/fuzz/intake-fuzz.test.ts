import { describe, expect, it } from 'vitest'
import { FORMATS } from './formats/formats.ts'
import { type FuzzFigures, runFuzz } from './fuzz-run.ts'

/**
 * Generated records of every format, a third as they should be, the others spoilt or senseless, through the intake into a
 * store on a file. Nothing may throw; each record comes back in one outcome; what is kept reads back and becomes valid
 * Observations; what is refused leaves nothing but one audit row, and its issues show nothing of what was sent.
 *
 * `FUZZ_RECORDS=200000 FUZZ_SEED=7` makes it as long as wanted and repeats it; `npm run fuzz` prints its figures.
 */
const records = Number(process.env.FUZZ_RECORDS ?? 6_000)
const seed = Number(process.env.FUZZ_SEED ?? 1)
const MINUTES = 60_000

/** What a process may have more in memory at the end than after a tenth of the records. A local choice. */
const MOST_GROWTH_MB = 64

describe('whatever records come', () => {
  it(
    'comes back in one outcome each, kept whole or not at all, in memory that does not grow',
    async () => {
      const figures = await runFuzz({ seed, records })
      expect(figures.faults).toEqual([])
      expect(figures.lateMb - figures.earlyMb).toBeLessThan(MOST_GROWTH_MB)
      expectEnough(figures)
    },
    30 * MINUTES,
  )
})

/** That it was put to the test at all: of each format some are kept and some are refused, and corrections happen. */
function expectEnough({ outcomes }: FuzzFigures): void {
  const few = records / FORMATS.length / 40
  for (const { name } of FORMATS) {
    expect(outcomes.get(name)?.get('kept'), name).toBeGreaterThan(few)
    expect(outcomes.get(name)?.get('refused'), name).toBeGreaterThan(few)
  }
  expect([...outcomes.values()].some((counts) => counts.has('corrected'))).toBe(true)
}
