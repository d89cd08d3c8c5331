import { instantOf } from '../../core/basics/instant.ts'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { addDays, startOfDay } from '../../core/basics/local-day.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { inAscii } from '../../core/basics/write-json.ts'
import { instantInZone } from '../../core/fhir/instant-in-zone.ts'
import type { Destination } from '../../core/registry/destination.ts'
import { isOnePatient } from '../../core/registry/enrolment.ts'
import { averagesFor, type IssuedAverage, type Period } from '../../core/registry/period.ts'
import { type PeriodRules, rulesOf } from '../person/period-rules.ts'
import { heldInPeriod } from '../person/period-sittings.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { asInForm, averageForm } from '../render/average-form.ts'
import { patientInBundle } from '../render/patient-condition.ts'
import { renderHeldPeriod } from '../render/render-held-period.ts'
import type { RenderedPeriod } from '../render/render-period.ts'
import { sealedBundle } from '../render/sealed-bundle.ts'

export interface Closed {
  readonly period: Period
  /** False when it had been closed before: its average stays as it was issued. */
  readonly closedNow: boolean
  /** Whether this close issued an average: the first one, or one that amends what changed since. */
  readonly issuedNow: boolean
}

/**
 * Closes one period now: averages what was received, and issues and queues the average for the clinic, all or nothing.
 * Closed again after it was re-opened, it issues an amended average, or none when nothing of substance changed. Refused
 * while it runs, until the end of its last day in the patient’s zone.
 *
 * @throws OwnFault when a kept record can no longer be read, or the average breaks a rule; the period stays open.
 */
export async function closePeriod(id: string, actor: string, at: Ports): Promise<Result<Closed>> {
  const period = await at.store.period(id)
  if (period === undefined) {
    return refused([inputError('not-found', 'NOT_FOUND', 'period', 'the id of a period', 'Check the id.')])
  }
  if (period.state === 'closed') return ok({ period, closedNow: false, issuedNow: false })
  const rules = await rulesOf(period, at)
  if (!rules.ok) return rules
  const { person, destination, enrolment } = rules.value
  const endMs = startOfDay(addDays(period.lastDay, 1), enrolment.zone)
  if (at.clock.now() < endMs) return refused([stillRuns(period, instantInZone(endMs, enrolment.zone))])

  // Read before the sessions, so that whatever comes in meanwhile counts as not looked at.
  const readThrough = await at.store.newestSeq()
  const held = await heldInPeriod(period, person, at)
  const issued = await at.store.issuedAverages(period.id)
  const before = averagesFor(destination.name, issued)
  const newest = issued.at(-1)?.revision ?? 0
  const rendered = await renderHeldPeriod(period, rules.value, held, before, at)
  const average = (await isUnchanged(period, rules.value, held, rendered, before, at))
    ? undefined
    : issue(period, newest + 1, rendered, destination, at)
  const revision = average?.revision ?? newest

  const nowMs = at.clock.now()
  const audited = {
    at: instantOf(nowMs).text,
    about: period.id,
    outcome: 'done',
  } as const
  const closedNow = await at.store.closePeriod(
    period.id,
    {
      ...(average === undefined ? {} : { average }),
      readThrough,
      urgent: rendered.asksForAttention && destination.attention === 'at-once',
      overtaken: {
        person,
        audit: {
          ...audited,
          actor: 'gateway',
          action: 'period-reopened',
          detail: { protocol: period.protocol },
        },
      },
    },
    nowMs,
    {
      ...audited,
      actor,
      action: 'period-closed',
      detail: { protocol: period.protocol, received: rendered.received, used: rendered.used, revision },
    },
  )
  if (!closedNow) return ok({ period: (await at.store.period(id)) ?? period, closedNow, issuedNow: false })
  const closed: Period = { ...period, state: 'closed', revision, readThrough }
  return ok({ period: closed, closedNow, issuedNow: average !== undefined })
}

/** An average of days that have not come would say that nobody measured on them, and that it is final. */
function stillRuns({ dueMs }: Period, end: string): Issue {
  return inputError(
    'business-rule',
    'NOT_YET',
    'period',
    `a period whose last day is over; this one runs until ${end}`,
    `Close it then, or leave it: it is closed by itself at ${instantOf(dueMs).text}. Its comparison shows what came so far.`,
  )
}

/**
 * Whether the last average for the destination still says what is held. Where readings travel with the average alone, or stay here, all that
 * it says is compared, by writing it again as it was issued then; elsewhere a session that changed is posted by itself.
 * What the destination asks for in another way since is no change, nor is another patient: it is compared in the form and
 * about the patient it was issued for.
 */
async function isUnchanged(
  period: Period,
  rules: PeriodRules,
  held: readonly StoredSession[],
  rendered: RenderedPeriod,
  before: readonly IssuedAverage[],
  at: Ports,
): Promise<boolean> {
  const latest = before.at(-1)
  if (latest === undefined) return false
  const { destination } = rules
  const form = latest.form ?? averageForm(destination)
  const { enrolment } = rules
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
function issue(
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
