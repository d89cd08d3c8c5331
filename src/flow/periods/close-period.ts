import { instantOf } from '../../core/basics/instant.ts'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { addDays, startOfDay } from '../../core/basics/local-day.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { instantInZone } from '../../core/fhir/instant-in-zone.ts'
import { averagesFor, type Period } from '../../core/registry/period.ts'
import { rulesOf } from '../person/period-rules.ts'
import { heldInPeriod } from '../person/period-sittings.ts'
import type { Ports } from '../ports/ports.ts'
import { renderHeldPeriod } from '../render/render-held-period.ts'
import { amendElsewhere } from './amend-elsewhere.ts'
import { issueAverage, isUnchanged } from './issue-average.ts'

export interface Closed {
  readonly period: Period
  /** False when it had been closed before: its average stays as it was issued. */
  readonly closedNow: boolean
  /** Whether this close issued an average: the first one, or one that amends what changed since. */
  readonly issuedNow: boolean
}

/**
 * Closes one period now: averages what was received, and issues and queues the average for the clinic, all or nothing.
 * Closed again after it was re-opened, it issues an amended average, or none when nothing of substance changed; and where
 * the person was linked to other clinics before, one for each whose average no longer holds. Refused
 * while it runs, until the end of its last day in the patient’s zone.
 *
 * @throws OwnFault when a kept record can no longer be read, or the average breaks a rule; the period stays open.
 */
export async function closePeriod(id: string, actor: string, at: Ports): Promise<Result<Closed>> {
  const period = await at.store.period(id)
  if (period === undefined) {
    return refused([inputError('not-found', 'NOT_FOUND', 'period', 'the id of a period', 'Check the id.')])
  }
  if (period.state === 'withdrawn') return refused([nothingMore()])
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
  const isSaid = await isUnchanged(period, rules.value, held, rendered, before, at)
  const average = isSaid ? undefined : issueAverage(period, newest + 1, rendered, destination, at)
  const elsewhere = await amendElsewhere(period, rules.value, issued, average?.revision ?? newest, at)
  const revision = elsewhere.at(-1)?.revision ?? average?.revision ?? newest

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
      elsewhere,
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

function nothingMore(): Issue {
  return inputError(
    'conflict',
    'PERIOD_WITHDRAWN',
    'period',
    'a period that was not withdrawn',
    'Open a period again where these days are meant to be averaged.',
  )
}
