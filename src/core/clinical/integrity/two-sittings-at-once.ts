import type { HeldSitting } from './held-sitting.ts'
import type { IntegritySignal } from './integrity-signal.ts'

/** Raised when two sittings share a moment, both ends included. Given in order of their start. Common practice. */
export function twoSittingsAtOnce(sittings: readonly HeldSitting[]): readonly IntegritySignal[] {
  const overlapping = new Set<HeldSitting>()
  let longest: HeldSitting | undefined
  for (const sitting of sittings) {
    if (longest !== undefined && sitting.startMs <= longest.endMs) overlapping.add(longest).add(sitting)
    if (longest === undefined || sitting.endMs > longest.endMs) longest = sitting
  }
  if (overlapping.size === 0) return []
  return [
    {
      code: 'two-sittings-at-once',
      count: overlapping.size,
      of: sittings.length,
      text:
        `${overlapping.size} of ${sittings.length} sittings overlap in time with another one. One sitting sent in two ` +
        'records, a second monitor, or a clock that was set in between may explain it.',
      citation: 'common-practice',
    },
  ]
}
