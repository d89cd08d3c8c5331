import { type Command, InvalidArgumentError, Option } from 'commander'
import { isCalendarDayText } from '../../../core/basics/instant.ts'
import { inputError } from '../../../core/basics/issue.ts'
import { addDays, type LocalDay, localTime } from '../../../core/basics/local-day.ts'
import { averageNarrative } from '../../../core/clinical/averaging/average-narrative.ts'
import { averagePeriod } from '../../../core/clinical/averaging/average-period.ts'
import { type AverageSummary, averageSummary } from '../../../core/clinical/averaging/average-summary.ts'
import type { CheckedSession } from '../../../core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../../core/clinical/protocol/protocol.ts'
import { type Arm, timeOf } from '../../../core/clinical/session.ts'
import { convertText } from '../../../flow/convert-record.ts'
import { loadCatalogue } from '../../config/load-catalogue.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { type PersonOptions, personOptions, readPerson } from '../person-options.ts'
import { recordsOf } from '../read-records.ts'
import { type Refusal, refusalLines } from '../refusals.ts'
import { bad, prose, strong, type Terminal, table } from '../terminal.ts'

interface AverageOptions extends PersonOptions {
  readonly protocol: string
  readonly protocolsFolder?: string
  readonly firstDay?: LocalDay
  readonly days?: number
  readonly arm?: Arm
  readonly decimals: '0' | '1'
  readonly json?: true
}

/** `average`: one person's sessions in, the period average by a named protocol out. Stores and sends nothing. */
export function addAverage(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const command = program
    .command('average')
    .summary('one person’s sessions in, the period average by a named protocol out')
    .description(
      'Averages session records of one person under a published protocol, offline: the mean, what it rests on, what ' +
        'was left out and why, and the label of each threshold set. Refused records are listed and not averaged.',
    )
    .argument('[files...]', 'files of session records; - or none for standard input')
    .requiredOption('--protocol <id>', 'id of a protocol, such as nice-ng136-home')
    .option('--protocols-folder <folder>', 'a folder of your own protocol files')
    .option(
      '--first-day <day>',
      'first local day, such as 2026-03-02 (default: the day of the first reading)',
      calendarDay,
    )
    .option('--days <number>', 'local days in the period (default: the protocol’s ideal)', wholeDays)
    .addOption(new Option('--arm <arm>', 'the arm to average').choices(['left', 'right']))
    .addOption(new Option('--decimals <digits>', 'digits after the point').choices(['0', '1']).default('1'))
    .option('--json', 'the summary as JSON')
  personOptions(command).action(async (files: string[], options: AverageOptions) => {
    done(await average(files, options, terminal))
  })
}

async function average(
  files: readonly string[],
  options: AverageOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const { zone } = options
  const catalogue = loadCatalogue({
    canonicalBase: options.canonicalBase,
    destinations: [],
    ...(options.protocolsFolder === undefined ? {} : { protocolsFolder: options.protocolsFolder }),
  })
  const protocol = catalogue.protocols.get(options.protocol)
  if (protocol === undefined || zone === undefined) {
    const ids = [...catalogue.protocols.keys()].join(', ')
    terminal.remark(
      protocol === undefined
        ? `${bad('usage')}  --protocol: no protocol of that id; there are ${ids}`
        : `${bad('usage')}  --zone: needed, because days are the person’s own days`,
    )
    return EXIT.usage
  }

  const { sittings, refused } = await readSittings(files, options, terminal)
  const days = periodOf(sittings, protocol, zone, options)
  if (days === undefined) {
    for (const line of refusalLines(refused)) terminal.remark(line)
    terminal.remark(`${bad('refused')}  there is no session to average`)
    return EXIT.refused
  }
  const plan = { protocol, zone, ...days, ...(options.arm === undefined ? {} : { arm: options.arm }) }
  const averaged = averagePeriod(plan, sittings, [...catalogue.thresholdSets.values()])
  const summary = averageSummary(averaged, options.decimals === '0' ? 0 : 1)

  if (options.json) terminal.print(JSON.stringify({ average: summary, refused }))
  else {
    for (const line of refusalLines(refused)) terminal.remark(line)
    for (const text of shown(summary)) terminal.print(prose(text, terminal.width))
  }
  return refused.length === 0 && summary.mean !== undefined ? EXIT.done : EXIT.refused
}

async function readSittings(
  files: readonly string[],
  options: AverageOptions,
  terminal: Terminal,
): Promise<{ readonly sittings: readonly CheckedSession[]; readonly refused: readonly Refusal[] }> {
  const context = {
    source: 'command-line',
    canonicalBase: options.canonicalBase,
    person: readPerson(options),
    receivedMs: Date.now(),
  }
  const sittings = new Map<string, CheckedSession>()
  const refused: Refusal[] = []
  for await (const { text, place } of recordsOf(files, 'records', terminal)) {
    const converted = convertText(text, context)
    if (!converted.ok) refused.push({ ...place, issues: converted.issues })
    else if (subjectsDiffer(sittings, converted.value)) refused.push({ ...place, issues: [ANOTHER_PERSON] })
    else sittings.set(converted.value.uuid, converted.value)
  }
  return { sittings: [...sittings.values()], refused }
}

function subjectsDiffer(sittings: ReadonlyMap<string, CheckedSession>, { session }: CheckedSession): boolean {
  const [first] = sittings.values()
  return first !== undefined && first.session.subject !== session.subject
}

/** The local days to average: as asked, or as many as the protocol's ideal from the day of the first reading. */
function periodOf(
  sittings: readonly CheckedSession[],
  protocol: Protocol,
  zone: string,
  { firstDay, days = protocol.days.ideal }: AverageOptions,
): { readonly firstDay: LocalDay; readonly lastDay: LocalDay } | undefined {
  const times = sittings.flatMap(({ session }) => session.readings.map((one) => timeOf(one, session).epochMs))
  const [earliest] = times.sort((a, b) => a - b)
  if (earliest === undefined) return undefined
  const first = firstDay ?? localTime(earliest, zone).day
  return { firstDay: first, lastDay: addDays(first, days - 1) }
}

function shown(summary: AverageSummary): readonly string[] {
  const { mean, decimals, byWindow, labels, readings, sufficiency } = summary
  const narrative = averageNarrative(summary)
  if (mean === undefined) return narrative
  const pair = (one: { systolicMmHg: number; diastolicMmHg: number }) =>
    `${one.systolicMmHg.toFixed(decimals)}/${one.diastolicMmHg.toFixed(decimals)}`
  const rows = [
    ['average', strong(`${pair(mean)} mmHg`)],
    ...byWindow.map((one) => [one.window, `${pair(one)} mmHg, ${one.readings} readings`]),
    ['readings', `${readings.used} used of ${readings.received} received, on ${sufficiency.daysUsed} days`],
    ...labels.map(({ title, label }) => ['label', `${label} (${title})`]),
  ]
  return [table(['', summary.protocol.title], rows, [12, 64]), ...narrative]
}

const ANOTHER_PERSON = inputError(
  'business-rule',
  'OUT_OF_RANGE',
  'subject',
  'the subject of the first record: an average is of one person',
  'Average each person by itself.',
)

function calendarDay(text: string): LocalDay {
  if (!isCalendarDayText(text)) throw new InvalidArgumentError('Give a calendar day such as 2026-03-02.')
  return text
}

function wholeDays(text: string): number {
  const days = Number(text)
  if (!Number.isInteger(days) || days < 1 || days > 366)
    throw new InvalidArgumentError('Give whole days, 1 to 366.')
  return days
}
