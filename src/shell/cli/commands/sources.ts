import { type Command, Option } from 'commander'
import { issueText } from '../../../core/basics/issue.ts'
import type { Result } from '../../../core/basics/result.ts'
import type { Role } from '../../../core/registry/source.ts'
import { issueKey, registerSource } from '../../../flow/register-source.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { settingsOption } from '../settings-option.ts'
import { bad, quiet, strong, type Terminal } from '../terminal.ts'

interface StoreOptions {
  readonly settings?: string
  readonly json?: true
}

/** `sources`: register a home app or feed, and make API keys. Works on the store directly, beside the service too. */
export function addSources(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const sources = program
    .command('sources')
    .summary('register home apps and feeds, make API keys')
    .description(
      'Registers sources and makes API keys, on the store directly; the service may go on running.',
    )

  settingsOption(sources.command('add'))
    .description('register a home app or feed')
    .argument('<name>', 'lower-case name, used in paths and identifiers')
    .option('--title <text>', 'what people call it')
    .option('--json', 'the answer as JSON')
    .action(async (name: string, options: StoreOptions & { title?: string }) => {
      const source = { name, title: options.title ?? name }
      const result = await onStore(openGateway, options, (at) => registerSource(source, 'operator', at))
      done(told(result, options, terminal, () => `${strong(name)} is registered.`))
    })

  settingsOption(sources.command('key'))
    .description('make an API key; it is shown once and kept only as a digest')
    .argument('[name]', 'the source it speaks for (role submit)')
    .addOption(
      new Option('--role <role>', 'what it may do')
        .choices(['submit', 'read', 'operate', 'audit'])
        .default('submit'),
    )
    .option('--json', 'the answer as JSON')
    .action(async (name: string | undefined, options: StoreOptions & { role: Role }) => {
      const request = { role: options.role, ...(name === undefined ? {} : { source: name }) }
      const result = await onStore(openGateway, options, (at) => issueKey(request, 'operator', at))
      done(
        told(
          result,
          options,
          terminal,
          ({ key }) => `${key}\n${quiet('Keep it now: it is not shown again.')}`,
        ),
      )
    })
}

function told<T>(
  result: Result<T>,
  options: StoreOptions,
  terminal: Terminal,
  words: (value: T) => string,
): ExitCode {
  if (!result.ok) {
    if (options.json) terminal.print(JSON.stringify({ issues: result.issues }))
    else
      for (const issue of result.issues)
        terminal.remark(`${bad('refused')}  ${issueText(issue)} [${issue.code}]`)
    return EXIT.refused
  }
  terminal.print(options.json ? JSON.stringify(result.value) : words(result.value))
  return EXIT.done
}
