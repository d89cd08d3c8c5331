/** `mapping list`, `mapping check` and `receive`: other formats at the command line. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const OPEN_MHEALTH = 'samples/mapped/open-mhealth.ndjson'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'mapping-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

async function run(...words: readonly string[]) {
  const terminal = recordedTerminal()
  const code = await runCommandLine(words, terminal, openGateway, '0.0.0')
  // biome-ignore lint/suspicious/noControlCharactersInRegex: colours of the terminal
  const plain = (text: string) => text.replaceAll(/\u001b\[\d+m/g, '')
  return { code, output: plain(terminal.output()), remarks: plain(terminal.remarks()) }
}

describe('mapping list', () => {
  it('names the mappings that ship and what they read', async () => {
    const { code, output } = await run('mapping', 'list', '--json')
    expect(code).toBe(0)
    expect(JSON.parse(output)).toContainEqual(expect.objectContaining({ name: 'hl7v2-oru', format: 'hl7v2' }))
  })
})

describe('mapping check', () => {
  it('shows each value with the line of its rule and where it came from', async () => {
    const { code, output, remarks } = await run('mapping', 'check', 'open-mhealth', OPEN_MHEALTH)
    expect(code).toBe(0)
    expect(output).toMatch(/^passes {2}samples\/mapped\/open-mhealth\.ndjson, lines 1, 2, 3, 4$/m)
    expect(output).toMatch(/readings\[0\]\.pulse +67 +line \d+ +\$\.body\.heart_rate\.value \(line 2\)/)
    expect(output).toContain('It would become 4 Observations.')
    expect(remarks).toContain('3 would pass, 0 refused, 0 left out. Nothing was stored.')
    expect(remarks).toContain('not a diagnosis')
  })

  it('tells what would be refused, by line, source place and rule, and ends with 1', async () => {
    const diary = 'samples/mapped/diary-one-row-per-reading.csv'
    const { code, output } = await run('mapping', 'check', 'diary-one-row-per-reading', diary)
    expect(code).toBe(1)
    expect(output.replaceAll(/\s+/g, ' ')).toMatch(
      /refused line 2, Date, Heure, by diary-one-row-per-reading\.json:\d+: (takenAt|readings\[0\]\.takenAt): expected .* \[TIME_NEEDS_OFFSET\]/,
    )
    const zoned = await run('mapping', 'check', 'diary-one-row-per-reading', diary, '--zone', 'Europe/London')
    expect(zoned.code).toBe(0)
  })

  it('reads a record a line also where the name of the file does not say so', async () => {
    const text = readFileSync(OPEN_MHEALTH, 'utf8')
    const [line = ''] = text.split('\n')
    const documents = [`${JSON.stringify(JSON.parse(line), null, 2)}\n`, `[${line}]`, line, `${line}\n`]
    const verdicts = async (content: string) => {
      const file = join(folder, 'export.txt')
      writeFileSync(file, content)
      return (await run('mapping', 'check', 'open-mhealth', file)).remarks.split('\n')[0]
    }
    expect(await verdicts(text)).toBe('3 would pass, 0 refused, 0 left out. Nothing was stored.')
    for (const one of documents) {
      expect(await verdicts(one)).toBe('1 would pass, 0 refused, 0 left out. Nothing was stored.')
    }
  })

  it('checks a mapping alone, by the path of its file', async () => {
    const { code, output } = await run('mapping', 'check', 'mappings/open-mhealth.json')
    expect(code).toBe(0)
    expect(output).toContain('open-mhealth can be used')
  })

  it('tells what is wrong with a mapping, by its line, and ends with 1', async () => {
    const file = join(folder, 'ours.json')
    const text = readFileSync('mappings/open-mhealth.json', 'utf8')
      .replace('"name": "open-mhealth"', '"name": "ours"')
      .replace('"from": "$.header.user_id"', '"from": "$..user_id"')
    writeFileSync(file, text)
    const line = text.split('\n').findIndex((one) => one.includes('$..user_id')) + 1
    const { code, remarks } = await run('mapping', 'check', file)
    expect(code).toBe(1)
    expect(remarks).toMatch(/^refused /)
    expect(remarks).toContain(`ours.json:${line}`)
  })

  it('says which mappings there are when it is asked for another', async () => {
    const { code, remarks } = await run('mapping', 'check', 'no-such', OPEN_MHEALTH)
    expect(code).toBe(2)
    expect(remarks).toContain('open-mhealth')
  })
})

describe('receive', () => {
  const settings = () => {
    const file = join(folder, 'gateway.json')
    const sources = [{ name: 'harbour-app', title: 'Harbour home app' }]
    writeFileSync(
      file,
      JSON.stringify({ store: { file: join(folder, 'gateway.db') }, sources, log: { level: 'silent' } }),
    )
    return file
  }
  const receive = (file: string, ...words: readonly string[]) =>
    run('receive', '--source', 'harbour-app', '--settings', settings(), ...words, file)

  it('takes a file through a mapping, and the same again changes nothing', async () => {
    const first = await receive(OPEN_MHEALTH, '--mapping', 'open-mhealth', '--json')
    expect(first.code).toBe(0)
    const lines = first.output.split('\n').map((line) => JSON.parse(line))
    expect(lines[0]).toMatchObject({
      file: OPEN_MHEALTH,
      lines: [1, 2, 3, 4],
      kind: 'kept',
      receipt: { version: 1 },
    })
    expect(lines.at(-1)).toMatchObject({ summary: { kept: 3, same: 0, refused: 0 } })
    const again = await receive(OPEN_MHEALTH, '--mapping', 'open-mhealth')
    expect(again).toMatchObject({
      code: 0,
      remarks: expect.stringContaining('0 kept, 3 known already, 0 refused'),
    })
  })

  it('takes session records as they are, and goes on where it broke off', async () => {
    const file = join(folder, 'part.ndjson')
    const text = readFileSync('samples/sessions/HW-1001.ndjson', 'utf8')
    const [first = ''] = text.split('\n')
    writeFileSync(file, `${first}\n`)
    expect((await receive(file)).remarks).toContain('1 kept')
    writeFileSync(file, text)
    const count = text.trimEnd().split('\n').length
    expect((await receive(file)).remarks).toContain(`${count - 1} kept, 1 known already, 0 refused`)
  })

  it('keeps what passes, lists what does not by its line, and ends with 1', async () => {
    const file = join(folder, 'spoilt.ndjson')
    const lines = readFileSync(OPEN_MHEALTH, 'utf8').trimEnd().split('\n')
    lines[4] = lines[4]?.replace('"unit":"mmHg"', '"unit":"mmH"') ?? ''
    writeFileSync(file, lines.join('\n'))
    const { code, remarks } = await receive(file, '--mapping', 'open-mhealth')
    expect(code).toBe(1)
    expect(remarks).toMatch(/refused {2}\S+spoilt\.ndjson {2}line 5, .*by open-mhealth\.json:\d+/)
    expect(remarks).toContain('2 kept, 0 known already, 1 refused')
  })

  it('refuses a source nobody registered and a file that is not there', async () => {
    const words = ['receive', '--settings', settings(), '--source']
    expect((await run(...words, 'nobody', OPEN_MHEALTH)).remarks).toContain('UNKNOWN_SOURCE')
    const missing = await run(...words, 'harbour-app', '--mapping', 'open-mhealth', join(folder, 'none.json'))
    expect(missing).toMatchObject({ code: 3, remarks: expect.stringContaining('cannot read') })
  })
})
