import { chmodSync, constants, copyFileSync, existsSync, renameSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { StoreFailed } from '../../core/basics/gateway-error.ts'
import { flush } from './flush.ts'
import { OWNER_ONLY } from './owner-only.ts'
import { claimOwnership } from './sole-opener.ts'

/**
 * Puts a copy that `copyStore` made in the place of a store, which is kept beside it, and forgets the write-ahead log of
 * the one before: it would be played into the copy, and break it.
 *
 * @param moment goes into the name of what was there before.
 * @returns where that is now; undefined when there was none.
 * @throws StoreFailed when a gateway has the store open, or the copy is none or is damaged.
 */
export function replaceStore(file: string, copy: string, moment: string): string | undefined {
  check(copy)
  const ownership = claimOwnership(file)
  try {
    if (!ownership.sole) throw inUse(file)
    const before = existsSync(file) ? putAside(file, moment) : undefined
    for (const suffix of ['-wal', '-shm']) rmSync(`${file}${suffix}`, { force: true })
    copyFileSync(copy, file, constants.COPYFILE_EXCL)
    chmodSync(file, OWNER_ONLY)
    flush(file)
    flush(dirname(file))
    return before
  } finally {
    ownership.release()
  }
}

/** With all that is in its log. One that is damaged is put aside as it is. */
function putAside(file: string, moment: string): string {
  const before = `${file}.before-${moment}`
  const store = new DatabaseSync(file, { timeout: 0 })
  try {
    // Only granted to whoever has it open alone. Source: SQLite, Write-Ahead Logging.
    store.exec('PRAGMA journal_mode = DELETE')
  } catch (error) {
    if (error instanceof Error && /is locked/.test(error.message)) throw inUse(file)
    for (const suffix of ['-wal', '-shm']) {
      if (existsSync(`${file}${suffix}`)) renameSync(`${file}${suffix}`, `${before}${suffix}`)
    }
  } finally {
    store.close()
  }
  renameSync(file, before)
  return before
}

function check(copy: string): void {
  if (!existsSync(copy))
    throw new StoreFailed(`there is no copy ${copy}. Name the file that store copy made.`)
  try {
    const opened = new DatabaseSync(copy, { readOnly: true })
    try {
      opened.prepare('SELECT count(*) FROM migration').get()
      const [verdict] = opened.prepare('PRAGMA integrity_check(1)').all()
      if (verdict?.integrity_check !== 'ok') throw new Error('integrity')
    } finally {
      opened.close()
    }
  } catch (error) {
    throw new StoreFailed(`${copy} is no sound copy of a store. Name the file that store copy made.`, {
      cause: error,
    })
  }
}

function inUse(file: string): StoreFailed {
  return new StoreFailed(`a gateway has the store ${file} open. Stop it first.`)
}
