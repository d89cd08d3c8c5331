/**
 * Sends generated records of all formats, sound, spoilt and senseless, through the intake into a store, and says what came
 * of it:
 *
 *     FUZZ_RECORDS=200000 FUZZ_SEED=1 npm run fuzz
 *
 * A million sound records of a format each, through the service and the command line; words after it choose:
 *
 *     npm run fuzz -- million CSV HTTP
 *
 * Ends with 1 when anything is not as it must be.
 */
import Table from 'cli-table3'
import { type FuzzFigures, runFuzz } from './fuzz-run.ts'
import { runMillion } from './million/run-million.ts'

const [what, ...chosen] = process.argv.slice(2)
const isWell = what === 'million' ? await runMillion(1_000_000, chosen) : await fuzz()
process.exitCode = isWell ? 0 : 1

async function fuzz(): Promise<boolean> {
  const seed = Number(process.env.FUZZ_SEED ?? Date.now() % 1_000_000)
  const records = Number(process.env.FUZZ_RECORDS ?? 200_000)
  console.error(`seed ${seed}, ${records} records`)
  const figures = await runFuzz({ seed, records })
  console.log(tableOf(figures))
  for (const fault of figures.faults) console.log(fault)
  console.log(figures.faults.length === 0 ? 'Everything is as it must be.' : 'Something is wrong.')
  return figures.faults.length === 0
}

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
