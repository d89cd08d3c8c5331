import { type Command, Option } from 'commander'
import { instantOf } from '../../../core/basics/instant.ts'
import { issueText } from '../../../core/basics/issue.ts'
import type { Result } from '../../../core/basics/result.ts'
import { KEY_SET_PATH } from '../../http/routes/signing-keys-routes.ts'
import { type KeyMaking, makeFirstKey, rotateKey } from '../../signing-keys/add-signing-key.ts'
import {
  type KeyTimes,
  type ScheduledKey,
  SIGNING_ALGORITHMS,
  type SigningAlgorithm,
  schedule,
  stateAt,
} from '../../signing-keys/key-schedule.ts'
import { readKeyFolder } from '../../signing-keys/read-key-folder.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { bad, quiet, strong, type Terminal, table } from '../terminal.ts'

interface KeysOptions {
  readonly settings?: string
  readonly json?: true
}

/** `keys`: the private keys with which this gateway proves to authorization servers who it is. */
export function addKeys(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const keys = program
    .command('keys')
    .summary('keys of ours, for clinics that give tokens (SMART Backend Services)')
    .description(
      `Makes and rotates the keys that sign for destinations with access "smart-backend". The service publishes their public halves at ${KEY_SET_PATH}, and follows every change by itself.`,
    )

  settingsOption(keys.command('list'))
    .description('the keys there are, and what each does now and next')
    .option('--json', 'the answer as JSON')
    .action(async (options: KeysOptions) => {
      const nowMs = Date.now()
      const { signingKeysFolder } = loadSettings(options.settings)
      const shown = schedule(await readKeyFolder(signingKeysFolder)).map((one) => shownKey(one, nowMs))
      if (options.json) terminal.print(JSON.stringify({ keys: shown }))
      else terminal.print(shown.length === 0 ? 'There are no keys.' : listed(shown))
      done(EXIT.done)
    })

  settingsOption(keys.command('make'))
    .description('make the first key of an algorithm')
    .addOption(
      new Option('--algorithm <name>', 'what it signs with').choices(SIGNING_ALGORITHMS).default('ES384'),
    )
    .option('--json', 'the answer as JSON')
    .action(async (options: KeysOptions & { algorithm: SigningAlgorithm }) => {
      const made = await withMaking(openGateway, options, async (at) => [
        await makeFirstKey(options.algorithm, 'operator', at),
      ])
      done(told(made, options, terminal))
    })

  settingsOption(keys.command('rotate'))
    .description('put a new key in the place of the one that signs; the old one goes when nobody needs it')
    .addOption(
      new Option('--algorithm <name>', 'only the key of this one (default: each there is)').choices(
        SIGNING_ALGORITHMS,
      ),
    )
    .option('--json', 'the answer as JSON')
    .action(async (options: KeysOptions & { algorithm?: SigningAlgorithm }) => {
      const made = await withMaking(openGateway, options, async (at) => {
        const results: Result<KeyTimes>[] = []
        for (const algorithm of await algorithmsMeant(options.algorithm, at)) {
          results.push(await rotateKey(algorithm, 'operator', at))
        }
        return results
      })
      done(told(made, options, terminal))
    })
}

/** Without a word of the operator, those that have a key; where there is none, the refusal says what to do. */
async function algorithmsMeant(
  named: SigningAlgorithm | undefined,
  { folder }: KeyMaking,
): Promise<readonly SigningAlgorithm[]> {
  if (named !== undefined) return [named]
  const held = await readKeyFolder(folder)
  const used = SIGNING_ALGORITHMS.filter((one) => held.some(({ algorithm }) => algorithm === one))
  return used.length === 0 ? SIGNING_ALGORITHMS.slice(0, 1) : used
}

/** Opens the store for the audit row; the service may have it open too. */
function withMaking<T>(
  openGateway: OpenGateway,
  options: KeysOptions,
  act: (at: KeyMaking) => Promise<T>,
): Promise<T> {
  return onStore(openGateway, options, ({ store, clock }, { signingKeysFolder }) =>
    act({ folder: signingKeysFolder, store, clock }),
  )
}

function told(results: readonly Result<KeyTimes>[], options: KeysOptions, terminal: Terminal): ExitCode {
  const made = results.flatMap((one) => (one.ok ? [one.value] : []))
  const issues = results.flatMap((one) => (one.ok ? [] : one.issues))
  if (options.json) {
    const keys = made.map((key) => ({
      kid: key.kid,
      algorithm: key.algorithm,
      announcedAt: instantOf(key.announcedMs).text,
      signsFrom: instantOf(key.signsFromMs).text,
    }))
    terminal.print(JSON.stringify({ keys, ...(issues.length === 0 ? {} : { issues }) }))
  } else {
    for (const key of made) terminal.print(announcement(key))
    for (const issue of issues) terminal.remark(`${bad('refused')}  ${issueText(issue)} [${issue.code}]`)
  }
  return issues.length === 0 ? EXIT.done : EXIT.refused
}

function announcement({ algorithm, kid, announcedMs, signsFromMs }: KeyTimes): string {
  const when = signsFromMs <= announcedMs ? 'signs now' : `signs from ${instantOf(signsFromMs).text}`
  return `${strong(kid)}  ${algorithm}, ${when}.\n${quiet(
    `Register the clinic’s client with the address of this service and ${KEY_SET_PATH}.`,
  )}`
}

interface ShownKey {
  readonly kid: string
  readonly algorithm: SigningAlgorithm
  readonly state: ReturnType<typeof stateAt>
  readonly announcedAt: string
  readonly signsFrom: string
  readonly signsUntil?: string
  readonly publishedUntil?: string
}

function shownKey(one: ScheduledKey<KeyTimes>, nowMs: number): ShownKey {
  const { key, signsUntilMs, publishedUntilMs } = one
  return {
    kid: key.kid,
    algorithm: key.algorithm,
    state: stateAt(one, nowMs),
    announcedAt: instantOf(key.announcedMs).text,
    signsFrom: instantOf(key.signsFromMs).text,
    ...(signsUntilMs === undefined ? {} : { signsUntil: instantOf(signsUntilMs).text }),
    ...(publishedUntilMs === undefined ? {} : { publishedUntil: instantOf(publishedUntilMs).text }),
  }
}

function listed(keys: readonly ShownKey[]): string {
  return table(
    ['Key', 'Algorithm', 'Now', 'Signs from', 'Signs until'],
    keys.map(({ kid, algorithm, state, signsFrom, signsUntil }) => [
      kid,
      algorithm,
      state,
      signsFrom,
      signsUntil ?? '',
    ]),
    [47, 11, 11, 22, 22],
  )
}
