import type { HeldSitting } from './held-sitting.ts'
import type { IntegritySignal } from './integrity-signal.ts'
import { SIGNAL_LEVELS } from './signal-levels.ts'

/**
 * Raised when typed sittings of three local days or more came in within one minute. Sittings whose time of receipt is
 * not known are not counted. Common practice.
 */
export function enteredInOneGo(sittings: readonly HeldSitting[]): readonly IntegritySignal[] {
  const typed = sittings.flatMap(({ session, day, receivedMs }) =>
    session.entry === 'typed' && receivedMs !== undefined ? [{ day, receivedMs }] : [],
  )
  const { days, withinMs } = SIGNAL_LEVELS.inOneGo
  let most = { sittings: 0, days: 0 }
  for (const { receivedMs: from } of typed) {
    const together = typed.filter(({ receivedMs }) => from <= receivedMs && receivedMs - from <= withinMs)
    const spanned = new Set(together.map(({ day }) => day)).size
    if (spanned > most.days || (spanned === most.days && together.length > most.sittings))
      most = { sittings: together.length, days: spanned }
  }
  if (most.days < days) return []
  return [
    {
      code: 'entered-in-one-go',
      count: most.sittings,
      of: typed.length,
      text:
        `${most.sittings} of ${typed.length} typed sittings, of ${most.days} days, came in within one minute. They may ` +
        'have been copied from a diary on paper, or kept by an app until it had a connection.',
      citation: 'common-practice',
    },
  ]
}
