import { existsSync, lstatSync, realpathSync, renameSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { makeForOwner } from '../connection/owner-only.ts'
import { claimOwnership } from '../connection/sole-opener.ts'
import { sqliteCodeOf } from '../connection/sqlite-code.ts'
import { statsOf } from '../connection/stats-of.ts'
import { whyNotOpened } from '../connection/why-not-opened.ts'
import { copyForOwner } from './copy-for-owner.ts'
import { fitToGoOn, type ToLookFor } from './fit-to-go-on.ts'
import { flush } from './flush.ts'

/** What was done. */
export interface Replaced extends ToLookFor {
  /** Where the store is now that was there before; absent when there was none. */
  readonly before?: string
}

/**
 * Puts a copy in the place of a store, which is kept beside it. The copy is made fit to go on from first, beside the store,
 * so that whatever fails leaves the store as it was. The write-ahead log of the one before goes with that: it would be
 * played into the copy, and break it. Where the store's name is a symbolic link, what it leads to is replaced.
 *
 * @param destinations names of those that may have been delivered to since the copy was made.
 * @throws StoreFailed when a gateway has the store open, or the copy is none or is damaged, or the disk fails.
 */
export function replaceStore(
  file: string,
  copy: string,
  destinations: readonly string[],
  nowMs: number,
): Replaced {
  refuseOther(copy, file)
  makeForOwner(`${file}-owner`)
  const ownership = ownershipOf(file)
  const lies = whereItLies(file)
  const coming = `${lies}.coming`
  try {
    if (!ownership.sole) throw inUse(file)
    copyForOwner(copy, coming)
    const found = fitted(coming, copy, destinations, nowMs)
    flush(coming)
    const before = existsSync(lies) ? putAside(lies, nowMs) : undefined
    takePlace(coming, lies, before)
    flush(dirname(lies))
    return { ...found, ...(before === undefined ? {} : { before }) }
  } catch (error) {
    throw asStoreFailed(`replace ${file}`, error)
  } finally {
    for (const suffix of ['', '-wal', '-shm', '-journal']) rmSync(`${coming}${suffix}`, { force: true })
    ownership.release()
  }
}

function fitted(coming: string, copy: string, destinations: readonly string[], nowMs: number): ToLookFor {
  try {
    return fitToGoOn(coming, destinations, nowMs)
  } catch (error) {
    // Of another release, which says so itself; or the disk it is made fit on is full, or fails.
    if (error instanceof StoreFailed || OF_THE_DISK.has(sqliteCodeOf(error) ?? '')) throw error
    throw new StoreFailed(`${copy} is no sound copy of a store. Name the file that store copy made.`, {
      cause: error,
    })
  }
}

const OF_THE_DISK: ReadonlySet<string> = new Set(['SQLITE_FULL', 'SQLITE_IOERR'])

function whereItLies(file: string): string {
  const isLink = lstatSync(file, { throwIfNoEntry: false })?.isSymbolicLink() === true
  return isLink && existsSync(file) ? realpathSync(file) : file
}

function refuseOther(copy: string, file: string): void {
  const of = statsOf(copy)
  if (of?.isFile() !== true) {
    throw new StoreFailed(`there is no copy ${copy}. Name the file that store copy made.`)
  }
  const store = statsOf(file)
  if (store !== undefined && store.ino === of.ino && store.dev === of.dev) {
    throw new StoreFailed(`${copy} is the store itself. Name the file that store copy made.`)
  }
  if ((statsOf(`${copy}-wal`)?.size ?? 0) > 0) {
    throw new StoreFailed(`a part of ${copy} is in the log beside it. Name the file that store copy made.`)
  }
}

function ownershipOf(file: string): ReturnType<typeof claimOwnership> {
  try {
    return claimOwnership(file)
  } catch (error) {
    throw whyNotOpened(file, error)
  }
}

/** With all that is in its log. One that is damaged is put aside as it is. */
function putAside(file: string, nowMs: number): string {
  const before = unused(`${file}.before-${stamp(nowMs)}`)
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

function takePlace(coming: string, file: string, before: string | undefined): void {
  try {
    for (const suffix of ['-wal', '-shm']) rmSync(`${file}${suffix}`, { force: true })
    renameSync(coming, file)
  } catch (error) {
    if (before !== undefined) renameSync(before, file)
    throw error
  }
}

/** The name, or the first of those with a number after it that no file has. */
function unused(name: string): string {
  let free = name
  for (let number = 2; existsSync(free); number += 1) free = `${name}-${number}`
  return free
}

function stamp(nowMs: number): string {
  return new Date(nowMs).toISOString().replaceAll(/[-:]|\.\d+/g, '')
}

function inUse(file: string): StoreFailed {
  return new StoreFailed(`a gateway has the store ${file} open. Stop it first.`)
}
