import type { OutboxEntry, Settlement } from '../../core/outbox/entry.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { IssuedAverage } from '../../core/registry/period.ts'
import { rulesOf } from '../person/period-rules.ts'
import { heldInPeriod } from '../person/period-sittings.ts'
import type { Ports } from '../ports/ports.ts'
import { adornedDelivery, keptDelivery } from './adorned-delivery.ts'
import { averageForm } from './average-form.ts'
import { patientCondition, patientInBundle } from './patient-condition.ts'
import { renderHeldPeriod } from './render-held-period.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'
import { withChangedSessions } from './with-changed-sessions.ts'

/**
 * An average as it was issued. Where the destination asks for another form by now, or the enrolment names the patient by
 * another identifier, it is written anew from what is held, as the same revision issued at the same time: an operator who
 * mends what a clinic refused gets what he asked for.
 *
 * An average that was amended before it got through is not sent: it would undo the one that follows it. But an average
 * that was amended for another clinic, because its person moved there, is not this clinic’s to have: of what was made for
 * this clinic the newest is sent, as it was. And a session that it would put on what the clinic holds, and that was changed
 * again since, goes as it is now, because the clinic may have been told of that before.
 *
 * @throws OwnFault when it has to be written anew and a kept record can no longer be read, or it breaks a rule.
 */
export async function renderAverage(
  entry: OutboxEntry,
  enrolment: Enrolment | undefined,
  destination: Destination,
  at: Ports,
): Promise<RenderedDelivery | Settlement> {
  const averages = await at.store.issuedAverages(entry.about)
  const here = enrolment?.destination === destination.name ? enrolment : undefined
  const issued = here === undefined ? await newestFor(destination, averages, entry, at) : averages.at(-1)
  if (issued === undefined) return { state: 'given-up', problem: 'NOT_FOUND', uncertain: entry.uncertain }
  if (here !== undefined && !isAsAskedFor(issued, here, destination)) {
    return writtenAnew(entry, averages, here, destination, at)
  }
  const patient = patientInBundle(issued.bundle)
  if (patient === undefined) return { state: 'given-up', problem: 'UNEXPECTED', uncertain: entry.uncertain }
  const about = { patient, issued: issued.issued }
  const changed = await withChangedSessions(issued.bundle, patient, destination, at)
  return changed === undefined
    ? keptDelivery(issued.bundle, nameOf(issued), about, destination, at.catalogue)
    : adornedDelivery(changed, nameOf(issued), about, destination, at.catalogue)
}

/** Of the averages of a period, the newest one that was made for this destination. */
async function newestFor(
  { name }: Destination,
  averages: readonly IssuedAverage[],
  { about }: OutboxEntry,
  { store }: Pick<Ports, 'store'>,
): Promise<IssuedAverage | undefined> {
  const revisions = await store.queuedParts(name, 'average', about)
  return averages.findLast(({ revision }) => revisions.includes(String(revision)))
}

/** Averages of earlier releases have no form: they are taken as they are. */
function isAsAskedFor(
  { form, bundle }: IssuedAverage,
  { patient }: Enrolment,
  destination: Destination,
): boolean {
  return (
    (form === undefined || form === averageForm(destination)) &&
    bundle.includes(JSON.stringify(patientCondition(patient)))
  )
}

async function writtenAnew(
  { about, uncertain }: OutboxEntry,
  averages: readonly IssuedAverage[],
  enrolment: Enrolment,
  destination: Destination,
  at: Ports,
): Promise<RenderedDelivery | Settlement> {
  const issued = averages.at(-1)
  const period = await at.store.period(about)
  if (period === undefined || issued === undefined)
    return { state: 'given-up', problem: 'NOT_FOUND', uncertain }
  const rules = await rulesOf(period, at)
  if (!rules.ok) return { state: 'given-up', problem: rules.issues[0].code, uncertain }
  const held = await heldInPeriod(period, rules.value.person, at)
  const rendered = await renderHeldPeriod(period, rules.value, held, averages, at)
  const bundle = rendered.bundle({ issued: issued.issued, revision: issued.revision })
  const when = { patient: enrolment.patient, issued: issued.issued }
  return adornedDelivery(bundle, nameOf(issued), when, destination, at.catalogue)
}

function nameOf({ period }: IssuedAverage): string {
  return `period ${period}`
}
