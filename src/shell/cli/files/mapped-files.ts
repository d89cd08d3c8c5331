import { statSync } from 'node:fs'
import { Readable } from 'node:stream'
import { GatewayError } from '../../../core/basics/gateway-error.ts'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import type { MappedArrival, MappedIntakeOptions } from '../../../flow/intake/mapped-intake.ts'
import { type ArrivalLimits, arrivalsIn } from '../../intake/arrivals-in.ts'
import { fileBytes, type ReopenableBytes } from '../../intake/reopenable-bytes.ts'
import { spoolBody } from '../../intake/spooled-body.ts'
import { FileFailed } from './file-failed.ts'
import { LONGEST_LINE_BYTES } from './read-records.ts'
import { recordShape } from './record-shape.ts'

/** Room for what an operator has on their own disk; a line is held in memory, a document as well. */
const LIMITS: ArrivalLimits = {
  documentBytes: 67_108_864,
  lineBytes: LONGEST_LINE_BYTES,
  lines: Number.POSITIVE_INFINITY,
}

/** Most bytes of standard input that are put aside to be read twice. */
const MOST_SPOOLED = 4_294_967_296

/** Standard input has more than can be put aside to be read twice. */
class InputTooLong extends GatewayError {
  override readonly code = 'TOO_LARGE'
  override readonly retryable = false
}

/** An arrival and the file it came from; `-` for standard input. */
export interface FileArrival {
  readonly file: string
  readonly arrival: MappedArrival
}

/**
 * What files hold in the format of a mapping, in order; standard input where no file is named.
 *
 * @param onBytes told of each piece that is read; a table is read twice.
 * @throws FileFailed naming the file.
 */
export async function* mappedFiles(
  files: readonly string[],
  mapping: Mapping,
  options: MappedIntakeOptions,
  onBytes: (count: number) => void,
): AsyncGenerator<FileArrival> {
  for (const file of files.length === 0 ? ['-'] : files) {
    const bytes = file === '-' ? await standardInput() : fileBytes(file)
    try {
      const shape = await recordShape(file, bytes, mapping, LONGEST_LINE_BYTES)
      for await (const arrival of arrivalsIn(counted(bytes, onBytes), shape, mapping, LIMITS, options)) {
        yield { file, arrival }
      }
    } catch (cause) {
      if (!isOfTheFile(cause)) throw cause
      throw new FileFailed('read', file, cause)
    }
  }
}

/** Bytes that will be read of the files, standard input left out: a table is read twice. */
export function bytesToRead(files: readonly string[], mapping: Mapping): number {
  let bytes = 0
  for (const file of files) {
    if (file === '-') continue
    const size = statSync(file, { throwIfNoEntry: false })?.size ?? 0
    bytes += mapping.input.format === 'csv' ? 2 * size : size
  }
  return bytes
}

async function standardInput(): Promise<ReopenableBytes> {
  const spooled = await spoolBody(process.stdin, MOST_SPOOLED)
  if (!spooled.ok) throw new InputTooLong('standard input is too long to be put aside: name a file instead')
  return spooled.value
}

function counted(bytes: ReopenableBytes, onBytes: (count: number) => void): ReopenableBytes {
  async function* open(): AsyncGenerator<Uint8Array> {
    for await (const piece of bytes.open()) {
      onBytes(piece.length)
      yield piece
    }
  }
  return { open: () => Readable.from(open()) }
}

function isOfTheFile(error: unknown): boolean {
  return error instanceof Error && 'syscall' in error
}
