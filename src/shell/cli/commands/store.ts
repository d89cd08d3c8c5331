import { existsSync } from 'node:fs'
import type { Command } from 'commander'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { instantOf } from '../../../core/basics/instant.ts'
import { copyStore, type StoreCopy } from '../../store/copy-store.ts'
import { replaceStore } from '../../store/replace-store.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { loadSettings, settingsOption } from '../settings-option.ts'
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
      const copy = await onStore(openGateway, options, async ({ store: kept, clock }) => {
        const nowMs = clock.now()
        // Before the copy, which holds the row as well: that health data was taken along is told wherever it is.
        await kept.recordAudit({
          at: instantOf(nowMs).text,
          actor: 'operator',
          action: 'store-copied',
          about: '',
          outcome: 'done',
          detail: {},
        })
        return copyStore(file, into, nowMs)
      })
      if (options.json) terminal.print(JSON.stringify({ file: into, ...copy }))
      else for (const line of copyLines(into, copy)) terminal.print(line)
      done(EXIT.done)
    })

  settingsOption(store.command('replace'))
    .description('put a copy in the place of the store, which is kept beside it, with the service stopped')
    .argument('<copy>', 'a file that store copy made')
    .option('--json', 'the answer as JSON')
    .action((copy: string, options: StoreOptions) => {
      const { file } = loadSettings(options.settings).store
      const moment = new Date().toISOString().replaceAll(/[-:]|\.\d+/g, '')
      const before = replaceStore(file, copy, moment)
      if (options.json) terminal.print(JSON.stringify(before === undefined ? { file } : { file, before }))
      else {
        terminal.print(`replaced  ${file}`)
        if (before !== undefined) terminal.print(quiet(`  what was there before is ${before}`))
        terminal.print(
          quiet('  have sources send again what they sent since the copy: what is known is not kept twice'),
        )
      }
      done(EXIT.done)
    })
}

function copyLines(into: string, { uncertain, stopped }: StoreCopy): readonly string[] {
  return [
    `copied  ${into}`,
    quiet(
      `  open deliveries: ${uncertain}; a gateway that goes on from it looks for each before it sends it`,
    ),
    ...stopped.map((name) =>
      quiet(
        `  and sends nothing to ${name} until somebody has looked there and resumes it: its server cannot be asked`,
      ),
    ),
  ]
}
