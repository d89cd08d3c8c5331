import type { Issue } from '../../../core/basics/issue.ts'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import { type ArrivalPlaces, type MappedIntakeOptions, placesOf } from '../../../flow/intake/mapped-intake.ts'
import type { Incoming } from '../../../flow/receive/incoming.ts'
import type { Terminal } from '../terminal.ts'
import { bytesToRead, mappedFiles } from './mapped-files.ts'
import { recordsOf } from './read-records.ts'

/** A record of a file on its way into the store. */
export interface ArrivingRecord {
  readonly incoming: Incoming
  readonly place: ArrivalPlaces & {
    readonly file?: string
    readonly remarks?: readonly Issue[]
  }
}

/**
 * The records of files: of ours, or through a mapping; standard input where no file is named. Tells its progress.
 *
 * @param besides what else there is to say of how far it is.
 */
export async function* arrivingRecords(
  files: readonly string[],
  mapping: Mapping | undefined,
  options: MappedIntakeOptions,
  terminal: Pick<Terminal, 'progress' | 'bar'>,
  besides: () => string,
): AsyncGenerator<ArrivingRecord> {
  if (mapping === undefined) {
    for await (const { read, place } of recordsOf(files, 'records', terminal)) {
      const { file, line } = place
      const lines = line === undefined ? {} : { lines: [line] }
      const { corrects = false } = options
      const onLine = line === undefined ? {} : { line }
      yield {
        incoming: read.ok ? { text: read.value, corrects, ...onLine } : { issues: read.issues },
        place: { file, ...lines },
      }
    }
    return
  }
  const bar = terminal.bar('receiving', bytesToRead(files, mapping))
  let read = 0
  const onBytes = (count: number) => {
    read += count
    bar.update(read, besides())
  }
  try {
    for await (const { file, arrival } of mappedFiles(files, mapping, options, onBytes)) {
      const { incoming, remarks } = arrival
      yield {
        incoming,
        place: { file, ...placesOf(arrival), ...(remarks.length === 0 ? {} : { remarks }) },
      }
    }
  } finally {
    bar.stop()
  }
}
