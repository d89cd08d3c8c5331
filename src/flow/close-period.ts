import { instantOf } from '../core/basics/instant.ts'
import { inputError } from '../core/basics/issue.ts'
import { ok, type Result, refused } from '../core/basics/result.ts'
import type { SubmittedSession } from '../core/fhir/means-bundle.ts'
import type { IssuedAverage, Period } from '../core/registry/period.ts'
import { carriedSessions } from './carried-sessions.ts'
import { type PeriodRules, rulesOf } from './period-rules.ts'
import { heldInPeriod, readAll } from './period-sittings.ts'
import type { Ports, StoredSession } from './ports.ts'
import { type RenderedPeriod, renderPeriod } from './render-period.ts'
import { sealedBundle } from './sealed-bundle.ts'
import { submittedRecord } from './submitted-record.ts'

export interface Closed {
  readonly period: Period
  /** False when it had been closed before: its average stays as it was issued. */
  readonly closedNow: boolean
  /** Whether this close issued an average: the first one, or one that amends what changed since. */
  readonly issuedNow: boolean
}

/**
 * Closes one period now: averages what was received, and issues and queues the average for the clinic, all or nothing.
 * Closed again after it was re-opened, it issues an amended average, or none when nothing of substance changed.
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
  const { enrolment, destination } = rules.value

  // Read before the sessions, so that whatever comes in meanwhile counts as not looked at.
  const readThrough = await at.store.newestSeq()
  const held = await heldInPeriod(period, enrolment, at)
  const latest = (await at.store.issuedAverages(period.id)).at(-1)
  const rendered = await rendering(period, rules.value, held, latest, at)
  const average = unchanged(rendered, latest, rules.value) ? undefined : issue(period, rendered, latest, at)
  const revision = average?.revision ?? latest?.revision ?? 0

  const closedNow = await at.store.closePeriod(
    period.id,
    {
      ...(average === undefined ? {} : { average }),
      readThrough,
      urgent: rendered.asksForAttention && destination.attention === 'at-once',
    },
    destination.name,
    at.clock.now(),
    {
      at: instantOf(at.clock.now()).text,
      actor,
      action: 'period-closed',
      about: period.id,
      outcome: 'done',
      detail: { protocol: period.protocol, received: rendered.received, used: rendered.used, revision },
    },
  )
  if (closedNow) await reopenIfOvertaken(period, held, rules.value, at)
  if (!closedNow) return ok({ period: (await at.store.period(id)) ?? period, closedNow, issuedNow: false })
  const closed: Period = { ...period, state: 'closed', revision, readThrough }
  return ok({ period: closed, closedNow, issuedNow: average !== undefined })
}

async function rendering(
  period: Period,
  rules: PeriodRules,
  held: readonly StoredSession[],
  latest: IssuedAverage | undefined,
  at: Ports,
): Promise<RenderedPeriod> {
  const gone = await goneFrom(held, latest, at)
  const [sittings, left] = await Promise.all([submitted(held, rules, at), submitted(gone, rules, at)])
  return renderPeriod(period, rules, sittings, left, at)
}

/** Sessions the last average carried that have no reading in the period any more. */
async function goneFrom(
  held: readonly StoredSession[],
  latest: IssuedAverage | undefined,
  at: Ports,
): Promise<readonly StoredSession[]> {
  if (latest === undefined) return []
  const here = new Set(held.map(({ uuid }) => uuid))
  const gone = carriedSessions(latest.bundle, at.catalogue.canonicalBase).filter((uuid) => !here.has(uuid))
  const found = await Promise.all(gone.map((uuid) => at.store.sessionByUuid(uuid)))
  return found.flatMap((one) => one ?? [])
}

function submitted(
  held: readonly StoredSession[],
  { enrolment }: PeriodRules,
  at: Ports,
): Promise<readonly SubmittedSession[]> {
  const read = readAll(held, enrolment, at)
  return Promise.all(read.map(async (one) => ({ ...one, stored: await submittedRecord(one.stored, at) })))
}

/**
 * Whether the last average still says what is held. Where readings travel with the average alone, all that it carries
 * is compared, by writing it again as it was issued then; elsewhere a session that changed is posted by itself.
 */
function unchanged(
  rendered: RenderedPeriod,
  latest: IssuedAverage | undefined,
  { destination }: PeriodRules,
): boolean {
  if (latest === undefined || latest.summary !== rendered.summary) return false
  if (destination.readings === 'at-once') return true
  const { issued, revision } = latest
  return latest.bundle === sealedBundle(rendered.bundle({ issued, revision }), `period ${latest.period}`)
}

/** The average as it leaves the house: rendered once, validated, and kept as it was sent. */
function issue(
  period: Period,
  rendered: RenderedPeriod,
  latest: IssuedAverage | undefined,
  at: Ports,
): IssuedAverage {
  const issued = instantOf(at.clock.now()).text
  const revision = (latest?.revision ?? 0) + 1
  return {
    period: period.id,
    revision,
    issued,
    bundle: sealedBundle(rendered.bundle({ issued, revision }), `period ${period.id}`),
    summary: rendered.summary,
  }
}

/**
 * A session that came in while the period was being closed may have been followed up while it was still open, and
 * would be missed: so what is held is looked at once more, and the period opened again where it is not what was read.
 */
async function reopenIfOvertaken(
  period: Period,
  read: readonly StoredSession[],
  { enrolment }: PeriodRules,
  at: Ports,
): Promise<void> {
  const held = await heldInPeriod(period, enrolment, at)
  if (stateOf(held) === stateOf(read)) return
  const nowMs = at.clock.now()
  await at.store.reopenPeriod(period.id, nowMs, {
    at: instantOf(nowMs).text,
    actor: 'gateway',
    action: 'period-reopened',
    about: period.id,
    outcome: 'done',
    detail: { protocol: period.protocol },
  })
}

function stateOf(held: readonly StoredSession[]): string {
  return held.map(({ uuid, version }) => `${uuid}/${version}`).join(' ')
}
