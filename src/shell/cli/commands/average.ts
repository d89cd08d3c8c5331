import type { Command } from 'commander'
import { averageRecording } from '../../../core/clinical/ambulatory/average-recording.ts'
import { recordingNarrative } from '../../../core/clinical/ambulatory/recording-narrative.ts'
import {
  type RecordingSummary,
  recordingSummary,
} from '../../../core/clinical/ambulatory/recording-summary.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../../core/clinical/attention/attention-limits.ts'
import type { Protocol } from '../../../core/clinical/protocol/protocol.ts'
import type { RecordingRule } from '../../../core/clinical/protocol/recording-rule.ts'
import { counted, pairText } from '../../../core/clinical/report/narrative-words.ts'
import { periodNarrative } from '../../../core/clinical/report/period-narrative.ts'
import { type PeriodSummary, periodSummary } from '../../../core/clinical/report/period-summary.ts'
import { reportPeriod } from '../../../core/clinical/report/report-period.ts'
import type { Catalogue } from '../../../flow/ports/ports.ts'
import { loadCatalogue } from '../../config/catalogue/load-catalogue.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { readSittings, type Sittings } from '../files/read-sittings.ts'
import { refusalLines } from '../files/refusals.ts'
import {
  daysMeasured,
  type PeriodOptions,
  periodDays,
  periodOptions,
  wrongDaysLine,
} from '../options/period-options.ts'
import { bad, prose, strong, type Terminal, table } from '../terminal.ts'

interface AverageOptions extends PeriodOptions {
  readonly protocol: string
}

/** `average`: one person's sessions in, the period average by a named protocol out. Stores and sends nothing. */
export function addAverage(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const command = program
    .command('average')
    .summary('one person’s sessions in, the period average by a named protocol out')
    .description(
      'Averages session records of one person under a published protocol, or a 24-hour recording under a recording ' +
        'rule, offline: the mean, what it rests on, what was left out and why, and the label of each threshold set. ' +
        'Refused records are listed and not averaged.',
    )
    .argument('[files...]', 'files of session records; - or none for standard input')
    .requiredOption('--protocol <id>', 'id of a protocol, such as nice-ng136-home, or of a recording rule')
  periodOptions(command, 'the protocol’s ideal').action(async (files: string[], options: AverageOptions) => {
    done(await average(files, options, terminal))
  })
}

async function average(
  files: readonly string[],
  options: AverageOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { zone, canonicalBase, protocolsFolder } = options
  const catalogue = loadCatalogue({
    canonicalBase,
    destinations: [],
    ...(protocolsFolder === undefined ? {} : { protocolsFolder }),
  })
  const rule = catalogue.protocols.get(options.protocol) ?? catalogue.recordingRules.get(options.protocol)
  if (rule === undefined || zone === undefined) {
    const ids = [...catalogue.protocols.keys(), ...catalogue.recordingRules.keys()].join(', ')
    terminal.remark(
      rule === undefined
        ? `${bad('usage')}  --protocol: no protocol of that id; there are ${ids}`
        : `${bad('usage')}  --zone: needed, because days are the person’s own days`,
    )
    return EXIT.usage
  }
  const wrongDays = wrongDaysLine(options)
  if (wrongDays !== undefined) {
    terminal.remark(wrongDays)
    return EXIT.usage
  }

  const read = await readSittings(files, options, terminal)
  const result = resultOf(rule, zone, read, options, catalogue)
  if (result === undefined) {
    for (const line of refusalLines(read.refused)) terminal.remark(line)
    terminal.remark(`${bad('refused')}  there is no session to average`)
    return EXIT.refused
  }
  if (options.json) terminal.print(JSON.stringify({ average: result.summary, refused: read.refused }))
  else {
    for (const line of refusalLines(read.refused)) terminal.remark(line)
    if (result.rows.length > 0) terminal.print(table(['', rule.title], result.rows, [12, 64]))
    for (const text of result.narrative) terminal.print(prose(text, terminal.width))
  }
  return read.refused.length === 0 && result.rows.length > 0 ? EXIT.done : EXIT.refused
}

/** An average in its three forms; no rows when no reading counts. */
interface AverageResult {
  readonly summary: PeriodSummary | RecordingSummary
  readonly rows: readonly (readonly string[])[]
  readonly narrative: readonly string[]
}

function resultOf(
  rule: Protocol | RecordingRule,
  zone: string,
  { sittings }: Sittings,
  options: AverageOptions,
  catalogue: Catalogue,
): AverageResult | undefined {
  const measured = daysMeasured(sittings, zone, 'leaveOut' in rule ? 'home' : 'ambulatory')
  if (measured === undefined) return undefined
  const thresholdSets = [...catalogue.thresholdSets.values()]
  const decimals = options.decimals === '0' ? 0 : 1
  const policy = options.finding
  if (!('leaveOut' in rule)) {
    const days = periodDays(measured, options, RECORDING_DAYS)
    const recording = averageRecording({ rule, zone, ...days, policy }, sittings, thresholdSets)
    const summary = recordingSummary(recording, DEFAULT_ATTENTION_LIMITS.high, decimals)
    return { summary, rows: recordingRows(summary), narrative: recordingNarrative(summary) }
  }
  const days = periodDays(measured, options, rule.days.ideal)
  const arm = options.arm === undefined ? {} : { arm: options.arm }
  const plan = { protocol: rule, zone, ...days, policy, ...arm }
  const summary = periodSummary(
    reportPeriod(plan, sittings, thresholdSets, DEFAULT_ATTENTION_LIMITS),
    decimals,
  )
  return { summary, rows: periodRows(summary), narrative: periodNarrative(summary) }
}

/** A recording of 24 hours that does not start at midnight lies in two local days. */
const RECORDING_DAYS = 2

function periodRows({
  mean,
  byWindow,
  labels,
  readings,
  sufficiency,
  decimals,
}: PeriodSummary): readonly (readonly string[])[] {
  if (mean === undefined) return []
  const few = sufficiency.enoughDays && sufficiency.enoughReadings ? '' : '; too few for the rule'
  return [
    ['average', strong(`${pairText(mean, decimals)} mmHg`)],
    ...byWindow.map((one) => [
      one.window,
      `${pairText(one, decimals)} mmHg, ${counted(one.readings, 'reading')}`,
    ]),
    [
      'readings',
      `${readings.used} used of ${readings.received} received, on ${counted(sufficiency.daysUsed, 'day')}${few}`,
    ],
    ...labels.map(({ title, label, window }) => [
      'label',
      `${window === undefined ? '' : `${window}: `}${label} (${title})`,
    ]),
  ]
}

function recordingRows({
  means,
  labels,
  readings,
  decimals,
}: RecordingSummary): readonly (readonly string[])[] {
  if (means.length === 0) return []
  return [
    ...means.map((one) => [
      one.span,
      strong(`${pairText(one, decimals)} mmHg, ${counted(one.readings, 'reading')}`),
    ]),
    ['readings', `${readings.used} used of ${readings.received} received`],
    ...labels.map(({ title, label, span }) => ['label', `${span}: ${label} (${title})`]),
  ]
}
