import { localTime } from '../../core/basics/local-day.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { nearbySessions } from '../person/nearby-sessions.ts'
import { type Person, personOf } from '../person/person.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { ArrivedPerson, Ports } from '../ports/ports.ts'
import { queueChangedCalls } from './queue-changed-calls.ts'
import { raiseHistoryAttention } from './raise-attention.ts'
import { reopenPeriod } from './reopen-period.ts'

export interface Followed {
  /** Closed periods that were opened again, and calls for attention that are new. */
  readonly reopened: number
  readonly raised: number
}

/**
 * Looks at what came in since the last time, late, corrected and withdrawn sessions alike: opens closed periods again that
 * it falls into, raises what several sessions call for together, and queues what becomes of that. The mark of how far this
 * went moves last and every step may be repeated, so whatever breaks off is done again from where it was.
 *
 * @param neededSeq inbox place to follow up to; all that is there, and that comes meanwhile, when left out.
 */
export async function followArrivals(at: Ports, neededSeq = Number.POSITIVE_INFINITY): Promise<Followed> {
  let reopened = 0
  let raised = 0
  for (;;) {
    const arrivals = await at.store.unfollowed(SESSIONS_AT_ONCE)
    if (arrivals === undefined) return { reopened, raised }
    for (const { arrived, enrolment } of await enrolledOf(arrivals.people, at)) {
      const person = await personOf(enrolment, at)
      for (const one of person) reopened += await reopenPeriods(arrived, one, at)
      raised += await raiseCalls(arrived, person, at)
      if (arrived.changed.length === 0) continue
      await queueChangedCalls(arrived, person, at)
      const { patient, destination } = enrolment
      const moved = await at.store.onceEnrolledTo(patient, destination)
      for (const one of moved) reopened += await reopenPeriods(arrived, one, at)
    }
    await at.store.markFollowed(arrivals.throughSeq)
    if (arrivals.throughSeq >= neededSeq) return { reopened, raised }
  }
}

const SESSIONS_AT_ONCE = 1_000

/** Those with an enrolment. Whoever has none has no periods and no clinic yet; enrolling looks at what is there. */
async function enrolledOf(
  people: readonly ArrivedPerson[],
  { store }: Pick<Ports, 'store'>,
): Promise<readonly { readonly arrived: ArrivedPerson; readonly enrolment: Enrolment }[]> {
  const enrolled: { arrived: ArrivedPerson; enrolment: Enrolment }[] = []
  for (const source of new Set(people.map((arrived) => arrived.source))) {
    const ofSource = people.filter((arrived) => arrived.source === source)
    const subjects = ofSource.map(({ subject }) => subject)
    const enrolments = await store.enrolments(source, subjects)
    for (const [index, arrived] of ofSource.entries()) {
      const enrolment = enrolments[index]
      if (enrolment !== undefined) enrolled.push({ arrived, enrolment })
    }
  }
  return enrolled
}

/**
 * Of one enrolment of the person: what arrived may have come through another one; also of one that moved away, whose
 * average may be made of it.
 */
async function reopenPeriods(
  arrived: ArrivedPerson,
  { source, subject, zone }: Enrolment,
  at: Ports,
): Promise<number> {
  const firstDay = localTime(arrived.fromMs, zone).day
  const lastDay = localTime(arrived.toMs, zone).day
  const touched = (await at.store.periodsOf(source, subject)).filter(
    (period) => period.state === 'closed' && period.firstDay <= lastDay && firstDay <= period.lastDay,
  )
  if (touched.length === 0) return 0
  const newestSeq = await newestOf(arrived, at)
  let reopened = 0
  for (const period of touched) {
    if ((period.readThrough ?? 0) >= newestSeq) continue
    if (await reopenPeriod(period, at)) reopened += 1
  }
  return reopened
}

/** Place of the newest of a person's arrivals; they come oldest first. */
async function newestOf({ sessions }: ArrivedPerson, { store }: Pick<Ports, 'store'>): Promise<number> {
  const uuid = sessions.at(-1)
  const newest = uuid === undefined ? undefined : await store.sessionByUuid(uuid)
  return newest?.seq ?? Number.MAX_SAFE_INTEGER
}

/**
 * What arrived says by itself whether there is anything to look at, as far as it can be told from one source: where a
 * person has several, all is looked at.
 *
 * A kept session that can no longer be read holds up its own person's calls, not everybody's.
 */
async function raiseCalls(arrived: ArrivedPerson, person: Person, at: Ports): Promise<number> {
  const destination = at.catalogue.destinations.get(person[0].destination)
  const isAsked = arrived.irregularPulse || arrived.bothArms || arrived.stoodUp || person.length > 1
  if (!isAsked || destination?.attention !== 'at-once') return 0
  try {
    const nearby = await nearbySessions(person, arrived.fromMs, arrived.toMs, at)
    return await raiseHistoryAttention(nearby, arrived.fromMs, destination, at)
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('attention-not-looked-for', { code: error.code, error: error.message })
    return 0
  }
}
