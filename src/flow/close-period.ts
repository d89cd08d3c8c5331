import { instantOf } from '../core/basics/instant.ts'
import { inputError } from '../core/basics/issue.ts'
import { addDays, startOfDay } from '../core/basics/local-day.ts'
import { ok, type Result, refused } from '../core/basics/result.ts'
import { averageNarrative } from '../core/clinical/averaging/average-narrative.ts'
import { averagePeriod } from '../core/clinical/averaging/average-period.ts'
import { averageSummary } from '../core/clinical/averaging/average-summary.ts'
import type { PeriodAverage } from '../core/clinical/averaging/period-average.ts'
import type { Protocol } from '../core/clinical/protocol/protocol.ts'
import type { ThresholdSet } from '../core/clinical/protocol/threshold-set.ts'
import { averageBundle } from '../core/fhir/average-bundle.ts'
import type { Destination } from '../core/registry/destination.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { IssuedAverage, Period } from '../core/registry/period.ts'
import { deliveredContext } from './delivered-context.ts'
import { OwnFault } from './own-fault.ts'
import type { Ports } from './ports.ts'
import { type ReadStored, readStored } from './read-stored.ts'
import { sealedBundle } from './sealed-bundle.ts'

export interface Closed {
  readonly period: Period
  /** False when it had been closed before: its average stays as it was issued. */
  readonly closedNow: boolean
}

/**
 * Closes one period now: averages what was received, issues the average and queues it for the clinic, all or nothing.
 *
 * @throws OwnFault when a kept record can no longer be read, or the average breaks a rule; the period stays open.
 */
export async function closePeriod(id: string, actor: string, at: Ports): Promise<Result<Closed>> {
  const period = await at.store.period(id)
  if (period === undefined) {
    return refused([inputError('not-found', 'NOT_FOUND', 'period', 'the id of a period', 'Check the id.')])
  }
  if (period.state === 'closed') return ok({ period, closedNow: false })

  const rules = await rulesOf(period, at)
  if (!rules.ok) return rules
  const sittings = await sittingsOf(period, rules.value.enrolment, at)
  const average = averagePeriod(planOf(period, rules.value), sittings, rules.value.thresholdSets)

  const issued = issue(period, average, sittings, rules.value, at)
  const closedNow = await at.store.closePeriod(
    period.id,
    issued,
    rules.value.destination.name,
    at.clock.now(),
    {
      at: issued.issued,
      actor,
      action: 'period-closed',
      about: period.id,
      outcome: 'done',
      detail: { protocol: period.protocol, received: average.received, used: average.used.length },
    },
  )
  return ok({ period: { ...period, state: 'closed' }, closedNow })
}

/** Closes every period that is due. Returns how many were closed; one that cannot be is logged and left open. */
export async function closeDuePeriods(at: Ports): Promise<number> {
  let closed = 0
  const stuck = new Set<string>()
  for (;;) {
    const due = await at.store.duePeriods(at.clock.now(), PERIODS_AT_ONCE + stuck.size)
    const fresh = due.filter((period) => !stuck.has(period.id))
    if (fresh.length === 0) return closed
    for (const period of fresh) {
      const outcome = await closeOne(period, at)
      if (outcome === 'closed') closed += 1
      if (outcome === 'stuck') stuck.add(period.id)
    }
  }
}

async function closeOne({ id }: Period, at: Ports): Promise<'closed' | 'closed before' | 'stuck'> {
  try {
    const result = await closePeriod(id, 'gateway', at)
    if (result.ok) return result.value.closedNow ? 'closed' : 'closed before'
    at.log.warn('period-not-closed', { period: id, code: result.issues[0].code })
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('period-not-closed', { period: id, code: error.code, error: error.message })
  }
  return 'stuck'
}

const PERIODS_AT_ONCE = 100

interface Rules {
  readonly enrolment: Enrolment
  readonly destination: Destination
  readonly protocol: Protocol
  readonly thresholdSets: readonly ThresholdSet[]
}

async function rulesOf(period: Period, at: Ports): Promise<Result<Rules>> {
  const [enrolment] = await at.store.enrolments(period.source, [period.subject])
  if (enrolment === undefined) {
    return refused([
      inputError(
        'not-found',
        'UNKNOWN_SUBJECT',
        'subject',
        'an enrolled subject',
        'Enrol the subject again.',
      ),
    ])
  }
  const protocol = at.catalogue.protocols.get(period.protocol)
  if (protocol === undefined) {
    return refused([
      inputError('not-found', 'UNKNOWN_PROTOCOL', 'protocol', 'a loaded protocol', 'Bring its file back.'),
    ])
  }
  const destination = at.catalogue.destinations.get(enrolment.destination)
  if (destination === undefined) {
    return refused([
      inputError(
        'not-found',
        'UNKNOWN_DESTINATION',
        'destination',
        'a destination of the settings',
        'Add it to the settings.',
      ),
    ])
  }
  const thresholdSets = protocol.thresholdSets.flatMap((id) => at.catalogue.thresholdSets.get(id) ?? [])
  return ok({ enrolment, destination, protocol, thresholdSets })
}

function planOf(period: Period, { protocol, enrolment }: Rules): PeriodAverage['plan'] {
  const { firstDay, lastDay, arm } = period
  return { protocol, zone: enrolment.zone, firstDay, lastDay, ...(arm === undefined ? {} : { arm }) }
}

async function sittingsOf(period: Period, enrolment: Enrolment, at: Ports): Promise<readonly ReadStored[]> {
  const from = startOfDay(period.firstDay, enrolment.zone)
  const to = startOfDay(addDays(period.lastDay, 1), enrolment.zone)
  const stored = await at.store.sessionsBetween(period.source, period.subject, from, to)
  return stored.map((one) => readStored(one, enrolment))
}

/** The average as it leaves the house: rendered once, validated, and kept as it was sent. */
function issue(
  period: Period,
  average: PeriodAverage,
  sittings: readonly ReadStored[],
  { enrolment, destination }: Rules,
  at: Ports,
): IssuedAverage {
  const issued = instantOf(at.clock.now()).text
  const summary = averageSummary(average, destination.decimals)
  const bundle = averageBundle(average, sittings, {
    ...deliveredContext(enrolment, destination, at.catalogue),
    period: period.id,
    issued,
    narrative: averageNarrative(summary),
    decimals: destination.decimals,
  })
  return {
    period: period.id,
    issued,
    bundle: sealedBundle(bundle, `period ${period.id}`),
    summary: JSON.stringify(summary),
  }
}
