import type { ClientRequest, IncomingHttpHeaders } from 'node:http'
import type { ExchangeLimits } from './clinic-server-options.ts'
import { type ExchangeFailure, exchangeFailure } from './exchange-failure.ts'
import { type ReadBody, readCapped } from './read-capped.ts'
import type { SentBody } from './sent-body.ts'
import { StageLimits } from './stage-limits.ts'

/** What came of one HTTP request. */
export type HttpOutcome = ExchangeFailure | HttpAnswer

export interface HttpAnswer {
  readonly kind: 'heard'
  readonly status: number
  readonly headers: IncomingHttpHeaders
  readonly body: ReadBody
}

/**
 * Sends one request and reads its answer, each stage within its limit. Never rejects.
 *
 * The request has left, as far as anyone can tell, once the connection stands: until then Node keeps it back, and over
 * TLS it does so until the server has proven its name.
 *
 * A status of failure counts although the body that says why broke off. One of success does not: what was done may
 * stand in the part that is missing.
 *
 * @param request opened and not ended yet.
 * @param secure whether the connection is a TLS connection.
 */
export function httpExchange(
  request: ClientRequest,
  body: SentBody | undefined,
  secure: boolean,
  limits: ExchangeLimits,
): Promise<HttpOutcome> {
  return new Promise((resolve) => {
    let left = false
    let answered = false
    let passed: string | undefined
    /** Whoever waits for the rest of the exchange is told by the connection, which ends. */
    const stages = new StageLimits(limits.timeoutMs, (limit) => {
      passed = limit
      request.destroy()
    })
    const end = (outcome: HttpOutcome) => {
      stages.end()
      resolve(outcome)
      const isDone = outcome.kind === 'heard' && outcome.body.end === 'whole' && request.writableFinished
      if (!isDone) request.destroy()
    }
    const fail = (thrown: unknown) =>
      end(exchangeFailure(passed ?? thrown, { left, reused: request.reusedSocket }))
    const connected = () => {
      left = true
      stages.enter('SEND_TIMEOUT', limits.sendTimeoutMs)
    }

    stages.enter('CONNECT_TIMEOUT', limits.connectTimeoutMs)
    request.on('socket', (socket) => {
      if (request.reusedSocket) connected()
      else socket.once(secure ? 'secureConnect' : 'connect', connected)
    })
    request.on('finish', () => {
      if (left && !answered) stages.enter('ANSWER_TIMEOUT', limits.answerTimeoutMs)
    })
    request.on('response', async (answer) => {
      answered = true
      stages.enter('SILENCE_TIMEOUT', limits.silenceTimeoutMs)
      const read = await readCapped(answer, limits.maxAnswerBytes, () => stages.again())
      const { statusCode: status = 0, headers } = answer
      if (read.end === 'broken' && status < 300) fail('ECONNRESET')
      else end({ kind: 'heard', status, headers, body: read })
    })
    // Once there is an answer, its reader is told of everything that goes wrong.
    request.on('error', (thrown) => answered || fail(thrown))
    request.on('close', () => answered || fail('ECONNRESET'))
    if (body === undefined) request.end()
    else request.end(body.chunk, body.encoding)
  })
}
