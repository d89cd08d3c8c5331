import type { OutboxEntry, PutOff } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/** Claimed → waiting, after an attempt that may pass another time. Undefined from any other state. */
export function putOffEntry(entry: OutboxEntry, putOff: PutOff): OutboxEntry | undefined {
  if (!mayCome('put-off', entry.state)) return undefined
  const { dueMs, problem, uncertain, untried } = putOff
  const attempts = untried === true ? entry.attempts : entry.attempts + 1
  return { ...entry, state: 'waiting', attempts, dueMs, lastProblem: problem, uncertain }
}
