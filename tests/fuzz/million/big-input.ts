import { benchSubject, generateSessions } from '../../../samples/generator/generate-sessions.ts'
import { chooser } from '../chooser.ts'
import { READING_HEADER, readingRow } from '../formats/diaries.ts'
import type { MadeReading } from '../formats/made-sittings.ts'
import { bloodPressure } from '../formats/open-mhealth.ts'

/** A long file or stream, made while it is read. */
export interface BigInput {
  readonly name: string
  /** Name of the mapping; absent for our own session records. */
  readonly mapping?: string
  readonly mediaType: string
  /** How a file of it ends. */
  readonly ending: string
  /** So many records, in pieces as a sender writes them. */
  pieces(records: number): Generator<string>
  /** How many sessions so many records become. */
  sessions(records: number): number
}

/** People who send; with more records each sends more. */
export const SENDERS = 2_000

const READINGS_IN_A_SITTING = 3
const PIECE_LENGTH = 65_536

export const BIG_INPUTS: readonly BigInput[] = [
  {
    name: 'session records',
    mediaType: 'application/x-ndjson',
    ending: '.ndjson',
    *pieces(records) {
      const sessions = generateSessions({ seed: 5, count: records, subjects: SENDERS })
      yield* pieced(sessions, (session) => `${JSON.stringify(session)}\n`)
    },
    sessions: (records) => records,
  },
  {
    name: 'Open mHealth',
    mapping: 'open-mhealth',
    mediaType: 'application/x-ndjson',
    ending: '.ndjson',
    *pieces(records) {
      yield* pieced(
        manyReadings(records),
        ({ subject, reading }) => `${JSON.stringify(bloodPressure(subject, reading))}\n`,
      )
    },
    sessions: sittingsOf,
  },
  {
    name: 'CSV',
    mapping: 'diary-one-row-per-reading',
    mediaType: 'text/csv',
    ending: '.csv',
    *pieces(records) {
      yield `${READING_HEADER.join(';')}\n`
      yield* pieced(
        manyReadings(records),
        ({ subject, reading }) => `${readingRow(subject, reading).join(';')}\n`,
      )
    },
    sessions: sittingsOf,
  },
]

function sittingsOf(records: number): number {
  return Math.ceil(records / READINGS_IN_A_SITTING)
}

const FIRST_MS = Date.parse('2020-01-01T07:00:00Z')
const DAY_MS = 86_400_000

/** Readings of one person after the other's, three a sitting, a sitting a day. */
function* manyReadings(
  records: number,
): Generator<{ readonly subject: string; readonly reading: MadeReading }> {
  const random = chooser(6)
  const sittings = sittingsOf(records)
  const sittingsEach = Math.ceil(sittings / SENDERS)
  for (let made = 0; made < records; made += 1) {
    const sitting = Math.floor(made / READINGS_IN_A_SITTING)
    const minute = made % READINGS_IN_A_SITTING
    const systolic = random.whole(112, 158)
    const startMs = FIRST_MS + (sitting % sittingsEach) * DAY_MS + minute * 60_000
    yield {
      subject: benchSubject(Math.floor(sitting / sittingsEach) + 1),
      reading: {
        id: random.uuid(),
        time: new Date(startMs).toISOString().slice(0, 19),
        systolic,
        diastolic: systolic - random.whole(42, 60),
        pulse: random.whole(56, 84),
      },
    }
  }
}

function* pieced<T>(records: Iterable<T>, write: (record: T) => string): Generator<string> {
  let piece = ''
  for (const record of records) {
    piece += write(record)
    if (piece.length < PIECE_LENGTH) continue
    yield piece
    piece = ''
  }
  if (piece !== '') yield piece
}
