import { ALL_TIME } from '../../core/basics/instant.ts'
import { readingUuid } from '../../core/fhir/identifiers.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { averagesFor, type IssuedAverage, type Period } from '../../core/registry/period.ts'
import { type PeriodRules, rulesFor } from '../person/period-rules.ts'
import { heldInPeriod, heldOf } from '../person/period-sittings.ts'
import { isOfSubject, type Person } from '../person/person.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { patientInBundle } from '../render/patient-condition.ts'
import { renderHeldPeriod } from '../render/render-held-period.ts'
import { issueAverage, isUnchanged } from './issue-average.ts'

/**
 * What a period’s averages for clinics that its person was linked to before have to say anew: where a session that one was
 * made of was corrected or taken back since, that one no longer holds, and the readings that came with it do not either.
 * It is amended by that clinic’s rules, under the identifier that was used there, and of what it was made of alone: what
 * came for another clinic is not this one’s to have.
 *
 * @param issued all averages of the period.
 * @param newest the revision after which these follow.
 */
export async function amendElsewhere(
  period: Period,
  rules: PeriodRules,
  issued: readonly IssuedAverage[],
  newest: number,
  at: Ports,
): Promise<readonly IssuedAverage[]> {
  const earlier = new Set(issued.map(({ destination }) => destination))
  earlier.delete(rules.destination.name)
  const amended: IssuedAverage[] = []
  for (const name of earlier) {
    const revision = newest + amended.length + 1
    const one = await amendedFor(name, period, rules, averagesFor(name, issued), revision, at)
    if (one !== undefined) amended.push(one)
  }
  return amended
}

async function amendedFor(
  name: string,
  period: Period,
  { enrolment, person }: PeriodRules,
  before: readonly IssuedAverage[],
  revision: number,
  at: Ports,
): Promise<IssuedAverage | undefined> {
  const latest = before.at(-1)
  const known = await at.store.earlierPatient(period.source, period.subject, name)
  const patient = known ?? (latest && patientInBundle(latest.bundle))
  if (latest === undefined || patient === undefined) return undefined
  const zone = zoneOf(latest) ?? enrolment.zone
  const then = await personAt({ ...enrolment, patient, zone, destination: name }, person, at)
  const all = await heldOf(then, ALL_TIME.fromMs, ALL_TIME.toMs, at)
  const isNamed = (session: StoredSession) => isNamedIn(latest.bundle, session)
  const nowMs = at.clock.now()
  if (!all.some((session) => isChangedSince(latest, session, nowMs) && isNamed(session))) return undefined
  const rules = rulesFor(period, then, at)
  if (!rules.ok) return undefined

  const held = (await heldInPeriod(period, then, at)).filter(isNamed)
  const rendered = await renderHeldPeriod(period, rules.value, held, before, at)
  if (await isUnchanged(period, rules.value, held, rendered, before, at)) return undefined
  return issueAverage(period, revision, rendered, rules.value.destination, at)
}

/** Whoever is linked to the patient there, and whoever is of the same person by now. */
async function personAt(enrolment: Enrolment, now: Person, { store }: Pick<Ports, 'store'>): Promise<Person> {
  const linked = await store.enrolmentsOf(enrolment.patient, enrolment.destination)
  const others = [...linked, ...now].filter((one) => !isOfSubject(one, enrolment))
  return [
    enrolment,
    ...others.filter((one, index) => others.findIndex((other) => isOfSubject(one, other)) === index),
  ]
}

/** One that was issued while the clock was ahead tells nothing of when: whatever was ever changed may have been since. */
function isChangedSince(
  { issued }: IssuedAverage,
  { version, withdrawn, receivedAt }: StoredSession,
  nowMs: number,
): boolean {
  const issuedMs = Date.parse(issued)
  return (version > 1 || withdrawn) && (issuedMs > nowMs || Date.parse(receivedAt) >= issuedMs)
}

/** Whether an average was made of a session: its bundle carries it, or names its readings. */
function isNamedIn(bundle: string, { uuid, raw }: StoredSession): boolean {
  const { readings }: { readonly readings: readonly unknown[] } = JSON.parse(raw)
  return bundle.includes(uuid) || readings.some((_, index) => bundle.includes(readingUuid(uuid, index + 1)))
}

/** The time zone whose days it averages. */
function zoneOf({ summary }: IssuedAverage): string | undefined {
  const { period }: { readonly period?: { readonly zone?: string } } = JSON.parse(summary)
  return period?.zone
}
