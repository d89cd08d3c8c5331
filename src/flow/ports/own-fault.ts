import { GatewayError } from '../../core/basics/gateway-error.ts'

/**
 * Something this gateway kept or made does not stand up to its own rules: a fault of ours, not of the input or of the
 * world. Carries the id of the thing and the rule, never what is in it. It concerns one session or one period, so the
 * rest of a round goes on.
 */
export class OwnFault extends GatewayError {
  override readonly code = 'UNEXPECTED'
  override readonly retryable = false
}

/** What the log may say of something thrown: our own sentence, or only its kind, since a message may quote anything. */
export function faultText(thrown: unknown): string {
  if (thrown instanceof OwnFault) return thrown.message
  return thrown instanceof Error ? thrown.name : typeof thrown
}
