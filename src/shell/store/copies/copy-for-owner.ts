import { closeSync, openSync, readSync, rmSync, writeSync } from 'node:fs'
import { OWNER_ONLY } from '../connection/owner-only.ts'

const CHUNK_BYTES = 1_048_576

/**
 * Copies a file to one that only its owner may read from its first byte on, whatever the rights of the one that is copied:
 * the system's own copy would give it those. A file of that name is replaced.
 */
export function copyForOwner(from: string, into: string): void {
  rmSync(into, { force: true })
  const source = openSync(from, 'r')
  try {
    const made = openSync(into, 'wx', OWNER_ONLY)
    try {
      copyBytes(source, made)
    } finally {
      closeSync(made)
    }
  } finally {
    closeSync(source)
  }
}

function copyBytes(source: number, into: number): void {
  const chunk = Buffer.allocUnsafe(CHUNK_BYTES)
  for (;;) {
    const read = readSync(source, chunk)
    if (read === 0) return
    let written = 0
    while (written < read) written += writeSync(into, chunk, written, read - written)
  }
}
