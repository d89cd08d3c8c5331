import { instantOf } from '../core/basics/instant.ts'
import { type Issue, inputError } from '../core/basics/issue.ts'
import { isTimeZone } from '../core/basics/local-day.ts'
import { isNonEmpty, ok, type Result, refused } from '../core/basics/result.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Ports } from './ports.ts'

export interface Enrolled {
  readonly enrolment: Enrolment
  /** Sessions that had been waiting for this link and are now queued for the clinic. */
  readonly queued: number
}

/** Links a source's subject to the clinic's patient. Saving again replaces the link; sessions are never queued twice. */
export async function enrol(enrolment: Enrolment, actor: string, at: Ports): Promise<Result<Enrolled>> {
  const issues: Issue[] = []
  if (!(await at.store.sources()).some((source) => source.name === enrolment.source)) {
    issues.push(
      inputError(
        'not-found',
        'UNKNOWN_SOURCE',
        'source',
        'the name of a registered source',
        'Register the source first.',
      ),
    )
  }
  if (!at.catalogue.destinations.has(enrolment.destination)) {
    const names = [...at.catalogue.destinations.keys()].join(', ')
    issues.push(
      inputError(
        'not-found',
        'UNKNOWN_DESTINATION',
        'destination',
        `one of: ${names}`,
        'Use a destination of the settings.',
      ),
    )
  }
  if (!isTimeZone(enrolment.zone)) {
    issues.push(
      inputError(
        'value',
        'OUT_OF_RANGE',
        'zone',
        'an IANA time zone such as Europe/Lisbon',
        'Name the zone the patient lives in.',
      ),
    )
  }
  if (isNonEmpty(issues)) return refused(issues)

  const queued = await at.store.saveEnrolment(enrolment, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'enrolment-saved',
    about: enrolment.source,
    outcome: 'done',
    detail: { destination: enrolment.destination },
  })
  return ok({ enrolment, queued })
}
