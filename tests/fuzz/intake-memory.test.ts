import { describe, expect, it } from 'vitest'
import { BIG_INPUTS } from './million/big-input.ts'
import { DOORS, receiveBig } from './million/receive-big.ts'
import { MOST_RESIDENT_MB } from './million/run-million.ts'

/** `npm run fuzz -- million` does the same with a million records each. */
const RECORDS = 15_000
const MINUTES = 60_000

describe('a long input', () => {
  it.each(BIG_INPUTS.flatMap((input) => DOORS.map((door) => ({ input, door, name: input.name }))))(
    'of $name by $door becomes sessions, in bounded memory',
    async ({ input, door }) => {
      const { counts, peakMb } = await receiveBig(input, RECORDS, door)
      expect(counts).toMatchObject({ kept: input.sessions(RECORDS), refused: 0 })
      expect(peakMb).toBeLessThan(MOST_RESIDENT_MB)
    },
    5 * MINUTES,
  )
})
