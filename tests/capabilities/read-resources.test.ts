import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { Readable } from 'node:stream'
import { afterAll, describe, expect, it } from 'vitest'
import { readResources } from '../../src/shell/cli/files/read-resources.ts'

const folder = mkdtempSync(join(tmpdir(), 'read-resources-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function file(name: string, content: string | Buffer): string {
  const path = join(folder, name)
  mkdirSync(dirname(path), { recursive: true })
  writeFileSync(path, content)
  return path
}

interface Told {
  readonly at: (string | number)[]
  readonly read: unknown
}

/** What was read: places relative to the folder, and the value, or the codes and places of its issues. */
async function readAll(paths: readonly string[], stdin: readonly string[] = []) {
  const found: Told[] = []
  const skipped: string[] = []
  const empty: string[] = []
  const passedOver = {
    skipped: (path: string) => skipped.push(short(path)),
    empty: (path: string) => empty.push(short(path)),
  }
  const input = Readable.from(stdin.map((text) => Buffer.from(text)))
  for await (const { place, read } of readResources(paths, input, passedOver)) {
    const { line, item } = place
    const at = [
      short(place.file),
      ...(line === undefined ? [] : [line]),
      ...(item === undefined ? [] : [item]),
    ]
    found.push({ at, read: read.ok ? read.value : read.issues.map(({ code, at: where }) => [code, where]) })
  }
  return { found, skipped, empty }
}

const noted = () => undefined

function short(path: string): string {
  return path.replace(`${folder}/`, '')
}

describe('reading resources', () => {
  it('reads one resource from a file, on one line or on many', async () => {
    const plain = file('one/plain.json', '{"id":1}\n')
    const pretty = file('one/pretty.json', '{\n  "id": 2\n\n}\n')
    expect((await readAll([plain, pretty])).found).toEqual([
      { at: ['one/plain.json'], read: { id: 1 } },
      { at: ['one/pretty.json'], read: { id: 2 } },
    ])
  })

  it('says of XML that it is not read, however it begins', async () => {
    const xml = file('patient.xml', '\n  <?xml version="1.0"?>\n<Patient xmlns="http://hl7.org/fhir"/>\n')
    for await (const { read } of readResources([xml], Readable.from([]), { skipped: noted, empty: noted })) {
      expect(read).toMatchObject({
        ok: false,
        issues: [{ code: 'NOT_JSON', expected: 'FHIR as JSON: XML is not read here' }],
      })
    }
    expect.assertions(1)
  })

  it('reads each item of an array, with its position', async () => {
    const path = file('array.json', '[{"id":1},\n{"id":2}]')
    expect((await readAll([path])).found).toEqual([
      { at: ['array.json', 1], read: { id: 1 } },
      { at: ['array.json', 2], read: { id: 2 } },
    ])
  })

  it('reads NDJSON line by line, by its name or by its look, and goes on after a line that is not JSON', async () => {
    const text = '\n{"id":1}\r\n\n{"id":\n{"id":3}'
    const named = file('lines.ndjson', text)
    const looking = file('lines.json', text)
    for (const path of [named, looking]) {
      const { found } = await readAll([path])
      const name = short(path)
      expect(found).toEqual([
        { at: [name, 2], read: { id: 1 } },
        { at: [name, 4], read: [['NOT_JSON', expect.stringMatching(/^column \d+$/)]] },
        { at: [name, 5], read: { id: 3 } },
      ])
    }
  })

  it('reads standard input where nothing or a dash is named, however it was cut', async () => {
    const cut = ['{"i', 'd":1}\n{"id"', ':2}\n']
    for (const paths of [[], ['-']]) {
      expect((await readAll(paths, cut)).found).toEqual([
        { at: ['-', 1], read: { id: 1 } },
        { at: ['-', 2], read: { id: 2 } },
      ])
    }
  })

  it('walks folders by name, reads .json and .ndjson, and tells what it left out', async () => {
    file('tree/b.json', '{"id":"b"}')
    file('tree/a/z.NDJSON', '{"id":"z"}')
    file('tree/a/notes.txt', 'not for reading')
    symlinkSync(join(folder, 'tree'), join(folder, 'tree/a/circle'))
    symlinkSync(join(folder, 'tree/b.json'), join(folder, 'tree/c.json'))
    const { found, skipped } = await readAll([join(folder, 'tree')])
    expect(found.map(({ at }) => at)).toEqual([['tree/a/z.NDJSON', 1], ['tree/b.json'], ['tree/c.json']])
    expect(skipped).toEqual(['tree/a/circle', 'tree/a/notes.txt'])
  })

  it('tells each file that holds nothing, and each named folder without a file to read', async () => {
    const list = file('hollow/arr.json', '[]')
    file('hollow/e.ndjson', '\n\n')
    file('hollow/inner/full.json', '{"id":1}')
    file('bare/notes.txt', 'none')
    mkdirSync(join(folder, 'bare/inner'))
    const { found, empty } = await readAll([join(folder, 'hollow'), join(folder, 'bare'), list, '-'], ['[ ]'])
    expect(found.map(({ at }) => at)).toEqual([['hollow/inner/full.json']])
    expect(empty).toEqual(['hollow/arr.json', 'hollow/e.ndjson', 'bare', 'hollow/arr.json', '-'])
  })

  it('tells in which line of a file the JSON breaks, blank lines counted', async () => {
    const path = file('broken.json', '{\n\n\n  "id": x\n}')
    expect((await readAll([path])).found).toEqual([
      { at: ['broken.json'], read: [['NOT_JSON', 'line 4, column 9']] },
    ])
  })

  it('refuses an empty file, text that is not UTF-8, a key given twice and nesting beyond the limit', async () => {
    const paths = [
      file('bad/empty.json', ''),
      file('bad/latin.json', Buffer.from('{"id":"\xe9"}', 'latin1')),
      file('bad/twice.json', '{"id":1,"id":2}'),
      file('bad/deep.json', `${'['.repeat(300)}${']'.repeat(300)}`),
    ]
    expect((await readAll(paths)).found.map(({ read }) => read)).toEqual([
      [['NOT_JSON', expect.any(String)]],
      [['NOT_IN_ENCODING', '']],
      [['DUPLICATE_KEY', 'id']],
      [['TOO_DEEP', '']],
    ])
  })

  it('fails for a path that is not there, naming it', async () => {
    await expect(readAll([join(folder, 'absent.json')])).rejects.toMatchObject({
      code: 'NOT_FOUND',
      message: expect.stringContaining('absent.json'),
    })
  })
})
