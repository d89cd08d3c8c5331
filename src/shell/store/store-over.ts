import { StoreFailed } from '../../core/basics/gateway-error.ts'
import type { Acceptance, SessionRecord, Store } from '../../flow/ports.ts'
import { storedFirst } from './change-session.ts'
import { GroupCommit } from './group-commit.ts'
import type { SweepOf } from './sweep/sweep-of.ts'
import type { Writer } from './writer.ts'

/**
 * The `Store` port over a writer: acceptances are grouped into shared commits, what needs everything merged waits for
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
    async *sweep(request) {
      await mergedTo(await writer.call('newestSeq'))
      yield* sweepOf(request)
    },
    saveSource: (source, audit) => writer.call('saveSource', source, audit),
    sources: () => writer.call('sources'),
    saveAccessKey: (key, audit) => writer.call('saveAccessKey', key, audit),
    accessKey: (sha256) => writer.call('accessKey', sha256),
    saveEnrolment: (enrolment, audit) => writer.call('saveEnrolment', enrolment, audit),
    enrolments: (source, subjects) => writer.call('enrolments', source, subjects),
    enrolmentPage: (page) => writer.call('enrolmentPage', page),
    openPeriod: (period, audit) => writer.call('openPeriod', period, audit),
    period: (id) => writer.call('period', id),
    periodPage: (page) => writer.call('periodPage', page),
    duePeriods: (nowMs, limit) => writer.call('duePeriods', nowMs, limit),
    periodsOf: (source, subject) => writer.call('periodsOf', source, subject),
    closePeriod: (id, closing, destination, nowMs, audit) =>
      writer.call('closePeriod', id, closing, destination, nowMs, audit),
    reopenPeriod: (id, dueMs, audit) => writer.call('reopenPeriod', id, dueMs, audit),
    issuedAverages: (period) => writer.call('issuedAverages', period),
    claim: (nowMs, leaseMs, limit) => writer.call('claim', nowMs, leaseMs, limit),
    settle: (id, settlement, audit) => writer.call('settle', id, settlement, audit),
    deliveryPage: (page) => writer.call('deliveryPage', page),
    retryDelivery: (id, nowMs, audit) => writer.call('retryDelivery', id, nowMs, audit),
    recordAudit: (audit) => writer.call('recordAudit', audit),
    auditPage: (page) => writer.call('auditPage', page),
    figures: () => writer.call('figures'),
    close: async () => {
      await commits.close()
      await writer.close()
    },
  }
}
