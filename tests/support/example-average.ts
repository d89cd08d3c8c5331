import { instantOf } from '../../src/core/basics/instant.ts'
import { addDays, startOfDay } from '../../src/core/basics/local-day.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import type { PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import { periodNarrative } from '../../src/core/clinical/report/period-narrative.ts'
import type { PeriodReport } from '../../src/core/clinical/report/period-report.ts'
import { periodSummary } from '../../src/core/clinical/report/period-summary.ts'
import { reportPeriod } from '../../src/core/clinical/report/report-period.ts'
import type { SubmittedSession } from '../../src/core/fhir/average/means-bundle.ts'
import type { AverageContext } from '../../src/core/fhir/average-context.ts'
import { periodUuid } from '../../src/core/fhir/identifiers.ts'
import { EXAMPLE_RECORD, exampleContext } from './example-context.ts'
import { homeSitting, type SittingParts, techniqueFinding } from './home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from './shipped-profiles.ts'

type SessionChanges = Omit<Partial<SittingParts>, 'at' | 'readings'>

export interface ExampleAverage {
  readonly report: PeriodReport
  readonly average: PeriodAverage
  readonly sittings: readonly SubmittedSession[]
  readonly context: AverageContext
}

/**
 * A week under the NICE protocol in a zone that changes its clock inside it, mornings and evenings, two readings a
 * sitting. Day one is left out by the rule, one reading has no diastolic, one sitting was flagged for talking, and one
 * used the other arm: 28 readings received.
 *
 * @param changes replaces parts of every session.
 * @param only keeps the first so many sittings; 0 is a period without any.
 */
export function exampleAverage(changes: SessionChanges = {}, only = 14): ExampleAverage {
  const sittings = weekOfSittings(changes).slice(0, only)
  const report = reportPeriod(
    {
      protocol: shippedProtocol('nice-ng136-home'),
      zone: 'America/Denver',
      firstDay: '2026-03-04',
      lastDay: '2026-03-10',
    },
    sittings,
    shippedThresholdSets(),
    DEFAULT_ATTENTION_LIMITS,
  )
  return { report, average: report.average, sittings, context: averageContext(report) }
}

/** How an average is written for a clinic, on the day after its last; any part can be replaced. */
export function averageContext(report: PeriodReport, changes: Partial<AverageContext> = {}): AverageContext {
  const { source, canonicalBase, subject, positionAs, snomed } = exampleContext()
  const { plan } = report.average
  return {
    source,
    canonicalBase,
    subject,
    positionAs,
    snomed,
    period: periodUuid(source, 'P-1', plan.protocol.id, plan.firstDay),
    revision: 1,
    issued: instantOf(startOfDay(addDays(plan.lastDay, 1), plan.zone) + HALF_A_DAY_MS).text,
    narrative: periodNarrative(periodSummary(report, changes.decimals ?? 1)),
    decimals: 1,
    ...changes,
  }
}

const HALF_A_DAY_MS = 12 * 60 * 60 * 1000

function weekOfSittings(changes: SessionChanges): SubmittedSession[] {
  const sittings: SubmittedSession[] = []
  for (let day = 4; day <= 10; day += 1) {
    // The clock goes forward on 8 March 2026 in Denver.
    const offset = day < 8 ? '-07:00' : '-06:00'
    for (const [hour, systolic] of [
      ['06', 138],
      ['19', 131],
    ] as const) {
      const at = `2026-03-${String(day).padStart(2, '0')}T${hour}:30:00${offset}`
      const missing = day === 6 && hour === '06'
      const flagged = day === 7 && hour === '19'
      const otherArm = day === 9 && hour === '19'
      const sitting = homeSitting({
        at,
        readings: [
          [systolic + day, missing ? null : 84, 70],
          [systolic - 3, 82, 68],
        ],
        findings: flagged ? [techniqueFinding()] : [],
        ...(otherArm ? { arm: 'right' as const } : {}),
        device: { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' },
        ...changes,
      })
      sittings.push({ ...sitting, stored: EXAMPLE_RECORD })
    }
  }
  return sittings
}
