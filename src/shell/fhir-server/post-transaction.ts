import { type AnswerBody, readAnswerBody } from '../../core/outbox/answer-body.ts'
import type { ClinicAnswer } from '../../core/outbox/clinic-answer.ts'
import { responseClass } from '../../core/outbox/response-class.ts'
import { retryAfterMs } from '../../core/outbox/retry-after.ts'
import type { Destination, DestinationAccess } from '../../core/registry/destination.ts'
import type { ClinicServers, Clock, Log } from '../../flow/ports.ts'
import { networkFailure } from './network-failure.ts'
import { readCapped } from './read-capped.ts'

export interface ClinicServerOptions {
  readonly clock: Clock
  readonly log: Log
  /** Makes the X-Request-Id of an attempt, by which the clinic's log and ours can be laid side by side. */
  readonly newRequestId: () => string
  /** From the first byte sent to the last byte of the answer. */
  readonly timeoutMs?: number
  /** Bytes of an answer that are read, after decompression. */
  readonly maxAnswerBytes?: number
  /** The longest wait granted to a Retry-After. */
  readonly longestRetryAfterMs?: number
}

/** Defaults of `ClinicServerOptions`. */
export const CLINIC_SERVER_DEFAULTS = {
  timeoutMs: 30_000,
  maxAnswerBytes: 8 * 1024 * 1024,
  longestRetryAfterMs: 24 * 60 * 60 * 1000,
}

/**
 * The door to the clinics' FHIR servers: guards that whatever a server, a proxy or the network does ends in one of
 * four answers, that credentials go to the configured server only, and that no body or address reaches a log.
 *
 * A transaction is posted to the base URL (FHIR R4 http.html#transaction) asking for a minimal answer. A redirect is
 * not followed: a token never goes where the settings did not send it.
 */
export function createClinicServers(options: ClinicServerOptions): ClinicServers {
  const settings = { ...CLINIC_SERVER_DEFAULTS, ...options }

  async function exchange(
    destination: Destination,
    bundle: string,
    requestId: string,
  ): Promise<{ readonly status: number; readonly answer: ClinicAnswer }> {
    const response = await fetch(destination.baseUrl, {
      method: 'POST',
      headers: {
        accept: 'application/fhir+json',
        'content-type': 'application/fhir+json',
        prefer: 'return=minimal',
        'x-request-id': requestId,
        ...authorization(destination.access),
      },
      body: bundle,
      redirect: 'manual',
      signal: AbortSignal.timeout(settings.timeoutMs),
    })
    const text = await readCapped(response, settings.maxAnswerBytes)
    const body: AnswerBody = text === undefined ? { kind: 'not-fhir' } : readAnswerBody(text)
    const field = response.headers.get('retry-after')
    const waitMs =
      field === null ? undefined : retryAfterMs(field, settings.clock.now(), settings.longestRetryAfterMs)
    return { status: response.status, answer: responseClass(response.status, body, waitMs) }
  }

  async function postTransaction(destination: Destination, bundle: string): Promise<ClinicAnswer> {
    const requestId = settings.newRequestId()
    const startMs = settings.clock.now()
    const { status, answer } = await exchange(destination, bundle, requestId).catch((thrown: unknown) => ({
      status: 0,
      answer: networkFailure(thrown),
    }))
    settings.log.info('clinic-answered', {
      destination: destination.name,
      requestId,
      status,
      answer: answer.kind,
      ms: settings.clock.now() - startMs,
      ...('problem' in answer ? { problem: answer.problem } : {}),
    })
    return answer
  }

  return { postTransaction }
}

function authorization(access: DestinationAccess): Record<string, string> {
  switch (access.kind) {
    case 'none':
      return {}
    case 'bearer':
      return { authorization: `Bearer ${access.token}` }
    case 'basic': {
      const pair = Buffer.from(`${access.user}:${access.password}`, 'utf8').toString('base64')
      return { authorization: `Basic ${pair}` }
    }
  }
}
