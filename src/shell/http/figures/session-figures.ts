import { Counter, type Registry } from 'prom-client'
import type { Outcome } from '../../../flow/receive/receive-sessions.ts'

/** Session records answered since the start. Gives what counts one of them. */
export function sessionFigures(registry: Registry): (outcome: Outcome) => void {
  const registers = [registry]
  const sessions = new Counter({
    name: 'home_bp_sessions_received_total',
    help: 'Session records answered since the start, by outcome',
    labelNames: ['outcome'] as const,
    registers,
  })
  const refusals = new Counter({
    name: 'home_bp_refusal_issues_total',
    help: 'Issues of refused session records since the start, by code',
    labelNames: ['code'] as const,
    registers,
  })
  return (outcome) => {
    sessions.inc({ outcome: outcome.kind })
    if (outcome.kind === 'refused') for (const { code } of outcome.issues) refusals.inc({ code })
  }
}
