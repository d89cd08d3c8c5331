import { setImmediate } from 'node:timers/promises'
import { ALL_TIME, instantOf } from '../../core/basics/instant.ts'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { isTimeZone } from '../../core/basics/local-day.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import { sittingsOnce } from '../../core/clinical/attention/sittings-once.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { enrolmentIssues } from '../../core/registry/enrolment-issues.ts'
import type { ReadStored } from '../check/read-stored.ts'
import { followLink } from '../follow/follow-link.ts'
import { raiseHistoryAttention, raiseSessionAttention } from '../follow/raise-attention.ts'
import { type RemarkedLinks, remarkedLinks } from '../person/linked-subjects.ts'
import { heldOf, readAll } from '../person/period-sittings.ts'
import { type Person, personOf } from '../person/person.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'

export interface Enrolled extends RemarkedLinks {
  readonly enrolment: Enrolment
  /** Sessions that had been waiting for this link and are now queued for the clinic. */
  readonly queued: number
  /** What the destination was given under another patient, and is queued to be brought over to this one. */
  readonly moving: number
}

/** Links a source's subject to the clinic's patient. Saving again replaces the link; sessions are never queued twice. */
export async function enrol(enrolment: Enrolment, actor: string, at: Ports): Promise<Result<Enrolled>> {
  const issues: Issue[] = [...enrolmentIssues(enrolment)]
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

  const [before] = await at.store.enrolments(enrolment.source, [enrolment.subject])
  const { queued, moving } = await at.store.saveEnrolment(enrolment, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'enrolment-saved',
    about: enrolment.source,
    outcome: 'done',
    detail: { destination: enrolment.destination },
  })
  if (moving > 0) {
    const { source, destination } = enrolment
    at.log.warn('enrolment-relinked', { source, destination, moving })
  }
  const person = await personOf(enrolment, at)
  await raiseWaitingCalls(person, at)
  await followLink(person, before, at)
  return ok({ enrolment, queued, moving, ...remarkedLinks(person) })
}

/**
 * Raises what sessions call for that arrived before there was a clinic to call, and what they call for together with
 * those of the person’s other sources. Saving the link again raises nothing twice, so a save that broke off here is made
 * good by repeating it.
 */
async function raiseWaitingCalls(person: Person, at: Ports): Promise<void> {
  const destination = at.catalogue.destinations.get(person[0].destination)
  if (destination?.attention !== 'at-once') return
  const held = await heldOf(person, ALL_TIME.fromMs, ALL_TIME.toMs, at)
  const read: ReadStored[] = []
  for (const [place, stored] of held.entries()) {
    if (place % READ_AT_A_TIME === READ_AT_A_TIME - 1) await setImmediate()
    if (!stored.withdrawn) read.push(...readable(stored, person, at))
  }
  for (const one of read) await raiseSessionAttention(one, destination, at)
  await raiseHistoryAttention(sittingsOnce(read), ALL_TIME.fromMs, destination, at)
}

/** Sessions read and checked before others have their turn, for a person may have years of them. A few milliseconds. */
const READ_AT_A_TIME = 50

/** A kept session that can no longer be read must not keep its person from being enrolled. */
function readable(stored: StoredSession, person: Person, at: Ports): readonly ReadStored[] {
  try {
    return readAll([stored], person, at)
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('attention-not-looked-for', { code: error.code, error: error.message })
    return []
  }
}
