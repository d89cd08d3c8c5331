import { constants } from 'node:os'
import type { ErrorCode } from '../../core/basics/error-codes.ts'

/** An exchange in which nothing was heard. `cause` is a code for operators and holds nothing of the exchange itself. */
export interface ExchangeFailure {
  readonly kind: 'unsent' | 'unheard'
  readonly problem: ErrorCode
  readonly cause: string
}

/** How far the exchange had come. */
export interface Progress {
  /** The connection stood, so the request may have gone out, or part of it. */
  readonly left: boolean
  /** The connection had served an earlier request. */
  readonly reused: boolean
}

/** Alerts by which a server refuses the client's certificate. Source: RFC 8446 section 6.2; names are OpenSSL's. */
const CERTIFICATE_ALERT = /_ALERT_(?:(?:BAD_|UNSUPPORTED_)?CERTIFICATE|UNKNOWN_CA|ACCESS_DENIED)/

/**
 * What it means that an exchange failed before anything of the answer could be used.
 *
 * Before the connection stood nothing can have been done. Afterwards it may have been: a time-out or a broken
 * connection says nothing about what the server went on to do, also where it had closed a kept connection before our
 * request came. One case is sure all the same: in TLS 1.3 a client has done its part of the handshake before the server
 * looks at its certificate, so the refusal of that comes as an alert after sending, while no server hands on a request
 * before the handshake is complete (RFC 8446 section 4.4.4).
 *
 * @param thrown the error, or the name of the limit that was passed.
 */
export function exchangeFailure(thrown: unknown, { left, reused }: Progress): ExchangeFailure {
  const cause = causeOf(thrown)
  if (left && !reused && CERTIFICATE_ALERT.test(cause)) {
    return { kind: 'unsent', problem: 'CLINIC_NOT_TRUSTED', cause }
  }
  // An answer that is no HTTP, or has larger headers than are read. Codes of Node's parser.
  if (cause.startsWith('HPE_')) return { kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE', cause }
  // An error nobody knows is not taken as proof that nothing left.
  if (left || cause === 'UNKNOWN') return { kind: 'unheard', problem: 'CLINIC_UNREACHABLE', cause }
  return { kind: 'unsent', problem: isOfNetwork(cause) ? 'CLINIC_UNREACHABLE' : 'CLINIC_NOT_TRUSTED', cause }
}

/**
 * Whether an error before the connection stood is the network's: a limit of ours, a name that is not found, or a code
 * of the operating system. All others come from TLS; EPROTO is the system's name for what is no TLS at all.
 */
function isOfNetwork(cause: string): boolean {
  if (cause === 'EPROTO') return false
  return cause.endsWith('_TIMEOUT') || /^(?:ENOTFOUND$|EAI_)/.test(cause) || cause in constants.errno
}

function causeOf(thrown: unknown): string {
  if (typeof thrown === 'string') return thrown
  const code = thrown instanceof Error && 'code' in thrown ? thrown.code : undefined
  return typeof code === 'string' && /^[A-Z][A-Z0-9_]{0,63}$/.test(code) ? code : 'UNKNOWN'
}
