import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import { StoreFailed } from '../../core/basics/gateway-error.ts'
import type { Acceptance, SessionRecord, Store } from '../../flow/ports/ports.ts'
import { storedFirst } from './arrivals/change-session.ts'
import { lookedThrough } from './connection/look.ts'
import { GroupCommit } from './group-commit.ts'
import { GroupedDeliveries } from './grouped-deliveries.ts'
import type { Retried } from './outbox/delivery-calls.ts'
import { writtenHeld } from './outbox/written-held.ts'
import type { SweepOf } from './sweep/sweep-of.ts'
import type { Writer } from './writer.ts'

/**
 * The `Store` port over a writer: acceptances are grouped into shared commits, and so, apart from them, is what
 * deliveries under way write; what needs everything merged waits for
 * that a step at a time, so that other calls come in between, and every other call is passed on.
 */
export function storeOver(writer: Writer, sweepOf: SweepOf): Store {
  const commits = new GroupCommit<SessionRecord, Acceptance>(async (records) => {
    const answers = await writer.call('accept', records)
    return records.map((record, index) => {
      const answer = answers[index]
      if (answer === undefined) throw new StoreFailed('accept: a record got no answer')
      if (answer.outcome !== 'kept') return answer
      return { outcome: 'kept', stored: storedFirst(record, answer.seq) }
    })
  })
  const deliveries = new GroupedDeliveries(writer)
  const mergedTo = async (seq: number): Promise<void> => {
    while (await writer.call('mergeTowards', seq));
  }
  return {
    accept: (records) => commits.add(records),
    correct: (record, audit) => writer.call('correct', record, audit),
    withdraw: (source, id, receivedAt, audit) => writer.call('withdraw', source, id, receivedAt, audit),
    sessionVersions: (uuid) => writer.call('sessionVersions', uuid),
    session: (source, id) => writer.call('session', source, id),
    sessionByUuid: (uuid) => writer.call('sessionByUuid', uuid),
    mappedFrom: (seq) => writer.call('mappedFrom', seq),
    sessionsBetween: (source, subject, fromMs, toMs) =>
      writer.call('sessionsBetween', source, subject, fromMs, toMs),
    newestSeq: () => writer.call('newestSeq'),
    unfollowed: async (limit) => {
      const throughSeq = await writer.call('nextFollowUp', limit)
      if (throughSeq === undefined) return undefined
      await mergedTo(throughSeq)
      return writer.call('unfollowed', throughSeq)
    },
    markFollowed: (throughSeq) => writer.call('markFollowed', throughSeq),
    raiseAttention: (session, code, destination, nowMs, audit) =>
      writer.call('raiseAttention', session, code, destination, nowMs, audit),
    queueCallsOn: (session, destination, nowMs) => writer.call('queueCallsOn', session, destination, nowMs),
    async *sweep(request) {
      await mergedTo(await writer.call('newestSeq'))
      yield* sweepOf(request)
    },
    saveSource: (source, audit) => writer.call('saveSource', source, audit),
    sources: () => writer.call('sources'),
    saveAccessKey: (key, audit) => writer.call('saveAccessKey', key, audit),
    accessKey: (sha256) => writer.call('accessKey', sha256),
    accessKeys: () => writer.call('accessKeys'),
    revokeAccessKey: (id, audit) => writer.call('revokeAccessKey', id, audit),
    saveEnrolment: (enrolment, audit) => writer.call('saveEnrolment', enrolment, audit),
    enrolments: (source, subjects) => writer.call('enrolments', source, subjects),
    earlierPatient: (source, subject, destination) =>
      writer.call('earlierPatient', source, subject, destination),
    enrolmentsOf: (patient, destination) => writer.call('enrolmentsOf', patient, destination),
    onceEnrolledTo: (patient, destination) => writer.call('onceEnrolledTo', patient, destination),
    enrolmentPage: (page) => writer.call('enrolmentPage', page),
    waitingSubjects: async (source, { after = '', limit }) => {
      await mergedTo(await writer.call('newestSeq'))
      return lookedThrough(after, limit, (from, most) => writer.call('lookForWaiting', source, from, most))
    },
    openPeriod: (period, audit) => writer.call('openPeriod', period, audit),
    period: (id) => writer.call('period', id),
    periodPage: ({ after = '', limit, ...filter }) =>
      lookedThrough(after, limit, (from, most) => writer.call('lookForPeriods', from, most, filter)),
    duePeriods: (nowMs, limit) => writer.call('duePeriods', nowMs, limit),
    periodsOf: (source, subject) => writer.call('periodsOf', source, subject),
    closePeriod: (id, closing, nowMs, audit) => writer.call('closePeriod', id, closing, nowMs, audit),
    reopenPeriod: (id, dueMs, audit) => writer.call('reopenPeriod', id, dueMs, audit),
    withdrawPeriod: (id, withdrawal, nowMs, audit) =>
      writer.call('withdrawPeriod', id, withdrawal, nowMs, audit),
    issuedAverages: (period) => writer.call('issuedAverages', period),
    claim: async (nowMs, leaseMs, limit, asked = {}) => {
      const { resting = [], marked = [], longestWaitMs = Number.POSITIVE_INFINITY } = asked
      const wanted = { nowMs, leaseMs, limit, resting, marked, longestWaitMs }
      return (await deliveries.write({ call: 'claim', ...wanted })).claimed
    },
    extendClaim: async ({ id, claims }, nowMs, leaseMs) =>
      (await deliveries.write({ call: 'extendClaim', claim: { id, claims }, nowMs, leaseMs })).done,
    begin: async ({ id, claims }) => (await deliveries.write({ call: 'begin', claim: { id, claims } })).done,
    unheard: (nowMs, limit, which) => writer.call('unheard', nowMs, limit, which),
    settle: async ({ id, claims }, { held, ...settlement }, audit) => {
      await deliveries.write({
        call: 'settle',
        claim: { id, claims },
        settlement,
        held: writtenHeld(held ?? []),
        audit,
      })
    },
    keepHeld: async ({ id, destination, source, subject, kind, about }, held) => {
      const from = { id, destination, source, subject, kind, about }
      if (held.length > 0) await deliveries.write({ call: 'keepHeld', from, held: writtenHeld(held) })
    },
    doubtOpen: (destination) => writer.call('doubtOpen', destination),
    forgetHeld: async (destination) => {
      while (await writer.call('forgetSomeHeld', destination));
    },
    held: (destination, of, uuids) => writer.call('held', destination, of, uuids),
    queuedCalls: (destination, session) => writer.call('queuedCalls', destination, session),
    delivery: (id) => writer.call('delivery', id),
    deliveryPage: ({ after = '0', limit, ...filter }) =>
      lookedThrough(Number(after), limit, (from, most) =>
        writer.call('lookForDeliveries', from, most, filter),
      ),
    deliverySummary: () => writer.call('deliverySummary'),
    deliveryOutlook: (destination) => writer.call('deliveryOutlook', destination),
    retryDeliveries: async (which, nowMs, audit) => {
      let all = 0
      for (let after: number | undefined = 0; after !== undefined; ) {
        const recorded: AuditEntry | undefined = all === 0 ? audit : undefined
        const some: Retried = await writer.call('retrySome', which, after, nowMs, recorded)
        all += some.retried
        after = some.through
      }
      return all
    },
    confirmDelivery: (id, held, audit) => writer.call('confirmDelivery', id, held, audit),
    forgetSaid: (beforeMs) => writer.call('forgetSaid', beforeMs),
    route: (destination) => writer.call('route', destination),
    routes: () => writer.call('routes'),
    saveRoute: (route, audit) => writer.call('saveRoute', route, audit),
    recordAudit: (audit) => writer.call('recordAudit', audit),
    auditPage: ({ after = '0', limit, ...filter }) =>
      lookedThrough(Number(after), limit, (from, most) => writer.call('lookInAudit', from, most, filter)),
    followAudit: (after, limit) => writer.call('followAudit', after, limit),
    writeProblem: () => writer.call('writeProblem'),
    figures: () => writer.call('figures'),
    close: async () => {
      await Promise.all([commits.close(), deliveries.close()])
      await writer.close()
    },
  }
}
