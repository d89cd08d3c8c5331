import { accessSync, constants } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { asStoreFailed } from './as-store-failed.ts'
import { sqliteCodeOf } from './sqlite-code.ts'
import { statsOf } from './stats-of.ts'

/** Why a store's file could not be opened for reading and writing, with its path and what to do. */
export function whyNotOpened(file: string, error: unknown): StoreFailed {
  const sqlite = sqliteCodeOf(error)
  const why = sqlite === undefined ? undefined : whyBy(sqlite, file)
  if (sqlite === undefined || why === undefined) return asStoreFailed(`open ${file}`, error)
  return new StoreFailed(`cannot open the store ${file}: ${why}`, { cause: error, sqlite })
}

function whyBy(sqlite: string, file: string): string | undefined {
  switch (sqlite) {
    case 'SQLITE_CANTOPEN':
      return whyNoFile(file)
    case 'SQLITE_READONLY':
    case 'SQLITE_PERM':
      return `${userName()} may not write it, or the disk is mounted read-only. Run as the user it belongs to, or mount the disk for writing.`
    case 'SQLITE_NOTADB':
      return 'it is not a store. Name another file in store.file, or put a backup of the store in its place.'
    case 'SQLITE_CORRUPT':
      return 'it is damaged. Put a backup in its place, and keep the damaged file.'
    case 'SQLITE_FULL':
      return 'no space is left on its disk. Make room, then start again.'
    case 'SQLITE_IOERR':
      return 'its disk failed, or has no space left. Look at the disk and at the system’s log.'
    case 'SQLITE_BUSY':
    case 'SQLITE_LOCKED':
      return 'another process holds it. Wait until that one is done, or end it.'
    default:
      return undefined
  }
}

function whyNoFile(file: string): string {
  const folder = dirname(resolve(file))
  if (statsOf(file)?.isDirectory() === true) {
    return 'it is a folder. Name a file in store.file, such as gateway.db in that folder.'
  }
  const there = statsOf(folder)
  if (there === undefined) return `there is no folder ${folder}. Make it, or name another file in store.file.`
  if (!there.isDirectory()) return `${folder} is not a folder. Name another file in store.file.`
  if (!mayWriteIn(folder)) {
    return `${userName()} may not make files in ${folder}. Give that user the right to, or name another file in store.file.`
  }
  return `${userName()} may not open it. Give that user the right to, or name another file in store.file.`
}

function userName(): string {
  const id = process.getuid?.()
  return id === undefined ? 'this user' : `the user of this process (uid ${id})`
}

function mayWriteIn(folder: string): boolean {
  try {
    accessSync(folder, constants.W_OK | constants.X_OK)
    return true
  } catch {
    return false
  }
}
