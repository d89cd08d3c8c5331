import type { HeldSitting } from './held-sitting.ts'
import type { IntegritySignal } from './integrity-signal.ts'
import { SIGNAL_LEVELS } from './signal-levels.ts'

/** Raised when more than half of the sittings were typed rather than transferred from the monitor. */
export function mostlyTyped(sittings: readonly HeldSitting[]): readonly IntegritySignal[] {
  const typed = sittings.filter(({ session }) => session.entry === 'typed').length
  if (typed <= sittings.length * SIGNAL_LEVELS.typedShare) return []
  return [
    {
      code: 'mostly-typed',
      count: typed,
      of: sittings.length,
      text:
        `${typed} of ${sittings.length} sittings were typed, not transferred from the monitor. Many monitors cannot ` +
        'transfer, so this is usual; slips in typing and rounding may play a part. In a Scottish cohort, a zero at ' +
        'the end of both numbers was about twice as likely in typed readings as in transferred ones, and still rare.',
      citation: 'parker-2018',
      alsoCites: ['common-practice'],
    },
  ]
}
