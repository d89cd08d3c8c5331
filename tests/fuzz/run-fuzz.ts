/**
 * Sends generated records of all formats, sound, spoilt and senseless, through the intake into a store, and says what came
 * of it:
 *
 *     FUZZ_RECORDS=200000 FUZZ_SEED=1 npm run fuzz
 *
 * Ends with 1 when anything is not as it must be.
 */
import Table from 'cli-table3'
import { type FuzzFigures, runFuzz } from './fuzz-run.ts'

const seed = Number(process.env.FUZZ_SEED ?? Date.now() % 1_000_000)
const records = Number(process.env.FUZZ_RECORDS ?? 200_000)
console.error(`seed ${seed}, ${records} records`)
const figures = await runFuzz({ seed, records })
console.log(tableOf(figures))
for (const fault of figures.faults) console.log(fault)
console.log(figures.faults.length === 0 ? 'Everything is as it must be.' : 'Something is wrong.')
process.exitCode = figures.faults.length === 0 ? 0 : 1

function tableOf({ outcomes, ...of }: FuzzFigures): string {
  const table = new Table({ style: { head: [], border: [] } })
  table.push(['seed', of.seed], ['inputs', of.inputs], ['source records', of.records])
  for (const [format, counts] of outcomes) {
    table.push([format, [...counts].map(([kind, count]) => `${count} ${kind}`).join(', ')])
  }
  table.push(
    ['seconds', of.seconds.toFixed(1)],
    ['resident after a tenth, MB', of.earlyMb.toFixed(0)],
    ['resident at the end, MB', of.lateMb.toFixed(0)],
    ['peak resident, MB', of.peakMb.toFixed(0)],
  )
  return table.toString()
}
