import { type Command, InvalidArgumentError, Option } from 'commander'
import { isCalendarDayText } from '../../../core/basics/instant.ts'
import { issueText } from '../../../core/basics/issue.ts'
import { addDays, daysBetween, type LocalDay, localTime } from '../../../core/basics/local-day.ts'
import type { CheckedSession } from '../../../core/clinical/averaging/period-average.ts'
import {
  DISPOSITIONS,
  type Disposition,
  type FindingPolicy,
  POLICY_CODES,
  type PolicyCode,
} from '../../../core/clinical/finding-policy.ts'
import { type Arm, timeOf } from '../../../core/clinical/session.ts'
import { implausibleDays } from '../../../core/record/period-days.ts'
import { bad } from '../terminal.ts'
import { type PersonOptions, personOptions } from './person-options.ts'

/** Options of the commands that average one person's sessions. */
export interface PeriodOptions extends PersonOptions {
  readonly protocolsFolder?: string
  readonly firstDay?: LocalDay
  readonly days?: number
  readonly arm?: Arm
  readonly finding: FindingPolicy
  readonly decimals: '0' | '1'
  readonly json?: true
}

/** @param daysByDefault what stands for the days when they are not given, for the help. */
export function periodOptions(command: Command, daysByDefault: string): Command {
  return personOptions(command)
    .option('--protocols-folder <folder>', 'a folder of your own protocol files')
    .option(
      '--first-day <day>',
      'first local day, such as 2026-03-02 (default: the day of the first reading at home, or of a recording)',
      calendarDay,
    )
    .option('--days <number>', `local days in the period (default: ${daysByDefault})`, wholeDays)
    .addOption(new Option('--arm <arm>', 'the arm to average').choices(['left', 'right']))
    .addOption(
      new Option(
        '--finding <code=what>',
        'what a finding does to the average: exclude, flag or ignore; may be repeated',
      )
        .argParser(findingChoice)
        .default({}, 'warnings are flagged, nothing is excluded'),
    )
    .addOption(new Option('--decimals <digits>', 'digits after the point').choices(['0', '1']).default('1'))
    .option('--json', 'the result as JSON')
}

/** Why the days that are asked for cannot be meant, as a line to tell; undefined where they can. */
export function wrongDaysLine({
  firstDay,
  days = 1,
}: Pick<PeriodOptions, 'firstDay' | 'days'>): string | undefined {
  if (firstDay === undefined) return undefined
  const issue = implausibleDays({ firstDay, lastDay: addDays(firstDay, days - 1) }, Date.now())
  if (issue === undefined) return undefined
  return `${bad('usage')}  ${issueText({ ...issue, at: issue.at === 'days' ? '--days' : '--first-day' })}`
}

/**
 * First and last local day with a reading of the setting that is averaged: a clinic's reading before the week at home
 * begins no week. Where there is none of it, of any setting; undefined when there is no reading.
 */
export function daysMeasured(
  sittings: readonly CheckedSession[],
  zone: string,
  averaged: 'home' | 'ambulatory',
): { readonly firstDay: LocalDay; readonly lastDay: LocalDay } | undefined {
  const ofSetting = sittings.filter(({ session }) => session.setting === averaged)
  const times = (ofSetting.length > 0 ? ofSetting : sittings).flatMap(({ session }) =>
    session.readings.map((one) => timeOf(one, session).epochMs),
  )
  if (times.length === 0) return undefined
  return { firstDay: dayOf(Math.min(...times), zone), lastDay: dayOf(Math.max(...times), zone) }
}

/** The days to average: as asked, or from the day of the first reading for as long as `length` says. */
export function periodDays(
  measured: { readonly firstDay: LocalDay; readonly lastDay: LocalDay },
  options: Pick<PeriodOptions, 'firstDay' | 'days'>,
  length: 'as measured' | number,
): { readonly firstDay: LocalDay; readonly lastDay: LocalDay } {
  const firstDay = options.firstDay ?? measured.firstDay
  const asMeasured = Math.max(1, daysBetween(firstDay, measured.lastDay) + 1)
  const days = options.days ?? (length === 'as measured' ? asMeasured : length)
  return { firstDay, lastDay: addDays(firstDay, days - 1) }
}

function dayOf(epochMs: number, zone: string): LocalDay {
  return localTime(epochMs, zone).day
}

/** A day of the calendar, as an option takes it. */
export function calendarDay(text: string): LocalDay {
  if (!isCalendarDayText(text)) throw new InvalidArgumentError('Give a calendar day such as 2026-03-02.')
  return text
}

/** How many days, as an option takes it. */
export function wholeDays(text: string): number {
  const days = Number(text)
  if (!Number.isInteger(days) || days < 1 || days > 366)
    throw new InvalidArgumentError('Give whole days, 1 to 366.')
  return days
}

function findingChoice(text: string, before: FindingPolicy): FindingPolicy {
  const [code = '', what = ''] = text.split('=')
  if (!isPolicyCode(code))
    throw new InvalidArgumentError(`Give one of these findings: ${POLICY_CODES.join(', ')}.`)
  if (!isDisposition(what))
    throw new InvalidArgumentError('Give exclude, flag or ignore after the equals sign.')
  return { ...before, [code]: what }
}

function isPolicyCode(text: string): text is PolicyCode {
  return (POLICY_CODES as readonly string[]).includes(text)
}

function isDisposition(text: string): text is Disposition {
  return (DISPOSITIONS as readonly string[]).includes(text)
}
