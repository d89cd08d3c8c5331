import Table from 'cli-table3'
import type { Measured } from './measure.ts'
import { measureAverages } from './stages/averages.ts'
import { measureConversion } from './stages/convert.ts'
import { measureDeliveries } from './stages/deliver.ts'
import { measureIntake } from './stages/intake.ts'
import { measureSinglePosts } from './stages/single-posts.ts'
import { measureStream } from './stages/stream.ts'
import { measureValidation } from './stages/validate.ts'
import { countVerdicts, type Verdicts, verdictTable } from './stages/verdicts.ts'

/**
 * Measures every stage beside its floor in the same run, prints a table, and with `--json` one JSON document instead.
 * Names after the options choose stages: `npm run bench -- convert stream`. The stage `verdicts` counts instead: the
 * corpus through this validator and those of the registry, as a table of its own.
 */
const STAGES: Readonly<Record<string, () => Measured | Promise<Measured> | Promise<readonly Measured[]>>> = {
  convert: measureConversion,
  intake: measureIntake,
  'single-posts': measureSinglePosts,
  stream: measureStream,
  averages: measureAverages,
  validate: measureValidation,
  deliver: measureDeliveries,
}

const words = process.argv.slice(2)
const json = words.includes('--json')
const chosen = words.filter((word) => !word.startsWith('--'))

const measured: Measured[] = []
for (const [name, measure] of Object.entries(STAGES)) {
  if (chosen.length > 0 && !chosen.includes(name)) continue
  if (!json) process.stderr.write(`measuring ${name} …\n`)
  measured.push(...[await measure()].flat())
}

let verdicts: readonly Verdicts[] = []
if (chosen.length === 0 || chosen.includes('verdicts')) {
  if (!json) process.stderr.write('counting verdicts …\n')
  verdicts = countVerdicts()
}

if (json) process.stdout.write(`${JSON.stringify({ node: process.version, measured, verdicts }, null, 2)}\n`)
else {
  if (measured.length > 0) process.stdout.write(`${table(measured)}\n`)
  if (verdicts.length > 0) process.stdout.write(`${verdictTable(verdicts)}\n`)
}

function table(rows: readonly Measured[]): string {
  const drawn = new Table({
    head: ['stage', 'floor', 'ours', 'ours / floor', 'goal', 'also'],
    colWidths: [14, 30, 30, 9, 24, 34],
    wordWrap: true,
    style: { head: [], border: [] },
  })
  for (const { stage, unit, floor, ours, goal, reached, also } of rows) {
    drawn.push([
      stage,
      `${round(floor.perSecond)} ${unit}/s\n${floor.what}`,
      `${round(ours.perSecond)} ${unit}/s\n${ours.what}`,
      (ours.perSecond / floor.perSecond).toFixed(2),
      `${goal}\n${reached ? 'reached' : 'NOT reached'}`,
      Object.entries(also)
        .map(([name, value]) => `${name} ${Number.isInteger(value) ? value : value.toFixed(2)}`)
        .join('\n'),
    ])
  }
  return drawn.toString()
}

function round(perSecond: number): string {
  return Math.round(perSecond).toLocaleString('en-US')
}
