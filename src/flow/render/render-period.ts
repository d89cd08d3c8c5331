import type { Bundle } from 'fhir/r4.js'
import { averageRecording } from '../../core/clinical/ambulatory/average-recording.ts'
import { recordingNarrative } from '../../core/clinical/ambulatory/recording-narrative.ts'
import { recordingSummary } from '../../core/clinical/ambulatory/recording-summary.ts'
import type { PeriodPlan } from '../../core/clinical/averaging/period-average.ts'
import { periodNarrative } from '../../core/clinical/report/period-narrative.ts'
import { periodSummary } from '../../core/clinical/report/period-summary.ts'
import { reportPeriod } from '../../core/clinical/report/report-period.ts'
import { averageBundle } from '../../core/fhir/average/average-bundle.ts'
import type { SubmittedSession } from '../../core/fhir/average/means-bundle.ts'
import { recordingBundle } from '../../core/fhir/recording/recording-bundle.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { Period } from '../../core/registry/period.ts'
import type { PeriodRules } from '../person/period-rules.ts'
import type { Ports } from '../ports/ports.ts'
import { deliveredContext } from './delivered-context.ts'

/** When and as which an average leaves the house. */
export interface Issue {
  /** RFC 3339 text. */
  readonly issued: string
  readonly revision: number
}

/** A period averaged, ready to be written. */
export interface RenderedPeriod {
  /** The summary as JSON text. Says nothing of when it was issued: the same readings give the same text. */
  readonly summary: string
  readonly received: number
  readonly used: number
  readonly asksForAttention: boolean
  bundle(issue: Issue): Bundle
}

/**
 * Averages a period by its rules and makes it ready to be written. Pure but for what `at` says of this deployment.
 *
 * @param sittings every session with a reading in the period.
 * @param carried sessions that travel along.
 */
export function renderPeriod(
  period: Period,
  rules: Omit<PeriodRules, 'person'>,
  sittings: readonly SubmittedSession[],
  carried: readonly SubmittedSession[],
  at: Pick<Ports, 'catalogue' | 'policy'>,
): RenderedPeriod {
  const { enrolment, destination, by, thresholdSets } = rules
  const { decimals } = destination
  const context = { ...deliveredContext(enrolment, destination, at.catalogue), period: period.id, decimals }

  if (by.kind === 'recording') {
    const { zone } = enrolment
    const { firstDay, lastDay } = period
    const plan = { rule: by.rule, zone, firstDay, lastDay, policy: destination.findings }
    const average = averageRecording(plan, sittings, thresholdSets)
    const summary = recordingSummary(average, at.policy.attention.high, decimals)
    const narrative = recordingNarrative(summary)
    return {
      summary: JSON.stringify(summary),
      received: average.received,
      used: average.used.length,
      asksForAttention: summary.attention !== undefined,
      bundle: (issue) => recordingBundle(average, carried, { ...context, ...issue, narrative }),
    }
  }

  const plan = periodPlan(period, rules, by.protocol)
  const report = reportPeriod(plan, sittings, thresholdSets, at.policy.attention)
  const summary = periodSummary(report, decimals)
  const narrative = periodNarrative(summary)
  return {
    summary: JSON.stringify(summary),
    received: report.average.received,
    used: report.average.used.length,
    asksForAttention: report.attention.length > 0,
    bundle: (issue) => averageBundle(report, carried, { ...context, ...issue, narrative }),
  }
}

interface Planned {
  readonly enrolment: Pick<Enrolment, 'zone'>
  readonly destination: Pick<Destination, 'findings'>
}

/** The plan of a period under a protocol, by the policy of its destination. */
export function periodPlan(
  period: Pick<Period, 'firstDay' | 'lastDay' | 'arm'>,
  { enrolment, destination }: Planned,
  protocol: PeriodPlan['protocol'],
): PeriodPlan {
  const { firstDay, lastDay, arm } = period
  return {
    protocol,
    zone: enrolment.zone,
    firstDay,
    lastDay,
    ...(arm === undefined ? {} : { arm }),
    policy: destination.findings,
  }
}
