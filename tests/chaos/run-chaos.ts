/**
 * Starts the built gateway against two played clinics, lets everything go wrong, kills it again and again, and says what
 * came of it:
 *
 *     npx tsx tests/chaos/run-chaos.ts --seed 1 --deliveries 2000 --kills 30 --rung transaction
 *
 * Ends with 1 when anything is not as it must be. Run `npm run build` first.
 */
import { parseArgs } from 'node:util'
import Table from 'cli-table3'
import { z } from 'zod'
import { type ChaosFigures, runChaos } from './chaos-run.ts'

const { values } = parseArgs({
  options: {
    seed: { type: 'string', default: '1' },
    deliveries: { type: 'string', default: '2000' },
    kills: { type: 'string', default: '30' },
    rung: { type: 'string', default: 'transaction' },
    reference: { type: 'string', default: 'resolved' },
    'command-line': { type: 'string' },
  },
})
const asked = z
  .object({
    seed: z.coerce.number().int(),
    deliveries: z.coerce.number().int().min(1),
    kills: z.coerce.number().int().min(0),
    rung: z.enum(['transaction', 'conditional-create', 'own-id', 'search-first']),
    reference: z.enum(['resolved', 'kept', 'first-of-type']),
  })
  .parse(values)
const commandLine = values['command-line']

const start = performance.now()
const tell = (text: string) => console.error(`${((performance.now() - start) / 1000).toFixed(0)} s  ${text}`)
const figures = await runChaos({
  ...asked,
  conditionalReference: asked.reference,
  tell,
  ...(commandLine === undefined ? {} : { commandLine }),
})
console.log(tableOf(figures))
for (const text of figures.wrong.slice(0, 50)) console.log(text)
console.log(
  figures.wrong.length === 0 ? 'Everything is as it must be.' : `${figures.wrong.length} things are wrong.`,
)
process.exitCode = figures.wrong.length === 0 ? 0 : 1

function tableOf(of: ChaosFigures): string {
  const table = new Table({ style: { head: [], border: [] } })
  const posts = ['transaction', 'create', 'update'].reduce((sum, kind) => sum + (of.requests[kind] ?? 0), 0)
  table.push(
    ['seed, rung', `${asked.seed}, ${asked.rung}`],
    ['a reference to a patient is', asked.reference],
    ['people', of.people],
    ['deliveries', of.deliveries],
    ['averages issued', of.averagesIssued],
    ['posts and puts', posts],
    ['look-ups', (of.requests.search ?? 0) + (of.requests.read ?? 0)],
    ['retries', of.retries],
    ['kills', of.kills],
    ['sent to the gateway again', of.sentAgain],
    ['resources at the clinics', of.resources],
    ['faults', [...of.faults.values()].reduce((sum, count) => sum + count, 0)],
    ...[...of.faults].toSorted(([, a], [, b]) => b - a).map(([name, count]) => [`  ${name}`, count]),
    ...[...of.errorsLogged].map(([event, count]) => [`logged: ${event}`, count]),
    ['seconds', (of.ms / 1000).toFixed(1)],
  )
  return table.toString()
}
