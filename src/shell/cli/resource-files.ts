import { type Dirent, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { FileUnreadable } from './read-records.ts'

/** Stands for standard input where a file is named. */
export const STANDARD_INPUT = '-'

/**
 * The files to read, in order: each path as it was named, and of a folder all files ending in `.json` or `.ndjson`,
 * its folders included, sorted by name. Links to folders are not followed, so that no walk goes in a circle.
 *
 * @param paths files, folders or `-`; none means standard input.
 * @param skipped told each other file of a folder, which is not read.
 * @throws FileUnreadable for a path that is not there or may not be read.
 */
export function* resourceFiles(
  paths: readonly string[],
  skipped: (file: string) => void,
): Generator<string, void, undefined> {
  for (const path of paths.length === 0 ? [STANDARD_INPUT] : paths) {
    if (path !== STANDARD_INPUT && kindOf(path) === 'folder') yield* filesOf(path, skipped)
    else yield path
  }
}

function* filesOf(folder: string, skipped: (file: string) => void): Generator<string, void, undefined> {
  for (const entry of entriesOf(folder)) {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) yield* filesOf(path, skipped)
    else if (HOLDS_RESOURCES.test(entry.name) && isFile(entry, path)) yield path
    else skipped(path)
  }
}

const HOLDS_RESOURCES = /\.(?:json|ndjson)$/i

function entriesOf(folder: string): readonly Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))
  } catch (cause) {
    throw new FileUnreadable(`cannot read ${folder}`, { cause })
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
    throw new FileUnreadable(`cannot read ${path}`, { cause })
  }
}
