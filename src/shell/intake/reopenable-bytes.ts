import { createReadStream } from 'node:fs'

/** Bytes that can be read from the beginning as often as needed. */
export interface ReopenableBytes {
  open(): AsyncIterable<Uint8Array>
}

/** The bytes of a file. What the file system refuses is thrown while they are read. */
export function fileBytes(path: string): ReopenableBytes {
  return { open: () => createReadStream(path) }
}
