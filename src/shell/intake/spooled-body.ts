import { randomUUID } from 'node:crypto'
import { type FileHandle, open, unlink } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import type { ReopenableBytes } from './reopenable-bytes.ts'

/** A body that was put aside so that it can be read twice. */
export interface SpooledBody extends ReopenableBytes {
  readonly size: number
  /** Gives its room on the disk back. */
  close(): Promise<void>
}

/**
 * Puts a body aside in a temporary file that nobody else can open: it is made for its owner only, under a name nobody could
 * know, and has no name any more before the first byte is in it. When the process ends, however it ends, the file is gone.
 *
 * @param most bytes; a longer body is refused (TOO_LARGE) as soon as that shows, and not read any further.
 * @param folder where the file is made; the system's folder for temporary files when left out.
 * @throws whatever the body or the file system throws; nothing is left behind then.
 */
export async function spoolBody(
  body: AsyncIterable<Uint8Array>,
  most: number,
  folder: string = tmpdir(),
): Promise<Result<SpooledBody>> {
  const file = await namelessFile(folder)
  try {
    let size = 0
    for await (const chunk of body) {
      size += chunk.length
      if (size > most) {
        await file.close()
        return refused([tooLarge(most)])
      }
      await file.appendFile(chunk)
    }
    return ok({ size, open: () => readFrom(file), close: () => file.close() })
  } catch (error) {
    await file.close()
    throw error
  }
}

async function namelessFile(folder: string): Promise<FileHandle> {
  const path = join(folder, `spooled-${randomUUID()}`)
  const file = await open(path, 'wx+', 0o600)
  try {
    await unlink(path)
  } catch (error) {
    await file.close()
    throw error
  }
  return file
}

const BYTES_AT_A_TIME = 65_536

async function* readFrom(file: FileHandle): AsyncGenerator<Uint8Array> {
  for (let position = 0; ; ) {
    const buffer = Buffer.allocUnsafe(BYTES_AT_A_TIME)
    const { bytesRead } = await file.read(buffer, 0, buffer.length, position)
    if (bytesRead === 0) return
    yield buffer.subarray(0, bytesRead)
    position += bytesRead
  }
}

function tooLarge(most: number) {
  const remedy = 'Send fewer records at a time.'
  return inputError('too-long', 'TOO_LARGE', 'body', `at most ${most} bytes`, remedy)
}
