import { instantOf } from '../core/basics/instant.ts'
import { localTime } from '../core/basics/local-day.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Period } from '../core/registry/period.ts'
import { nearbySessions } from './nearby-sessions.ts'
import { OwnFault } from './own-fault.ts'
import type { ArrivedPerson, Ports } from './ports.ts'
import { raiseHistoryAttention } from './raise-attention.ts'

export interface Followed {
  /** Closed periods that were opened again, and calls for attention that are new. */
  readonly reopened: number
  readonly raised: number
}

/**
 * Looks at what came in since the last time, late, corrected and withdrawn sessions alike: opens closed periods again
 * that it falls into, and raises what several sessions call for together. The mark of how far this went moves last and
 * every step may be repeated, so whatever breaks off is done again from where it was.
 */
export async function followArrivals(at: Ports): Promise<Followed> {
  let reopened = 0
  let raised = 0
  for (;;) {
    const arrivals = await at.store.unfollowed(SESSIONS_AT_ONCE)
    if (arrivals === undefined) return { reopened, raised }
    for (const { person, enrolment } of await enrolledOf(arrivals.people, at)) {
      reopened += await reopenPeriods(person, enrolment, at)
      raised += await raiseCalls(person, enrolment, at)
    }
    await at.store.markFollowed(arrivals.throughSeq)
  }
}

const SESSIONS_AT_ONCE = 1_000

/** Those with an enrolment. Whoever has none has no periods and no clinic yet; enrolling looks at what is there. */
async function enrolledOf(
  people: readonly ArrivedPerson[],
  { store }: Pick<Ports, 'store'>,
): Promise<readonly { readonly person: ArrivedPerson; readonly enrolment: Enrolment }[]> {
  const enrolled: { person: ArrivedPerson; enrolment: Enrolment }[] = []
  for (const source of new Set(people.map((person) => person.source))) {
    const ofSource = people.filter((person) => person.source === source)
    const subjects = ofSource.map(({ subject }) => subject)
    const enrolments = await store.enrolments(source, subjects)
    for (const [index, person] of ofSource.entries()) {
      const enrolment = enrolments[index]
      if (enrolment !== undefined) enrolled.push({ person, enrolment })
    }
  }
  return enrolled
}

async function reopenPeriods(
  person: ArrivedPerson,
  { zone }: Pick<Enrolment, 'zone'>,
  at: Ports,
): Promise<number> {
  const firstDay = localTime(person.fromMs, zone).day
  const lastDay = localTime(person.toMs, zone).day
  const touched = (await at.store.periodsOf(person.source, person.subject)).filter(
    (period) => period.state === 'closed' && period.firstDay <= lastDay && firstDay <= period.lastDay,
  )
  if (touched.length === 0) return 0
  const newestSeq = await newestOf(person, at)
  let reopened = 0
  for (const period of touched) {
    if ((period.readThrough ?? 0) >= newestSeq) continue
    if (await reopen(period, at)) reopened += 1
  }
  return reopened
}

/** Place of the newest of a person's arrivals; they come oldest first. */
async function newestOf({ sessions }: ArrivedPerson, { store }: Pick<Ports, 'store'>): Promise<number> {
  const uuid = sessions.at(-1)
  const newest = uuid === undefined ? undefined : await store.sessionByUuid(uuid)
  return newest?.seq ?? Number.MAX_SAFE_INTEGER
}

/** Due at once, unless it was closed by hand before its grace was over: then it waits for that. */
function reopen(period: Period, { store, clock }: Ports): Promise<boolean> {
  const nowMs = clock.now()
  return store.reopenPeriod(period.id, Math.max(nowMs, period.dueMs), {
    at: instantOf(nowMs).text,
    actor: 'gateway',
    action: 'period-reopened',
    about: period.id,
    outcome: 'done',
    detail: { protocol: period.protocol, revision: period.revision },
  })
}

/** A kept session that can no longer be read holds up its own person's calls, not everybody's. */
async function raiseCalls(person: ArrivedPerson, enrolment: Enrolment, at: Ports): Promise<number> {
  const destination = at.catalogue.destinations.get(enrolment.destination)
  const isAsked = person.irregularPulse || person.bothArms || person.stoodUp
  if (!isAsked || destination?.attention !== 'at-once') return 0
  try {
    const nearby = await nearbySessions(enrolment, person.fromMs, person.toMs, at)
    return await raiseHistoryAttention(nearby, person.fromMs, destination, at)
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('attention-not-looked-for', { code: error.code, error: error.message })
    return 0
  }
}
