import type { ClinicAnswer } from '../../core/outbox/clinic-answer.ts'

/** Causes that come before a request is sent: the address is not found, or nothing accepts the connection. */
const BEFORE_SENDING = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'UND_ERR_CONNECT_TIMEOUT',
])

/**
 * The answer when none came. Where the request cannot have left, nothing was done; else it may have been: a time-out
 * or a broken connection says nothing about what the server went on to do.
 *
 * @param thrown what `fetch` or reading its body threw.
 */
export function networkFailure(thrown: unknown): ClinicAnswer {
  const unsent = causesOf(thrown).some((code) => BEFORE_SENDING.has(code))
  return { kind: unsent ? 'not-now' : 'unknown', problem: 'CLINIC_UNREACHABLE' }
}

/** Codes of an error and its causes. */
function causesOf(thrown: unknown): readonly string[] {
  if (!(thrown instanceof Error)) return []
  const own = 'code' in thrown && typeof thrown.code === 'string' ? [thrown.code] : []
  return [...own, ...causesOf(thrown.cause)]
}
