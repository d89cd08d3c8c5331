import { closeSync, fsyncSync, openSync } from 'node:fs'

/** Returns when what was written to a file, or the names in a folder, would survive a power cut. */
export function flush(path: string): void {
  const open = openSync(path, 'r')
  try {
    fsyncSync(open)
  } finally {
    closeSync(open)
  }
}
