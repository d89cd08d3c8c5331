import { type Command, Option } from 'commander'
import { type Issue, issueText } from '../../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../../core/basics/result.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { Arm } from '../../../core/clinical/session.ts'
import { PERIOD_STATES, type PeriodState } from '../../../core/registry/period.ts'
import { type ToldPeriod, toldPeriod } from '../../../flow/operate/told-period.ts'
import { unknownInPeriodFilter } from '../../../flow/operate/unknown-in-period-filter.ts'
import { closeNow } from '../../../flow/periods/close-now.ts'
import { openPeriod } from '../../../flow/periods/open-period.ts'
import { withdrawPeriod } from '../../../flow/periods/withdraw-period.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { unknownNameLines } from '../options/delivery-filter-options.ts'
import { calendarDay, wholeDays } from '../options/period-options.ts'
import { settingsOption } from '../options/settings-option.ts'
import { wholeNumber } from '../options/whole-number.ts'
import { bad, good, quiet, strong, type Terminal } from '../terminal.ts'
import { periodTable } from '../told/period-table.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

interface ListOptions extends Options {
  readonly source?: string
  readonly subject?: string
  readonly state?: PeriodState
  readonly protocol?: string
  readonly limit: number
  readonly after?: string
}

interface OpenOptions extends Options {
  readonly protocol?: string
  readonly firstDay: string
  readonly days?: number
  readonly arm?: Arm
}

/** `periods`: the days in which people measure, opened, closed and taken back by hand. */
export function addPeriods(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const periods = program
    .command('periods')
    .summary('see, open, close and withdraw the days in which people measure')
    .description(
      'Lists, opens, closes and withdraws periods, on the store directly; the service may go on running, and delivers ' +
        'what is queued. A period is withdrawn, never deleted: what was sent of it stays traceable.',
    )
  const command = (name: string, description: string) =>
    settingsOption(periods.command(name)).description(description).option('--json', 'the answer as JSON')
  const refusal = (issues: readonly Issue[], options: Options): ExitCode => {
    if (options.json) terminal.print(JSON.stringify({ issues }))
    else for (const one of issues) terminal.remark(`${bad('refused')}  ${issueText(one)} [${one.code}]`)
    return EXIT.refused
  }
  /** Tells what became of one period, as JSON or in words. */
  const tell = (
    period: ToldPeriod,
    became: object,
    word: string,
    words: string,
    options: Options,
  ): ExitCode => {
    if (options.json) terminal.print(JSON.stringify({ ...period, ...became }))
    else terminal.print(`${good(word)}  ${strong(period.id)} ${words}`)
    return EXIT.done
  }

  command('list', 'list periods, by their ids')
    .option('--source <name>', 'only those of this source')
    .option('--subject <name>', 'only those of this subject')
    .addOption(new Option('--state <state>', 'only those in this state').choices(PERIOD_STATES))
    .option('--protocol <id>', 'only those under this protocol')
    .option('--limit <number>', 'at most this many', wholeNumber, 50)
    .option('--after <id>', 'those after this id')
    .action(async ({ settings, json, ...page }: ListOptions) => {
      const { limit, after: _, ...filter } = page
      const found: Result<readonly ToldPeriod[]> = await onStore(
        openGateway,
        settings === undefined ? {} : { settings },
        async (at) => {
          const unknown = await unknownInPeriodFilter(filter, at)
          return isNonEmpty(unknown)
            ? refused(unknown)
            : ok((await at.store.periodPage(page)).map(toldPeriod))
        },
      )
      if (!found.ok) {
        if (json) terminal.print(JSON.stringify({ issues: found.issues }))
        else for (const line of unknownNameLines(found.issues)) terminal.remark(line)
        return done(EXIT.refused)
      }
      const told = found.value
      if (json) terminal.print(JSON.stringify({ items: told }))
      else if (told.length === 0) terminal.print(quiet('no period'))
      else terminal.print(periodTable(told))
      const last = told.at(-1)
      if (last !== undefined && told.length === limit) terminal.remark(quiet(`more with --after ${last.id}`))
      done(EXIT.done)
    })

  command('open', 'open a period of an enrolled subject; the same again is the same period')
    .argument('<source>')
    .argument('<subject>', 'the subject as the source writes it')
    .requiredOption('--first-day <day>', 'first local day, such as 2026-03-02', calendarDay)
    .option('--protocol <id>', 'a protocol or recording rule (default: the one of the destination)')
    .option('--days <number>', 'local days in the period (default: the protocol’s ideal)', wholeDays)
    .addOption(new Option('--arm <arm>', 'the arm to average').choices(['left', 'right']))
    .action(async (source: string, subject: string, options: OpenOptions) => {
      const { settings: _, json: __, ...asked } = options
      const result = await onStore(openGateway, options, (at) =>
        openPeriod({ source, subject, ...asked }, 'operator', at),
      )
      if (!result.ok) return done(refusal(result.issues, options))
      const { period, opened } = result.value
      const told = toldPeriod(period)
      const days = `${told.firstDay} to ${told.lastDay} by ${told.protocol}`
      const words = `is open: ${source} ${subject}, ${days}. It is closed by itself at ${told.due}.`
      const already = `is there already, ${told.state}: ${source} ${subject}, ${days}.`
      done(tell(told, { opened }, opened ? 'opened' : 'same', opened ? words : already, options))
    })

  command('close', 'close a period whose last day is over, and queue its average')
    .argument('<id>', 'id of the period')
    .action(async (id: string, options: Options) => {
      const result = await onStore(openGateway, options, (at) => closeNow(id, 'operator', at))
      if (!result.ok) return done(refusal(result.issues, options))
      const { period, closedNow, issuedNow } = result.value
      const words = issuedNow
        ? `is closed, and average ${period.revision} of it is queued.`
        : closedNow
          ? 'is closed; nothing of substance changed since its last average.'
          : `was ${period.state} before.`
      done(tell(toldPeriod(period), { closedNow, issuedNow }, closedNow ? 'closed' : 'same', words, options))
    })

  command('withdraw', 'withdraw a period that was opened by mistake, and take its average back')
    .argument('<id>', 'id of the period')
    .action(async (id: string, options: Options) => {
      const result = await onStore(openGateway, options, (at) => withdrawPeriod(id, 'operator', at))
      if (!result.ok) return done(refusal(result.issues, options))
      const { period, withdrawnNow, queued } = result.value
      const words = withdrawnNow
        ? `is withdrawn. ${counted(queued, 'clinic')} ${queued === 1 ? 'is' : 'are'} told that its average stands for nothing.`
        : 'was withdrawn before.'
      const word = withdrawnNow ? 'withdrawn' : 'same'
      done(tell(toldPeriod(period), { withdrawnNow, queued }, word, words, options))
    })
}
