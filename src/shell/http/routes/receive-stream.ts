import type { Request, Response } from 'express'
import type { Origin } from '../../../flow/check/prepare-record.ts'
import { type Line, LineSplitter } from '../../intake/line-splitter.ts'
import { unreadableLine } from '../../intake/unreadable-line.ts'
import { type ArrivedRecord, StreamAnswer } from '../answer/stream-answer.ts'
import { isGone } from '../answer/write-stream.ts'
import type { Door } from '../door.ts'
import { decodedBody } from '../request/read-body.ts'

/**
 * Receives an NDJSON stream: one outcome a line, in order, while the client is still sending, and a last line with the
 * summary. A line that is refused does not hold up the rest. An answer without a summary line is not complete.
 */
export async function receiveStream(
  request: Request,
  response: Response,
  origin: Origin,
  corrects: boolean,
  door: Door,
): Promise<void> {
  await answerStream(request, response, origin, door, (answer) =>
    takeLines(request, answer, door, ({ number, text, bytes }) =>
      text === undefined
        ? undefined
        : [{ incoming: { text, line: number, corrects }, place: { line: number }, bytes }],
    ),
  )
}

/**
 * Takes the lines of a request as they come.
 *
 * @param arrived what a line brings; undefined for one that cannot be read, which is refused.
 */
export async function takeLines(
  request: Request,
  answer: StreamAnswer,
  { settings }: Door,
  arrived: (line: Line) => readonly ArrivedRecord[] | undefined,
): Promise<void> {
  const { lineBytes } = settings.limits
  const body = decodedBody(request)
  const splitter = new LineSplitter(lineBytes)
  const take = (lines: readonly Line[]) =>
    answer.take(lines.flatMap((line) => arrived(line) ?? [unreadable(line, lineBytes)]))
  try {
    // A broken-off loop must not destroy the request: the client is still to read why.
    for await (const chunk of body.iterator({ destroyOnReturn: false })) {
      await take(splitter.push(chunk))
      await answer.refuseAbove(splitter.ended)
      await answer.pause()
    }
    await take(splitter.end())
  } catch (error) {
    body.resume()
    throw error
  }
}

/** Answers a stream with what `read` takes from it, to the end or to where it breaks off. */
export async function answerStream(
  request: Request,
  response: Response,
  origin: Origin,
  door: Door,
  read: (answer: StreamAnswer) => Promise<void>,
): Promise<void> {
  const answer = new StreamAnswer(request, response, origin, door)
  try {
    await read(answer)
    await answer.finish()
  } catch (error) {
    if (isGone(response)) {
      // What the client was told is kept stays kept; there is nobody to tell more.
      door.ports.log.info('stream-broken-off', { source: origin.source, ...answer.told })
      request.destroy()
      return
    }
    await answer.breakOff(error)
  }
}

function unreadable(line: Line, limit: number): ArrivedRecord {
  const { number, bytes } = line
  return { incoming: { issues: [unreadableLine(line, limit)] }, place: { line: number }, bytes }
}
