/**
 * What a file of session records may hold, by the command line and by HTTP alike: what one door refuses the other does
 * not keep.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'records-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

let door: OpenDoor
beforeAll(async () => {
  door = await openDoor()
})
afterAll(() => door.close())

const record = (id: string, note = 'Grüße') => JSON.stringify(rawRecord({ id, note }))
const latin = (text: string) => Buffer.from(text, 'latin1')

/** What is kept and what is refused of a file, told by `receive` as one line of JSON for each record. */
async function received(name: string, content: string | Buffer) {
  const file = join(folder, name)
  const settings = join(folder, 'gateway.json')
  writeFileSync(file, content)
  writeFileSync(
    settings,
    JSON.stringify({
      store: { file: join(folder, 'gateway.db') },
      sources: [{ name: 'harbour-app', title: 'Harbour home app' }],
      log: { level: 'silent' },
    }),
  )
  const at = recordedTerminal()
  const words = ['receive', '--json', '--source', 'harbour-app', '--settings', settings, file]
  const exit = await runCommandLine(words, at, openGateway, '0.0.0')
  return { exit, told: outcomesIn(at.output()) }
}

async function overHttp(content: string | Buffer) {
  const answer = await ask(door.url, '/sessions?source=harbour-app', {
    method: 'POST',
    headers: { 'Content-Type': 'application/x-ndjson' },
    body: content,
  })
  return outcomesIn(answer.text)
}

interface Told {
  readonly outcome?: string
  readonly kind?: string
  readonly code?: string
  readonly issues?: readonly { readonly code: string }[]
}

/** What became of each record, in the words both doors have for it, with the code of what is refused. */
function outcomesIn(text: string): readonly string[] {
  const told = text.split('\n').flatMap((line): Told[] => (line === '' ? [] : [JSON.parse(line)]))
  return told.flatMap(({ outcome, kind, code, issues }) => {
    const what = outcome ?? kind
    return what === undefined ? [] : [[what, code ?? issues?.[0]?.code].filter(Boolean).join(' ')]
  })
}

describe('a file of records', () => {
  it.each<[string, string | Buffer, readonly string[]]>([
    ['that ends without LF', `${record('a-1')}\n${record('a-2')}`, ['kept', 'kept']],
    ['with CR before each LF', `${record('b-1')}\r\n\r\n${record('b-2')}\r\n`, ['kept', 'kept']],
    ['with CR alone between records', `${record('c-1')}\r${record('c-2')}\r`, ['refused NOT_JSON']],
    ['with U+2028 in a text', `${record('d-1', 'one\u2028two')}\n`, ['kept']],
    [
      'with a line that is not UTF-8',
      Buffer.concat([
        Buffer.from(`${record('e-1')}\n`),
        latin(`${record('e-2')}\n`),
        Buffer.from(record('e-3')),
      ]),
      ['kept', 'refused NOT_IN_ENCODING', 'kept'],
    ],
    [
      'with a line that is too long',
      `${record('f-1', 'x'.repeat(1_100_000))}\n${record('f-2')}\n`,
      ['refused TOO_LARGE', 'kept'],
    ],
  ])('%s comes in the same way by both doors', async (_, content, outcomes) => {
    expect(await overHttp(content)).toEqual(outcomes)
    const { exit, told } = await received('records.ndjson', content)
    expect(told).toEqual(outcomes)
    expect(exit).toBe(outcomes.every((outcome) => outcome === 'kept') ? 0 : 1)
  })

  it.each<[string, string | Buffer, readonly string[]]>([
    [
      'a line is not',
      Buffer.concat([Buffer.from(`${record('i-1')}\n`), latin(record('i-2'))]),
      ['kept', 'refused NOT_IN_ENCODING'],
    ],
    ['all is', `${record('j-1')}\r\n${record('j-2')}\n`, ['kept', 'kept']],
  ])(
    'under a name that does not say that it has one a line is read so all the same, where %s in UTF-8',
    async (_, content, outcomes) => {
      expect((await received('records.txt', content)).told).toEqual(outcomes)
    },
  )

  it('that is one record, and not in UTF-8, is refused and not kept with other letters', async () => {
    expect(await received('one.json', latin(record('g-1')))).toEqual({
      exit: 1,
      told: ['refused NOT_IN_ENCODING'],
    })
  })

  it.each(['convert', 'average'])('is not read with other letters by %s', async (command) => {
    const file = join(folder, 'records.ndjson')
    writeFileSync(file, Buffer.concat([Buffer.from(`${record('h-1')}\n`), latin(record('h-2'))]))
    const at = recordedTerminal()
    const words =
      command === 'convert' ? ['--source', 'harbour-app'] : ['--protocol', 'cmaj-2021-home', '--zone', 'UTC']
    expect(await runCommandLine([command, ...words, file], at, openGateway, '0.0.0')).toBe(1)
    expect(at.remarks()).toContain('records.ndjson:2  the record: expected a line in UTF-8.')
    expect(at.output()).not.toContain('\ufffd')
  })
})
