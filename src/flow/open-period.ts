import { instantOf } from '../core/basics/instant.ts'
import { type Issue, inputError } from '../core/basics/issue.ts'
import { addDays, type LocalDay, startOfDay } from '../core/basics/local-day.ts'
import { isNonEmpty, ok, type Result, refused } from '../core/basics/result.ts'
import type { Arm } from '../core/clinical/session.ts'
import { periodUuid } from '../core/fhir/identifiers.ts'
import type { Period } from '../core/registry/period.ts'
import type { Ports } from './ports.ts'

export interface PeriodRequest {
  readonly source: string
  readonly subject: string
  /** Id of a protocol document. */
  readonly protocol: string
  readonly firstDay: LocalDay
  /** Local days in the period; the protocol's ideal when absent. */
  readonly days?: number
  readonly arm?: Arm
}

/**
 * Opens the period in which a patient measures. The same source, subject, protocol and first day are the same period:
 * opening it again changes nothing.
 */
export async function openPeriod(
  request: PeriodRequest,
  actor: string,
  at: Ports,
): Promise<Result<{ readonly period: Period; readonly opened: boolean }>> {
  const protocol = at.catalogue.protocols.get(request.protocol)
  const [enrolment] = await at.store.enrolments(request.source, [request.subject])
  const issues: Issue[] = []
  if (protocol === undefined) {
    const ids = [...at.catalogue.protocols.keys()].join(', ')
    issues.push(
      inputError(
        'not-found',
        'UNKNOWN_PROTOCOL',
        'protocol',
        `one of: ${ids}`,
        'Use a protocol that is loaded.',
      ),
    )
  }
  if (enrolment === undefined) {
    issues.push(
      inputError(
        'not-found',
        'UNKNOWN_SUBJECT',
        'subject',
        'an enrolled subject',
        'Enrol the subject first.',
      ),
    )
  }
  const days = request.days ?? protocol?.days.ideal ?? 1
  if (!Number.isInteger(days) || days < 1 || days > 366) {
    issues.push(
      inputError('value', 'OUT_OF_RANGE', 'days', 'a whole number of days, 1 to 366', 'Correct the length.'),
    )
  }
  if (isNonEmpty(issues) || protocol === undefined || enrolment === undefined) {
    return refused(
      isNonEmpty(issues)
        ? issues
        : [inputError('not-found', 'NOT_FOUND', '', 'a known period', 'Check the request.')],
    )
  }

  const { source, subject, firstDay, arm } = request
  const lastDay = addDays(firstDay, days - 1)
  const period: Period = {
    id: periodUuid(source, subject, protocol.id, firstDay),
    source,
    subject,
    protocol: protocol.id,
    firstDay,
    lastDay,
    ...(arm === undefined ? {} : { arm }),
    state: 'open',
    dueMs: startOfDay(addDays(lastDay, 1), enrolment.zone) + at.policy.graceMs,
  }
  const opened = await at.store.openPeriod(period, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'period-opened',
    about: period.id,
    outcome: 'done',
    detail: { protocol: protocol.id, days },
  })
  const held = opened ? period : ((await at.store.period(period.id)) ?? period)
  return ok({ period: held, opened })
}
