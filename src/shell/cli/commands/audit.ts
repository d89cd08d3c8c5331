import { type Command, Option } from 'commander'
import { AUDIT_ACTIONS } from '../../../core/audit/audit-entry.ts'
import { type ChainBreak, type ChainPlace, placeText } from '../../../core/audit/chain.ts'
import type { AuditFilter } from '../../../flow/ports/ports.ts'
import type { AuditVerdict } from '../../../flow/prove/verify-audit.ts'
import { verifyFile } from '../../store/audit/verify-file.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { keptPlace } from '../options/kept-place.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { wholeNumber } from '../options/whole-number.ts'
import { bad, good, quiet, type Terminal } from '../terminal.ts'
import { auditTable } from '../told/audit-table.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

interface VerifyOptions extends Options {
  readonly kept?: ChainPlace
}

interface ListOptions extends Options, AuditFilter {
  readonly limit: number
  readonly after: number
}

/** `audit`: the trail of who did what and was shown what, and whether it is still the one that was written. */
export function addAudit(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const audit = program
    .command('audit')
    .summary('read and check the trail of who did what')
    .description('Reads and checks the audit trail, on the file of the store; the service may go on running.')

  settingsOption(audit.command('list'))
    .description('who did what and was shown what, in order')
    .addOption(new Option('--action <action>', 'only what was done like this').choices(AUDIT_ACTIONS))
    .option('--about <id>', 'only what was done to this: a session, a period, a delivery, a source')
    .option('--actor <name>', 'only what this one did; without the id of a key, with any of its keys')
    .option('--limit <number>', 'at most this many', wholeNumber, 50)
    .option('--after <row>', 'those after this row', wholeNumber, 0)
    .option('--json', 'the answer as JSON')
    .action(async ({ settings, json, after, ...which }: ListOptions) => {
      const rows = await onStore(openGateway, settings === undefined ? {} : { settings }, ({ store }) =>
        store.auditPage({ after: String(after), ...which }),
      )
      if (json) terminal.print(JSON.stringify({ items: rows }))
      else if (rows.length === 0) terminal.print(quiet('no row'))
      else terminal.print(auditTable(rows))
      const last = rows.at(-1)
      if (last !== undefined && rows.length === which.limit) {
        terminal.remark(quiet(`more with --after ${last.seq}`))
      }
      done(EXIT.done)
    })

  settingsOption(audit.command('verify'))
    .description(
      'compute the hash of every audit row again; ends with 1 at the first row that was changed, added or is missing',
    )
    .argument('[file]', 'the file of a store, such as a copy (default: the store of the settings)')
    .option(
      '--kept <row:hash>',
      'what an earlier check told to keep: ends with 1 as well where the trail does not go through it any more',
      keptPlace,
    )
    .option('--json', 'the answer as JSON')
    .action(async (file: string | undefined, options: VerifyOptions) => {
      const verdict = await verifyFile(file ?? loadSettings(options.settings).store.file, options.kept)
      if (options.json) terminal.print(JSON.stringify(verdict))
      else for (const line of verdictLines(verdict, options.kept)) terminal.print(line)
      done(verdict.intact ? EXIT.done : EXIT.refused)
    })
}

function verdictLines({ rows, hash, broken }: AuditVerdict, kept: ChainPlace | undefined): readonly string[] {
  if (broken === undefined) {
    const through = kept === undefined ? '' : `, and row ${kept.seq} is the one that was kept`
    const counted = `${good('intact')}  ${rows} audit rows, each follows from the one before${through}.`
    if (rows === 0) return [counted]
    return [
      `${counted} The last one:`,
      placeText({ seq: rows, hash }),
      quiet('Keep it elsewhere, for --kept: rows cut off the end, or written anew, show only beside it.'),
    ]
  }
  return [
    `${bad('broken')}  ${breakLine(broken)}`,
    quiet(`The ${broken.what === 'rewritten' ? rows - 1 : rows} rows before it follow from one another.`),
  ]
}

function breakLine({ seq, what }: ChainBreak): string {
  switch (what) {
    case 'added':
      return `row ${seq} was added: the first row that is ever written is row 1.`
    case 'missing':
      return `row ${seq} is missing, and later ones are there.`
    case 'cut-off':
      return `the rows from ${seq} on are no more: the trail was longer when the place was kept.`
    case 'rewritten':
      return `row ${seq} has another hash than was kept: it, or a row before it, was written anew with all that follow.`
    case 'changed':
      return `row ${seq} was changed, or the one before it together with its hash.`
  }
}
