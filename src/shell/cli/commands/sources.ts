import type { Command } from 'commander'
import { registerSource } from '../../../flow/register/register-source.ts'
import type { ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { settingsOption } from '../options/settings-option.ts'
import { strong, type Terminal } from '../terminal.ts'
import { toldResult } from '../told/told-result.ts'
import { addAccessKeys } from './access-keys.ts'

interface StoreOptions {
  readonly settings?: string
  readonly json?: true
}

/** `sources`: register a home app or feed, and look after API keys. Works on the store directly. */
export function addSources(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const sources = program
    .command('sources')
    .summary('register home apps and feeds; make, list and revoke API keys')
    .description(
      'Registers sources, and makes, lists and revokes API keys, on the store directly; the service may go on running.',
    )

  settingsOption(sources.command('add'))
    .description('register a home app or feed')
    .argument('<name>', 'lower-case name, used in paths and identifiers')
    .option('--title <text>', 'what people call it')
    .option('--json', 'the answer as JSON')
    .action(async (name: string, options: StoreOptions & { title?: string }) => {
      const source = { name, title: options.title ?? name }
      const result = await onStore(openGateway, options, (at) => registerSource(source, 'operator', at))
      done(toldResult(result, options, terminal, () => `${strong(name)} is registered.`))
    })

  addAccessKeys(sources, terminal, openGateway, done)
}
