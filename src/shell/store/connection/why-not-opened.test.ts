import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { openSqliteStore } from '../open-sqlite-store.ts'
import { whyNotOpened } from './why-not-opened.ts'

const folder = mkdtempSync(join(tmpdir(), 'not-opened-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const open = (file: string) =>
  openSqliteStore({ file, readingsAtOnce: new Set(), attentionAtOnce: new Set(), inThread: true })

describe('a store that cannot be opened', () => {
  it('is refused with the folder that is missing, and what to do', async () => {
    const file = join(folder, 'absent', 'gateway.db')
    const told = `cannot open the store ${file}: there is no folder ${join(folder, 'absent')}. Make it, or name another file in store.file.`
    await expect(open(file)).rejects.toMatchObject({ message: told, code: 'STORE_FAILED' })
  })

  it('is refused where it is a folder, or in a file', async () => {
    await expect(open(folder)).rejects.toThrow(`cannot open the store ${folder}: it is a folder.`)
    writeFileSync(join(folder, 'file'), '')
    await expect(open(join(folder, 'file', 'gateway.db'))).rejects.toThrow(/is not a folder/)
  })

  it('is refused where it is something else than a store, and left as it is', async () => {
    const file = join(folder, 'notes.txt')
    writeFileSync(
      file,
      'no store at all, but long enough to be looked at as one, since a header has a hundred bytes.',
    )
    await expect(open(file)).rejects.toMatchObject({
      message: expect.stringContaining(`${file}: it is not a store. Name another file in store.file`),
      sqlite: 'SQLITE_NOTADB',
    })
  })

  it.each([
    ['SQLITE_READONLY', /may not write it, or the disk is mounted read-only\. Run as the user it belongs to/],
    ['SQLITE_READONLY_DIRECTORY', /may not write it/],
    ['SQLITE_FULL', /no space is left on its disk\. Make room/],
    ['SQLITE_IOERR_SHMSIZE', /its disk failed, or has no space left/],
    ['SQLITE_BUSY', /another process holds it/],
    ['SQLITE_CORRUPT', /it is damaged\. Put a backup in its place/],
  ])('tells the path and what to do after %s', (sqliteCodeName, told) => {
    mkdirSync(join(folder, 'there'), { recursive: true })
    const file = join(folder, 'there', 'gateway.db')
    const { message } = whyNotOpened(file, Object.assign(new Error('x'), { sqliteCodeName }))
    expect(message).toContain(`cannot open the store ${file}: `)
    expect(message).toMatch(told)
  })
})
