import { chmodSync, closeSync, openSync } from 'node:fs'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { statsOf } from './stats-of.ts'

/** Mode of a file that holds health data. */
export const OWNER_ONLY = 0o600

const RIGHTS_OF_OTHERS = 0o077

/**
 * Sees to it that only their owner may read a store's files, before the first byte is in them. The file is made here
 * where it is missing, because SQLite would let the umask decide; the log and index beside it take its rights.
 *
 * @returns the files that others could read until now.
 * @throws StoreFailed when one of them belongs to somebody else, so that its rights cannot be changed.
 */
export function keepForOwner(file: string): readonly string[] {
  if (file === ':memory:' || process.platform === 'win32') return []
  for (const made of [file, `${file}-owner`]) makeForOwner(made)
  return [file, `${file}-wal`, `${file}-shm`, `${file}-owner`].filter(tighten)
}

/** What keeps a file from being made, such as a missing folder, is told when it is opened. */
export function makeForOwner(file: string): void {
  try {
    closeSync(openSync(file, 'wx', OWNER_ONLY))
  } catch {}
}

function tighten(file: string): boolean {
  const found = statsOf(file)
  if (found?.isFile() !== true || (found.mode & RIGHTS_OF_OTHERS) === 0) return false
  try {
    chmodSync(file, found.mode & 0o700)
    return true
  } catch (cause) {
    throw new StoreFailed(
      `others than its owner may read or write ${file}, which holds health data, and it belongs to another user. ` +
        `Have its owner run: chmod 600 ${file}`,
      { cause },
    )
  }
}
