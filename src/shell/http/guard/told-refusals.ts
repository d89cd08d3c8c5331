import type { Log } from '../../../flow/ports/ports.ts'

/** Why a caller was turned away: no such key, or one of another role. */
export type AccessRefusal = 'KEY_REQUIRED' | 'NOT_ALLOWED'

/**
 * Tells the log of callers that were turned away: the first at once, later ones together, in at most one line a minute for
 * each code, so that whoever tries many keys fills no disk. What was sent is never told.
 *
 * @param now epoch milliseconds
 */
export function toldRefusals(log: Log, now: () => number): (code: AccessRefusal) => void {
  const last = new Map<AccessRefusal, { toldMs: number; untold: number }>()
  return (code) => {
    const before = last.get(code)
    const refused = (before?.untold ?? 0) + 1
    const nowMs = now()
    if (before !== undefined && nowMs - before.toldMs < LINE_EVERY_MS && nowMs >= before.toldMs) {
      before.untold = refused
      return
    }
    last.set(code, { toldMs: nowMs, untold: 0 })
    log.warn('access-refused', { code, refused })
  }
}

const LINE_EVERY_MS = 60_000
