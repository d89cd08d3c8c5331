import { type Dirent, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { FileFailed } from './file-failed.ts'

/** Stands for standard input where a file is named. */
export const STANDARD_INPUT = '-'

/** What is told of paths that are named, or lie in a folder that is, and give nothing to judge. */
export interface PassedOver {
  /** A file of a folder that holds no resources by its name: it is not read. */
  readonly skipped: (file: string) => void
  /** A file that was read and holds no resource, or a named folder that has no file to read. */
  readonly empty: (path: string) => void
}

/**
 * The files to read, in order: each path as it was named, and of a folder all files ending in `.json` or `.ndjson`,
 * its folders included, sorted by name. Links to folders are not followed, so that no walk goes in a circle.
 *
 * @param paths files, folders or `-`; none means standard input.
 * @throws FileFailed for a path that is not there or may not be read.
 */
export function* resourceFiles(
  paths: readonly string[],
  { skipped, empty }: PassedOver,
): Generator<string, void, undefined> {
  for (const path of paths.length === 0 ? [STANDARD_INPUT] : paths) {
    if (path === STANDARD_INPUT || kindOf(path) !== 'folder') yield path
    else if (!(yield* filesOf(path, skipped))) empty(path)
  }
}

/** Returns whether there was any. */
function* filesOf(folder: string, skipped: (file: string) => void): Generator<string, boolean, undefined> {
  let any = false
  for (const entry of entriesOf(folder)) {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) any = (yield* filesOf(path, skipped)) || any
    else if (HOLDS_RESOURCES.test(entry.name) && isFile(entry, path)) {
      any = true
      yield path
    } else skipped(path)
  }
  return any
}

const HOLDS_RESOURCES = /\.(?:json|ndjson)$/i

function entriesOf(folder: string): readonly Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))
  } catch (cause) {
    throw new FileFailed('read', folder, cause)
  }
}

function isFile(entry: Dirent, path: string): boolean {
  return entry.isFile() || (entry.isSymbolicLink() && kindOf(path) === 'file')
}

function kindOf(path: string): 'folder' | 'file' | 'other' {
  try {
    const found = statSync(path)
    if (found.isDirectory()) return 'folder'
    return found.isFile() ? 'file' : 'other'
  } catch (cause) {
    throw new FileFailed('read', path, cause)
  }
}
