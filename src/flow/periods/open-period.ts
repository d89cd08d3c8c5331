import { instantOf } from '../../core/basics/instant.ts'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { addDays, type LocalDay, startOfDay } from '../../core/basics/local-day.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import type { Arm } from '../../core/clinical/session.ts'
import { periodUuid } from '../../core/fhir/identifiers.ts'
import { implausibleDays } from '../../core/record/period-days.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { Period } from '../../core/registry/period.ts'
import { personOf } from '../person/person.ts'
import type { Catalogue, Ports } from '../ports/ports.ts'
import { periodDifferences } from './period-differences.ts'

export interface PeriodRequest {
  readonly source: string
  readonly subject: string
  /** Id of a protocol, or of a rule for 24-hour recordings; the one of the person's destination when absent. */
  readonly protocol?: string
  readonly firstDay: LocalDay
  /** Local days in the period; when absent the protocol's ideal, or the two days a 24-hour recording touches. */
  readonly days?: number
  readonly arm?: Arm
}

/**
 * Opens the period in which a patient measures. The same source, subject, protocol and first day are the same period:
 * opening it again changes nothing, and with other days or another arm it is refused; after it was withdrawn it is a new
 * one. A person with several sources has one of them: it averages what comes through all,
 * so that another under the same protocol from the same day would send the clinic that average twice, and is refused.
 */
export async function openPeriod(
  request: PeriodRequest,
  actor: string,
  at: Ports,
): Promise<Result<{ readonly period: Period; readonly opened: boolean }>> {
  const [enrolment] = await at.store.enrolments(request.source, [request.subject])
  const issues: Issue[] = []
  const protocol = request.protocol ?? defaultProtocol(enrolment, at.catalogue)
  const idealDays = protocol === undefined ? undefined : idealDaysOf(protocol, at.catalogue)
  // For a person who is not enrolled, and a protocol that is not named, only the first can be told.
  if (idealDays === undefined && (request.protocol !== undefined || enrolment !== undefined)) {
    issues.push(unknownProtocol(request.protocol, at.catalogue))
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
  const days = request.days ?? idealDays ?? 1
  const wrongDays = daysIssue(request.firstDay, days, at.clock.now())
  if (wrongDays !== undefined) issues.push(wrongDays)
  if (isNonEmpty(issues) || protocol === undefined || enrolment === undefined) {
    return refused(
      isNonEmpty(issues)
        ? issues
        : [inputError('not-found', 'NOT_FOUND', '', 'a known period', 'Check the request.')],
    )
  }

  const { source, subject, firstDay, arm } = request
  const lastDay = addDays(firstDay, days - 1)
  const sameBefore = (await at.store.periodsOf(source, subject)).filter(
    (one) => one.state === 'withdrawn' && one.protocol === protocol && one.firstDay === firstDay,
  )
  const period: Period = {
    id: periodUuid(source, subject, protocol, firstDay, sameBefore.length + 1),
    source,
    subject,
    protocol,
    firstDay,
    lastDay,
    ...(arm === undefined ? {} : { arm }),
    state: 'open',
    dueMs: startOfDay(addDays(lastDay, 1), enrolment.zone) + at.policy.graceMs,
    revision: 0,
  }
  const taken = await periodOfSamePerson(period, enrolment, at)
  if (taken !== undefined) {
    return refused([
      inputError(
        'conflict',
        'PERIOD_OF_SAME_PATIENT',
        'subject',
        `a patient who has no such period through another subject; this one has ${taken.id}`,
        'Use that period: it averages what comes through all sources of the patient.',
      ),
    ])
  }
  const opened = await at.store.openPeriod(period, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'period-opened',
    about: period.id,
    outcome: 'done',
    detail: { protocol, days },
  })
  const held = opened ? period : ((await at.store.period(period.id)) ?? period)
  if (held.state === 'withdrawn') return openPeriod(request, actor, at)
  const differences = periodDifferences(period, held)
  return isNonEmpty(differences) ? refused(differences) : ok({ period: held, opened })
}

/** The same person's period under that protocol from that day, of another of their enrolments. */
async function periodOfSamePerson(
  { protocol, firstDay }: Period,
  enrolment: Enrolment,
  at: Pick<Ports, 'store'>,
): Promise<Period | undefined> {
  const [, ...others] = await personOf(enrolment, at)
  for (const { source, subject } of others) {
    const periods = await at.store.periodsOf(source, subject)
    const same = periods.find(
      (one) => one.protocol === protocol && one.firstDay === firstDay && one.state !== 'withdrawn',
    )
    if (same !== undefined) return same
  }
  return undefined
}

function daysIssue(firstDay: LocalDay, days: number, nowMs: number): Issue | undefined {
  return !Number.isInteger(days) || days < 1 || days > 366
    ? inputError('value', 'OUT_OF_RANGE', 'days', 'a whole number of days, 1 to 366', 'Correct the length.')
    : implausibleDays({ firstDay, lastDay: addDays(firstDay, days - 1) }, nowMs)
}

function defaultProtocol(enrolment: Enrolment | undefined, catalogue: Catalogue): string | undefined {
  return enrolment === undefined ? undefined : catalogue.destinations.get(enrolment.destination)?.protocol
}

/** Undefined when neither a protocol nor a recording rule of that id is loaded. */
function idealDaysOf(id: string, { protocols, recordingRules }: Catalogue): number | undefined {
  return protocols.get(id)?.days.ideal ?? (recordingRules.has(id) ? DAYS_OF_A_RECORDING : undefined)
}

/** A recording of 24 hours begins on one local day and ends on the next. */
const DAYS_OF_A_RECORDING = 2

function unknownProtocol(named: string | undefined, { protocols, recordingRules }: Catalogue): Issue {
  const ids = [...protocols.keys(), ...recordingRules.keys()].join(', ')
  return named === undefined
    ? inputError(
        'required',
        'MISSING_KEY',
        'protocol',
        `one of: ${ids}`,
        'Name a protocol, or set one for the destination.',
      )
    : inputError(
        'not-found',
        'UNKNOWN_PROTOCOL',
        'protocol',
        `one of: ${ids}`,
        'Use a protocol that is loaded.',
      )
}
