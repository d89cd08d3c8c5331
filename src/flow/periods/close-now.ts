import type { Result } from '../../core/basics/result.ts'
import { followArrivals } from '../follow/follow-arrivals.ts'
import type { Ports } from '../ports/ports.ts'
import { type Closed, closePeriod } from './close-period.ts'

/**
 * Closes a period because somebody asks for it. What had arrived by then is followed first, as the schedule does before
 * it closes anything, so that a correction that was just taken opens its period again and is part of the answer.
 *
 * @throws OwnFault as `closePeriod` does.
 */
export async function closeNow(id: string, actor: string, at: Ports): Promise<Result<Closed>> {
  await followArrivals(at, await at.store.newestSeq())
  return closePeriod(id, actor, at)
}
