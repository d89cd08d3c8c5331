import { instantOf } from '../../core/basics/instant.ts'
import { inAscii } from '../../core/basics/write-json.ts'
import type { Destination } from '../../core/registry/destination.ts'
import { isOnePatient } from '../../core/registry/enrolment.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import type { PeriodRules } from '../person/period-rules.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { asInForm, averageForm } from '../render/average-form.ts'
import { patientInBundle } from '../render/patient-condition.ts'
import { renderHeldPeriod } from '../render/render-held-period.ts'
import type { RenderedPeriod } from '../render/render-period.ts'
import { sealedBundle } from '../render/sealed-bundle.ts'

/**
 * Whether the last average for the destination still says what is held. Where readings travel with the average alone, or
 * stay here, all that it says is compared, by writing it again as it was issued then; elsewhere a session that changed is
 * posted by itself.
 * What the destination asks for in another way since is no change, nor is another patient: it is compared in the form and
 * about the patient it was issued for.
 */
export async function isUnchanged(
  period: Period,
  rules: PeriodRules,
  held: readonly StoredSession[],
  rendered: RenderedPeriod,
  before: readonly IssuedAverage[],
  at: Ports,
): Promise<boolean> {
  const latest = before.at(-1)
  if (latest === undefined) return false
  const { destination, enrolment } = rules
  const form = latest.form ?? averageForm(destination)
  const patient = patientInBundle(latest.bundle) ?? enrolment.patient
  const isAsIssued = form === averageForm(destination) && isOnePatient(patient, enrolment.patient)
  const asIssued = {
    ...rules,
    destination: asInForm(destination, form),
    enrolment: { ...enrolment, patient },
  }
  const then = isAsIssued ? rendered : await renderHeldPeriod(period, asIssued, held, before, at)
  if (latest.summary !== then.summary) return false
  const { issued, revision } = latest
  return (
    destination.readings === 'at-once' ||
    inAscii(latest.bundle) === sealedBundle(then.bundle({ issued, revision }), `period ${latest.period}`)
  )
}

/** The average as it leaves the house: rendered once, validated, and kept as it was sent. */
export function issueAverage(
  period: Period,
  revision: number,
  rendered: RenderedPeriod,
  destination: Destination,
  at: Ports,
): IssuedAverage {
  const issued = instantOf(at.clock.now()).text
  return {
    period: period.id,
    revision,
    issued,
    bundle: sealedBundle(rendered.bundle({ issued, revision }), `period ${period.id}`),
    summary: rendered.summary,
    form: averageForm(destination),
    destination: destination.name,
  }
}
