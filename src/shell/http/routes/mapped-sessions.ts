import type { Request, Response } from 'express'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import type { Origin } from '../../../flow/check/prepare-record.ts'
import type { MappedArrival, MappedIntakeOptions } from '../../../flow/intake/mapped-intake.ts'
import { receiveSessions } from '../../../flow/receive/receive-sessions.ts'
import { csvFormOf, timeColumnsOf } from '../../intake/csv-declaration.ts'
import { type CsvLimits, DEFAULT_CSV_LIMITS } from '../../intake/csv-form.ts'
import { csvArrivals, documentArrivals, LineArrivals } from '../../intake/mapped-arrivals.ts'
import { proveCsv } from '../../intake/prove-csv.ts'
import { spoolBody } from '../../intake/spooled-body.ts'
import { NDJSON_TYPE, requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import { answerOutcomes } from '../answer/answer-outcomes.ts'
import { placeOfArrival } from '../answer/answer-place.ts'
import type { ArrivedRecord } from '../answer/stream-answer.ts'
import type { Door } from '../door.ts'
import { MEDIA_TYPES, STREAMS } from '../request/mapped-media-types.ts'
import { decodedBody, readText, requireMediaType } from '../request/read-body.ts'
import { subjectOfRequest } from '../request/subject-of-request.ts'
import { refusedRequest } from '../request-refused.ts'
import { answerStream, takeLines } from './receive-stream.ts'

/**
 * Receives records in another format than ours: a document is answered as an array of records is, a CSV file and a
 * stream as a stream is, with the lines of the records that each outcome belongs to.
 */
export async function postMapped(
  request: Request,
  response: Response,
  origin: Origin,
  mapping: Mapping,
  changed: Pick<MappedIntakeOptions, 'corrects'>,
  door: Door,
): Promise<void> {
  const options = { ...changed, ...subjectOfRequest(request, mapping) }
  const { format } = mapping.input
  const charset = format === 'csv' ? (mapping.input.encoding ?? 'utf-8') : 'utf-8'
  const type = requireMediaType(request, MEDIA_TYPES[format], charset)
  if (format === 'csv') return postCsv(request, response, origin, mapping, options, door)
  if (STREAMS.includes(type)) return postLines(request, response, origin, mapping, options, door)
  return postDocument(request, response, origin, mapping, options, door)
}

async function postDocument(
  request: Request,
  response: Response,
  origin: Origin,
  mapping: Mapping,
  options: MappedIntakeOptions,
  door: Door,
): Promise<void> {
  requireAccepted(request, 'application/json')
  const { bodyBytes, resourceBytes, recordsPerArray } = door.settings.limits
  const text = await readText(request, mapping.input.format === 'fhir' ? resourceBytes : bodyBytes)
  const arrivals: MappedArrival[] = []
  for (const arrival of documentArrivals(text, mapping, options)) {
    if (arrivals.length === recordsPerArray) {
      const expected = `at most ${recordsPerArray} sittings in a document`
      throw refusedRequest(
        413,
        'TOO_MANY',
        'body',
        expected,
        'Send fewer at a time, or stream the records as lines.',
      )
    }
    arrivals.push(arrival)
  }
  if (arrivals.length === 0) {
    throw refusedRequest(422, 'MISSING_KEY', 'body', 'at least one record', 'Send a record.')
  }
  const incoming = arrivals.map((arrival) => arrival.incoming)
  const outcomes = await receiveSessions(incoming, origin, door.ports)
  answerOutcomes(outcomes, arrivals.map(placeOfArrival), response, door)
}

function postLines(
  request: Request,
  response: Response,
  origin: Origin,
  mapping: Mapping,
  options: MappedIntakeOptions,
  door: Door,
): Promise<void> {
  requireAccepted(request, NDJSON_TYPE.split(';')[0] ?? NDJSON_TYPE)
  const lines = new LineArrivals(mapping, options)
  return answerStream(request, response, origin, door, async (answer) => {
    await takeLines(request, answer, door, (line) => {
      const { number, text } = line
      return text === undefined ? undefined : lines.take({ line: number, text }).map(arrivedRecord)
    })
    await answer.take(lines.end().map(arrivedRecord))
  })
}

/**
 * A CSV file is put aside and read twice: first whole, so that one which cannot be trusted is refused before any of it
 * is kept, and then row by row.
 */
async function postCsv(
  request: Request,
  response: Response,
  origin: Origin,
  mapping: Mapping,
  options: MappedIntakeOptions,
  door: Door,
): Promise<void> {
  requireAccepted(request, NDJSON_TYPE.split(';')[0] ?? NDJSON_TYPE)
  const { fileBytes, lineBytes, linesPerStream } = door.settings.limits
  const limits: CsvLimits = { ...DEFAULT_CSV_LIMITS, rowBytes: lineBytes, rows: linesPerStream }
  const spooled = valueOrRefusal(await spoolBody(decodedBody(request), fileBytes))
  try {
    valueOrRefusal(await proveCsv(spooled, csvFormOf(mapping), timeColumnsOf(mapping), limits))
    await answerStream(request, response, origin, door, async (answer) => {
      for await (const arrival of csvArrivals(spooled.open(), mapping, limits, options)) {
        await answer.take([arrivedRecord(arrival)])
      }
    })
  } finally {
    await spooled.close()
  }
}

function arrivedRecord(arrival: MappedArrival): ArrivedRecord {
  const bytes = arrival.sources.reduce((sum, { text }) => sum + text.length, 0)
  return { incoming: arrival.incoming, place: placeOfArrival(arrival), bytes }
}
