import { type Command, InvalidArgumentError, Option } from 'commander'
import { KEY_ID, type Role } from '../../../core/registry/source.ts'
import { issueKey, revokeKey, type ToldKey, toldKeys } from '../../../flow/register/access-keys.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { settingsOption } from '../options/settings-option.ts'
import { bad, quiet, strong, type Terminal, table } from '../terminal.ts'
import { toldResult } from '../told/told-result.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

/** `sources key`, `keys` and `revoke-key`: who may do what over HTTP. */
export function addAccessKeys(
  sources: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  settingsOption(sources.command('key'))
    .description('make an API key; it is shown once and kept only as a digest')
    .argument('[name]', 'the source it speaks for (role submit)')
    .addOption(
      new Option('--role <role>', 'what it may do')
        .choices(['submit', 'read', 'operate', 'audit'])
        .default('submit'),
    )
    .option('--label <text>', 'what it is called in lists; name no patient', labelText)
    .option('--json', 'the answer as JSON')
    .action(async (source: string | undefined, options: Options & { role: Role; label?: string }) => {
      const { role, label } = options
      if (source !== undefined && role !== 'submit') {
        throw new InvalidArgumentError(
          `A key of the role ${role} is for all sources: leave ${source} out, or make one of the role submit for it.`,
        )
      }
      if (source === undefined && role === 'submit') {
        throw new InvalidArgumentError(
          'Name the source that the key is for, or give --role read, operate or audit for one that is for all.',
        )
      }
      const asked = {
        role,
        ...(source === undefined ? {} : { source }),
        ...(label === undefined ? {} : { label }),
      }
      const result = await onStore(openGateway, options, (at) => issueKey(asked, 'operator', at))
      const words = ({ key, id }: { readonly key: string; readonly id: string }) =>
        `${key}\n${quiet(`Keep it now: it is not shown again. Its id is ${id}.`)}`
      done(toldResult(result, options, terminal, words))
    })

  settingsOption(sources.command('keys'))
    .description('the API keys there are, each with its id; never the keys themselves')
    .option('--json', 'the answer as JSON')
    .action(async (options: Options) => {
      const keys = await onStore(openGateway, options, toldKeys)
      if (options.json) terminal.print(JSON.stringify({ items: keys }))
      else terminal.print(keys.length === 0 ? quiet('no key') : listed(keys))
      done(EXIT.done)
    })

  settingsOption(sources.command('revoke-key'))
    .description('make an API key open nothing any more, in a running service too, from its next request on')
    .argument('<id>', 'id of the key, as the list tells it')
    .option('--json', 'the answer as JSON')
    .action(async (id: string, options: Options) => {
      const revoked = KEY_ID.test(id)
        ? await onStore(openGateway, options, (at) => revokeKey(id, 'operator', at))
        : undefined
      if (revoked === undefined) {
        terminal.remark(
          `${bad('refused')}  <id>: expected the id of a key. List them with: sources keys [NOT_FOUND]`,
        )
        return done(EXIT.refused)
      }
      if (options.json) terminal.print(JSON.stringify(revoked))
      else terminal.print(`${strong(id)} opens nothing since ${revoked.revokedAt}.`)
      done(EXIT.done)
    })
}

function labelText(text: string): string {
  if (/^(?!\s)[^\p{Cc}\p{Cs}]{1,200}(?<!\s)$/u.test(text)) return text
  throw new InvalidArgumentError('Give 1 to 200 characters, without white space at either end.')
}

function listed(keys: readonly ToldKey[]): string {
  return table(
    ['Id', 'Role', 'Source', 'Label', 'Made', 'Revoked'],
    keys.map(({ id, role, source, label, madeAt, revokedAt }) => [
      id,
      role,
      source ?? '',
      label ?? '',
      madeAt ?? '',
      revokedAt ?? '',
    ]),
    [14, 9, 20, 22, 22, 22],
  )
}
