import type { Command } from 'commander'
import type { ChainBreak } from '../../../core/audit/chain.ts'
import type { AuditVerdict } from '../../../flow/prove/verify-audit.ts'
import { verifyFile } from '../../store/audit/verify-file.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { bad, good, quiet, type Terminal } from '../terminal.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

/** `audit`: whether the trail of who did what is still the one that was written. */
export function addAudit(program: Command, terminal: Terminal, done: (code: ExitCode) => void): void {
  const audit = program
    .command('audit')
    .summary('check the trail of who did what')
    .description('Checks the audit trail, on the file of the store; the service may go on running.')

  settingsOption(audit.command('verify'))
    .description(
      'compute the hash of every audit row again; ends with 1 at the first row that was changed, added or is missing',
    )
    .argument('[file]', 'the file of a store, such as a copy (default: the store of the settings)')
    .option('--json', 'the answer as JSON')
    .action(async (file: string | undefined, options: Options) => {
      const verdict = await verifyFile(file ?? loadSettings(options.settings).store.file)
      if (options.json) terminal.print(JSON.stringify(verdict))
      else for (const line of verdictLines(verdict)) terminal.print(line)
      done(verdict.intact ? EXIT.done : EXIT.refused)
    })
}

function verdictLines({ rows, hash, broken }: AuditVerdict): readonly string[] {
  if (broken === undefined) {
    return [
      `${good('intact')}  ${rows} audit rows, each follows from the one before. The last one’s hash:`,
      hash,
      quiet('Keep it elsewhere: rows cut off the end show only beside a hash that was kept.'),
    ]
  }
  return [
    `${bad('broken')}  ${breakLine(broken)}`,
    quiet(`The ${rows} rows before it follow from one another.`),
  ]
}

function breakLine({ seq, what }: ChainBreak): string {
  switch (what) {
    case 'added':
      return `row ${seq} was added: the first row that is ever written is row 1.`
    case 'missing':
      return `row ${seq} is missing, and later ones are there.`
    case 'changed':
      return `row ${seq} was changed, or the one before it together with its hash.`
  }
}
