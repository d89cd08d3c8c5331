import type { SubmittedSession } from '../core/fhir/means-bundle.ts'
import type { IssuedAverage, Period } from '../core/registry/period.ts'
import { carriedSessions } from './carried-sessions.ts'
import type { PeriodRules } from './period-rules.ts'
import { readAll } from './period-sittings.ts'
import type { Ports, StoredSession } from './ports.ts'
import { type RenderedPeriod, renderPeriod } from './render-period.ts'
import { submittedRecord } from './submitted-record.ts'

/**
 * A period averaged from what is held, with all that an average issued for it carried: sessions that have no reading in
 * the period any more travel along, so that the clinic holds them as they are now; but not those of a subject that is
 * linked to another patient by now.
 *
 * @param held sessions with a reading in the period.
 * @throws OwnFault when a kept record can no longer be read.
 */
export async function renderHeldPeriod(
  period: Period,
  rules: PeriodRules,
  held: readonly StoredSession[],
  carriedBy: IssuedAverage | undefined,
  at: Ports,
): Promise<RenderedPeriod> {
  const gone = await goneFrom(held, carriedBy, at)
  const [sittings, left] = await Promise.all([submitted(held, rules, at), submitted(gone, rules, at)])
  return renderPeriod(period, rules, sittings, left, at)
}

/** Sessions an average carried that have no reading in the period any more. */
async function goneFrom(
  held: readonly StoredSession[],
  carriedBy: IssuedAverage | undefined,
  at: Ports,
): Promise<readonly StoredSession[]> {
  if (carriedBy === undefined) return []
  const here = new Set(held.map(({ uuid }) => uuid))
  const carried = carriedSessions(carriedBy.bundle, at.catalogue.canonicalBase)
  const gone = carried.filter((uuid) => !here.has(uuid))
  const found = await Promise.all(gone.map((uuid) => at.store.sessionByUuid(uuid)))
  return found.flatMap((one) => one ?? [])
}

function submitted(
  held: readonly StoredSession[],
  { person }: PeriodRules,
  at: Ports,
): Promise<readonly SubmittedSession[]> {
  const read = readAll(held, person, at)
  return Promise.all(read.map(async (one) => ({ ...one, stored: await submittedRecord(one.stored, at) })))
}
