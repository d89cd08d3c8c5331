import { withdrawnMeans } from '../../core/fhir/average/withdrawn-means.ts'
import { movedMeans } from '../../core/fhir/moved-bundle.ts'
import type { OutboxEntry, Settlement } from '../../core/outbox/entry.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { averagesFor, type IssuedAverage } from '../../core/registry/period.ts'
import { isOfPatient } from '../person/is-of-patient.ts'
import { rulesOf } from '../person/period-rules.ts'
import { heldInPeriod } from '../person/period-sittings.ts'
import type { Ports } from '../ports/ports.ts'
import { adornedDelivery, keptDelivery } from './adorned-delivery.ts'
import { averageForm } from './average-form.ts'
import { carriedSessions } from './carried-sessions.ts'
import { patientCondition, patientInBundle, withPatient } from './patient-condition.ts'
import { renderHeldPeriod } from './render-held-period.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'
import { withChangedSessions } from './with-changed-sessions.ts'

/**
 * An average as it was issued. Where the destination asks for another form by now, or the enrolment names the patient by
 * another identifier, it is written anew from what is held, as the same revision issued at the same time: an operator who
 * mends what a clinic refused gets what he asked for.
 *
 * So is one of which a session is of another patient by now, as another source of this one was linked anew.
 *
 * Of the averages that were issued for this destination the newest is sent: one that was amended before it got through
 * would undo the one that follows it. What was issued for another clinic, because its person moved there, is not this
 * clinic’s to have; and what this one is sent names the patient as that person was linked here last. A session that it
 * would put on what the clinic holds, and that was changed again since, goes as it is now, because the clinic may have been
 * told of that before.
 *
 * @throws OwnFault when it has to be written anew and a kept record can no longer be read, or it breaks a rule.
 */
export async function renderAverage(
  entry: OutboxEntry,
  enrolment: Enrolment | undefined,
  isHere: boolean,
  destination: Destination,
  at: Ports,
): Promise<RenderedDelivery | Settlement> {
  const averages = averagesFor(destination.name, await at.store.issuedAverages(entry.about))
  const issued = averages.at(-1)
  if (issued === undefined) return { state: 'given-up', problem: 'NOT_FOUND', uncertain: entry.uncertain }
  if (isHere && enrolment !== undefined) {
    const stands =
      isAsAskedFor(issued, enrolment, destination) && (await isOfOne(issued, enrolment, destination, at))
    if (!stands) return writtenAnew(entry, averages, enrolment, destination, at)
  }
  const before = patientInBundle(issued.bundle)
  if (before === undefined) return { state: 'given-up', problem: 'UNEXPECTED', uncertain: entry.uncertain }
  const patient = enrolment?.patient ?? before
  const text = withPatient(issued.bundle, before, patient)
  const about = { patient, issued: issued.issued }
  const changed = await withChangedSessions(text, patient, destination, at)
  if (changed === undefined && entry.movedFrom === undefined) {
    return keptDelivery(text, nameOf(issued), about, destination, at.catalogue)
  }
  const bundle = changed ?? JSON.parse(text)
  const sent = entry.movedFrom === undefined ? bundle : movedMeans(bundle, at.catalogue.canonicalBase)
  return adornedDelivery(sent, nameOf(issued), about, destination, at.catalogue)
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

/**
 * Whether all sessions that an average would put into the record, and not only find there, are of its patient still. Another
 * source of that patient may have been linked to another one since: its readings would be left behind in the wrong record.
 */
async function isOfOne(
  { bundle }: IssuedAverage,
  enrolment: Enrolment,
  { readings }: Destination,
  at: Ports,
): Promise<boolean> {
  if (readings !== 'with-average' && !bundle.includes('"PUT"')) return true
  const carried = carriedSessions(JSON.parse(bundle), at.catalogue.canonicalBase)
  const sessions = await Promise.all(carried.map((uuid) => at.store.sessionByUuid(uuid)))
  const subjects = new Map(sessions.flatMap((one) => (one === undefined ? [] : [[nameOfSubject(one), one]])))
  subjects.delete(nameOfSubject(enrolment))
  for (const one of subjects.values()) if (!(await isOfPatient(one, enrolment, at))) return false
  return true
}

function nameOfSubject({ source, subject }: Pick<Enrolment, 'source' | 'subject'>): string {
  return JSON.stringify([source, subject])
}

async function writtenAnew(
  { about, uncertain, movedFrom }: OutboxEntry,
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
  const { revision } = issued
  const stands = rendered.bundle({ issued: issued.issued, revision })
  const { canonicalBase } = at.catalogue
  const bundle =
    issued.takesBack === true
      ? withdrawnMeans(stands, { canonicalBase, period: about, revision, issued: issued.issued })
      : stands
  const when = { patient: enrolment.patient, issued: issued.issued }
  const sent = movedFrom === undefined ? bundle : movedMeans(bundle, canonicalBase)
  return adornedDelivery(sent, nameOf(issued), when, destination, at.catalogue)
}

function nameOf({ period }: IssuedAverage): string {
  return `period ${period}`
}
