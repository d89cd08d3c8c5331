import type { Request, Response } from 'express'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { Door } from './door.ts'
import { type Line, LineSplitter } from './line-splitter.ts'
import { decodedBody } from './read-body.ts'
import { type ArrivedRecord, StreamAnswer } from './stream-answer.ts'
import { isGone } from './write-stream.ts'

/**
 * Receives an NDJSON stream: one outcome a line, in order, while the client is still sending, and a last line with the
 * summary. A line that is refused does not hold up the rest. An answer without a summary line is not complete.
 */
export async function receiveStream(
  request: Request,
  response: Response,
  source: string,
  door: Door,
): Promise<void> {
  const body = decodedBody(request)
  const { lineBytes } = door.settings.limits
  await answerStream(request, response, source, door, async (answer) => {
    const splitter = new LineSplitter(lineBytes)
    const arrived = (line: Line) => arrivedLine(line, lineBytes)
    try {
      // A broken-off loop must not destroy the request: the client is still to read why.
      for await (const chunk of body.iterator({ destroyOnReturn: false })) {
        await answer.take(splitter.push(chunk).map(arrived))
        await answer.pause()
      }
      await answer.take(splitter.end().map(arrived))
    } catch (error) {
      body.resume()
      throw error
    }
  })
}

/** Answers a stream with what `read` takes from it, to the end or to where it breaks off. */
export async function answerStream(
  request: Request,
  response: Response,
  source: string,
  door: Door,
  read: (answer: StreamAnswer) => Promise<void>,
): Promise<void> {
  const answer = new StreamAnswer(request, response, source, door)
  try {
    await read(answer)
    await answer.finish()
  } catch (error) {
    if (isGone(response)) {
      // What the client was told is kept stays kept; there is nobody to tell more.
      door.ports.log.info('stream-broken-off', { source, ...answer.told })
      request.destroy()
      return
    }
    await answer.breakOff(error)
  }
}

function arrivedLine(line: Line, limit: number): ArrivedRecord {
  const { number, text, bytes } = line
  const incoming =
    text === undefined ? { issues: [unreadableLine(line, limit)] as const } : { text, line: number }
  return { incoming, place: { line: number }, bytes }
}

function unreadableLine(line: Line, limit: number): Issue {
  const issue =
    line.problem === 'too-long'
      ? inputError('too-long', 'TOO_LARGE', '', `a line of at most ${limit} bytes`, 'Send one record a line.')
      : inputError('structure', 'NOT_JSON', '', 'a line in UTF-8', 'Encode the text as UTF-8.')
  return { ...issue, line: line.number }
}
