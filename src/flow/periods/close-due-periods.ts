import type { Period } from '../../core/registry/period.ts'
import { followArrivals } from '../follow/follow-arrivals.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports } from '../ports/ports.ts'
import { closePeriod } from './close-period.ts'

/**
 * Follows what came in, then closes every period that is due. Returns how many were closed; one that cannot be is
 * logged and left open.
 */
export async function closeDuePeriods(at: Ports): Promise<number> {
  await followArrivals(at)
  let closed = 0
  const stuck = new Set<string>()
  for (;;) {
    const due = await at.store.duePeriods(at.clock.now(), PERIODS_AT_ONCE + stuck.size)
    const fresh = due.filter((period) => !stuck.has(period.id))
    if (fresh.length === 0) return closed
    for (const period of fresh) {
      const outcome = await closeOne(period, at)
      if (outcome === 'closed') closed += 1
      if (outcome === 'stuck') stuck.add(period.id)
    }
  }
}

async function closeOne({ id }: Period, at: Ports): Promise<'closed' | 'closed before' | 'stuck'> {
  try {
    const result = await closePeriod(id, 'gateway', at)
    if (result.ok) return result.value.closedNow ? 'closed' : 'closed before'
    const { code } = result.issues[0]
    // Whoever moved to a zone farther west has a period that is due before its last day is over: nobody has to look.
    if (code !== 'NOT_YET') at.log.warn('period-not-closed', { period: id, code })
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('period-not-closed', { period: id, code: error.code, error: error.message })
  }
  return 'stuck'
}

const PERIODS_AT_ONCE = 100
