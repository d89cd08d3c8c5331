import Table from 'cli-table3'
import { BIG_INPUTS } from './big-input.ts'
import { type BigFigures, DOORS, receiveBig } from './receive-big.ts'

/** What the gateway may hold at most, however much comes. A local choice. */
export const MOST_RESIDENT_MB = 350

/**
 * A million records each, through the service and the command line, and what that took.
 *
 * @param chosen words of what is to be run, such as `CSV` or `receive`; everything when there is none.
 * @returns whether all became sessions, in bounded memory.
 */
export async function runMillion(records: number, chosen: readonly string[]): Promise<boolean> {
  const table = new Table({
    head: ['input', 'door', 'records', 'kept', 'seconds', 'records/s', 'peak, MB'],
    style: { head: [], border: [] },
  })
  let isWell = true
  for (const input of BIG_INPUTS) {
    for (const door of DOORS) {
      if (!chosen.every((word) => `${input.name} ${door}`.includes(word))) continue
      console.error(`${input.name} by ${door} …`)
      const figures = await receiveBig(input, records, door)
      table.push(rowOf(figures))
      console.error(table.toString())
      isWell &&= figures.counts.kept === input.sessions(records) && figures.peakMb < MOST_RESIDENT_MB
    }
  }
  console.log(table.toString())
  console.log(isWell ? 'Everything is as it must be.' : 'Something is wrong.')
  return isWell
}

function rowOf({ input, door, records, counts, seconds, peakMb }: BigFigures): (string | number)[] {
  const perSecond = Math.round(records / seconds)
  return [input, door, records, counts.kept ?? 0, seconds.toFixed(0), perSecond, peakMb.toFixed(0)]
}
