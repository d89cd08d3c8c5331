import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { fileBytes } from './reopenable-bytes.ts'
import { spoolBody } from './spooled-body.ts'

const folder = mkdtempSync(join(tmpdir(), 'spool-test-'))
afterAll(() => rmSync(folder, { recursive: true }))

async function* body(...chunks: readonly (Buffer | Error)[]) {
  for (const chunk of chunks) {
    if (chunk instanceof Error) throw chunk
    yield chunk
  }
}

async function whole(bytes: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const chunks: Uint8Array[] = []
  for await (const chunk of bytes) chunks.push(chunk)
  return Buffer.concat(chunks)
}

describe('a spooled body', () => {
  it('is read from the beginning as often as needed, and twice at the same time', async () => {
    const chunks = [Buffer.alloc(70_000, 1), Buffer.alloc(0), Buffer.alloc(70_000, 2)]
    const spooled = await spoolBody(body(...chunks), 140_000, folder)
    if (!spooled.ok) throw new Error('refused')
    const [one, two] = await Promise.all([whole(spooled.value.open()), whole(spooled.value.open())])
    expect(one.equals(Buffer.concat(chunks))).toBe(true)
    expect(two.equals(one)).toBe(true)
    expect(spooled.value.size).toBe(140_000)
    await spooled.value.close()
  })

  it('has no name in its folder while it is held', async () => {
    const spooled = await spoolBody(body(Buffer.from('a')), 10, folder)
    expect(readdirSync(folder)).toEqual([])
    if (spooled.ok) await spooled.value.close()
  })

  it('is refused above its limit, without reading on', async () => {
    let taken = 0
    async function* endless() {
      for (;;) {
        taken += 1
        yield Buffer.alloc(10)
      }
    }
    const spooled = await spoolBody(endless(), 25, folder)
    expect(spooled).toMatchObject({ ok: false, issues: [{ code: 'TOO_LARGE' }] })
    expect(taken).toBe(3)
    expect(readdirSync(folder)).toEqual([])
  })

  it('throws what the body throws, and leaves nothing behind', async () => {
    const broken = body(Buffer.from('a'), new Error('broken off'))
    await expect(spoolBody(broken, 10, folder)).rejects.toThrow('broken off')
    expect(readdirSync(folder)).toEqual([])
  })
})

describe('the bytes of a file', () => {
  it('are read from the beginning as often as needed', async () => {
    const path = join(folder, 'rows.csv')
    writeFileSync(path, 'a,b\n')
    const bytes = fileBytes(path)
    expect(String(await whole(bytes.open()))).toBe('a,b\n')
    expect(String(await whole(bytes.open()))).toBe('a,b\n')
    rmSync(path)
  })
})
