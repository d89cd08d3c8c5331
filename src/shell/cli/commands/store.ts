import { existsSync } from 'node:fs'
import type { Command } from 'commander'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { instantOf } from '../../../core/basics/instant.ts'
import { copyStore } from '../../store/copies/copy-store.ts'
import { type Replaced, replaceStore } from '../../store/copies/replace-store.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { quiet, type Terminal } from '../terminal.ts'

interface StoreOptions {
  readonly settings?: string
  readonly json?: true
}

/** `store`: the file that holds everything. */
export function addStore(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const store = program
    .command('store')
    .summary('copy the file that holds everything, and go on from a copy')
    .description('Works on the store directly.')

  settingsOption(store.command('copy'))
    .description(
      'make a copy from which a gateway can go on after a loss; the service may go on running. It holds health data and is ' +
        'readable by its owner alone.',
    )
    .argument('<file>', 'the copy; there must be no such file yet')
    .option('--json', 'the answer as JSON')
    .action(async (into: string, options: StoreOptions) => {
      const { file } = loadSettings(options.settings).store
      if (!existsSync(file))
        throw new StoreFailed(`there is no store ${file} to copy. Name its settings by --settings.`)
      await onStore(openGateway, options, async ({ store: kept, clock }) => {
        // Before the copy, which holds the row as well: that health data was taken along is told wherever it is.
        await kept.recordAudit({
          at: instantOf(clock.now()).text,
          actor: 'operator',
          action: 'store-copied',
          about: '',
          outcome: 'done',
          detail: {},
        })
        copyStore(file, into)
      })
      terminal.print(options.json ? JSON.stringify({ file: into }) : `copied  ${into}`)
      done(EXIT.done)
    })

  settingsOption(store.command('replace'))
    .description('put a copy in the place of the store, which is kept beside it, with the service stopped')
    .argument('<copy>', 'a file that store copy made')
    .option('--json', 'the answer as JSON')
    .action((copy: string, options: StoreOptions) => {
      const { store: kept, destinations } = loadSettings(options.settings)
      const names = destinations.filter(({ kind }) => kind === 'fhir').map(({ name }) => name)
      const replaced = replaceStore(kept.file, copy, names, Date.now())
      if (options.json) terminal.print(JSON.stringify({ file: kept.file, ...replaced }))
      else for (const line of replacedLines(kept.file, replaced)) terminal.print(line)
      done(EXIT.done)
    })
}

function replacedLines(file: string, { before, uncertain }: Replaced): readonly string[] {
  return [
    `replaced  ${file}`,
    ...(before === undefined ? [] : [quiet(`  what was there before is ${before}`)]),
    quiet(`  open deliveries: ${uncertain}; each is looked for before it is sent`),
    quiet('  clinics whose servers cannot be asked are stopped until somebody resumes them'),
    quiet('  have sources send again what they sent since the copy: what is known is not kept twice'),
  ]
}
