import type { Command } from 'commander'
import { comparePeriod } from '../../../core/clinical/comparison/compare-period.ts'
import { comparisonNarrative } from '../../../core/clinical/report/comparison-narrative.ts'
import {
  type ComparisonRow,
  type ComparisonSummary,
  comparisonSummary,
} from '../../../core/clinical/report/comparison-summary.ts'
import { counted, pairText } from '../../../core/clinical/report/narrative-words.ts'
import { loadCatalogue } from '../../config/catalogue/load-catalogue.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { readSittings } from '../files/read-sittings.ts'
import { refusalLines } from '../files/refusals.ts'
import {
  daysMeasured,
  type PeriodOptions,
  periodDays,
  periodOptions,
  wrongDaysLine,
} from '../options/period-options.ts'
import { bad, prose, quiet, strong, type Terminal, table } from '../terminal.ts'

/** `compare`: one person's sessions in, their average under every protocol out. Stores and sends nothing. */
export function addCompare(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const command = program
    .command('compare')
    .summary('one person’s sessions in, their average under every protocol side by side')
    .description(
      'Averages the same session records of one person under every protocol, offline, and says where the choice of ' +
        'rule, and not the patient, moves a label. Refused records are listed and not averaged.',
    )
    .argument('[files...]', 'files of session records; - or none for standard input')
  periodOptions(command, 'up to the day of the last reading at home').action(
    async (files: string[], options: PeriodOptions) => {
      done(await compare(files, options, terminal))
    },
  )
}

async function compare(
  files: readonly string[],
  options: PeriodOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { zone, canonicalBase, protocolsFolder, arm, finding } = options
  if (zone === undefined) {
    terminal.remark(`${bad('usage')}  --zone: needed, because days are the person’s own days`)
    return EXIT.usage
  }
  const wrongDays = wrongDaysLine(options)
  if (wrongDays !== undefined) {
    terminal.remark(wrongDays)
    return EXIT.usage
  }
  const catalogue = loadCatalogue({
    canonicalBase,
    destinations: [],
    ...(protocolsFolder === undefined ? {} : { protocolsFolder }),
  })
  const { sittings, refused } = await readSittings(files, options, terminal)
  const measured = daysMeasured(sittings, zone, 'home')
  if (!options.json || measured === undefined) for (const line of refusalLines(refused)) terminal.remark(line)
  if (measured === undefined) {
    terminal.remark(`${bad('refused')}  there is no session to compare`)
    return EXIT.refused
  }
  const days = {
    ...periodDays(measured, options, 'as measured'),
    zone,
    ...(arm === undefined ? {} : { arm }),
  }
  const compared = comparePeriod(
    { ...days, policy: finding },
    sittings,
    [...catalogue.protocols.values()],
    [...catalogue.thresholdSets.values()],
  )
  const summary = comparisonSummary(compared, days, options.decimals === '0' ? 0 : 1)

  if (options.json) terminal.print(JSON.stringify({ comparison: summary, refused }))
  else {
    terminal.print(comparisonTable(summary, terminal.width))
    for (const text of comparisonNarrative(summary)) terminal.print(prose(text, terminal.width))
  }
  return refused.length === 0 && summary.rows.some(({ mean }) => mean !== undefined)
    ? EXIT.done
    : EXIT.refused
}

/** Widths of all columns but the last, which takes the rest of the terminal. */
const COLUMNS = [28, 12, 14]
const LEAST_LAST = 20
const MOST_LAST = 60

function comparisonTable(summary: ComparisonSummary, width: number): string {
  const taken = COLUMNS.reduce((sum, one) => sum + one, COLUMNS.length + 2)
  const last = Math.min(MOST_LAST, Math.max(LEAST_LAST, width - taken))
  const head = ['protocol', 'average mmHg', 'used, days', 'label by its own source, of the unrounded mean']
  return table(
    head,
    summary.rows.map((row) => cells(row, summary.decimals)),
    [...COLUMNS, last],
  )
}

function cells(row: ComparisonRow, decimals: 0 | 1): readonly string[] {
  const { mean, labels, sufficiency } = row
  const mark = row.evidence === 'memory' ? `\n${quiet('from memory, unverified')}` : ''
  const few = sufficiency.enoughDays && sufficiency.enoughReadings ? '' : `\n${quiet('too few')}`
  return [
    `${row.protocol}${mark}`,
    mean === undefined ? 'none' : strong(pairText(mean, decimals)),
    `${row.used} of ${row.received}\n${counted(row.daysUsed, 'day')}${few}`,
    mean === undefined ? '' : labelsText(labels),
  ]
}

function labelsText(labels: ComparisonRow['labels']): string {
  return labels.length === 0 ? quiet('the source states none') : labels.map(labelText).join('\n')
}

function labelText({ label, title, window }: ComparisonRow['labels'][number]): string {
  return `${window === undefined ? '' : `${window}: `}${label} ${quiet(`(${title})`)}`
}
