import type { SubmittedSession } from '../../core/fhir/average/means-bundle.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import { submittedRecord } from '../check/submitted-record.ts'
import type { PeriodRules } from '../person/period-rules.ts'
import { readAll } from '../person/period-sittings.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { carriedSessions } from './carried-sessions.ts'
import { heldChanges } from './held-changes.ts'
import { type RenderedPeriod, renderPeriod } from './render-period.ts'

/**
 * A period averaged from what is held, with all that an average issued for it carried: sessions that have no reading in
 * the period any more travel along, so that the clinic holds them as they are now; but not those of a subject that is
 * linked to another patient by now. Where readings stay here, only changes travel to those that the clinic holds.
 *
 * @param held sessions with a reading in the period.
 * @param issued the averages that were issued for it, the newest last.
 * @throws OwnFault when a kept record can no longer be read.
 */
export async function renderHeldPeriod(
  period: Period,
  rules: PeriodRules,
  held: readonly StoredSession[],
  issued: readonly IssuedAverage[],
  at: Ports,
): Promise<RenderedPeriod> {
  const stay = rules.destination.readings === 'never'
  // Each carries what the one before it did, but for those that left the readings here.
  const gone = await goneFrom(held, stay ? issued : issued.slice(-1), at)
  const [sittings, left] = await Promise.all([submitted(held, rules, at), submitted(gone, rules, at)])
  const all = [...sittings, ...left]
  return renderPeriod(period, rules, sittings, stay ? await heldChanges(all, rules, at) : all, at)
}

/** Sessions that averages carried and that have no reading in the period any more. */
async function goneFrom(
  held: readonly StoredSession[],
  issued: readonly IssuedAverage[],
  at: Ports,
): Promise<readonly StoredSession[]> {
  const here = new Set(held.map(({ uuid }) => uuid))
  const carried = issued.flatMap(({ bundle }) =>
    carriedSessions(JSON.parse(bundle), at.catalogue.canonicalBase),
  )
  const gone = [...new Set(carried)].filter((uuid) => !here.has(uuid))
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
