import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { IssuedAverage, Period } from '../../../core/registry/period.ts'
import type { PeriodClosing, PeriodFilter, PeriodWithdrawal } from '../../../flow/ports/ports.ts'
import { type RecordingParts, recordedIf } from '../audit/recorded.ts'
import type { Look } from '../connection/look.ts'
import type { OutboxRows } from '../outbox/outbox-rows.ts'
import type { Periods } from '../registry/periods.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import type { FollowUp } from '../sittings/follow-up.ts'

interface PeriodParts extends RecordingParts {
  readonly sources: SourceNumbers
  readonly periods: Periods
  readonly outbox: OutboxRows
  readonly followUp: FollowUp
}

/** The calls about periods. What closing or withdrawing one issues is queued in the same commit. */
export function periodCalls(parts: PeriodParts) {
  const { database, sources, periods, outbox, followUp, audit } = parts

  function queueAverage(
    { id, source, subject }: Period,
    { revision, destination }: IssuedAverage,
    urgent: boolean,
    queuedMs: number,
  ): void {
    const sourceNo = sources.assign(source)
    const part = String(revision)
    const kind = 'average'
    outbox.enqueue({ destination, sourceNo, subject, kind, part, urgent, about: id, queuedMs })
  }

  return {
    openPeriod(period: Period, entry: AuditEntry): boolean {
      return recordedIf(entry, parts, () => periods.open(period))
    },

    period(id: string): Period | undefined {
      return database.read(() => periods.get(id))
    },

    lookForPeriods(after: string, limit: number, filter: PeriodFilter): Look<Period, string> {
      return database.read(() => periods.look(after, limit, filter))
    },

    duePeriods(nowMs: number, limit: number): readonly Period[] {
      return database.read(() => periods.due(nowMs, limit))
    },

    periodsOf(source: string, subject: string): readonly Period[] {
      return database.read(() => periods.of(source, subject))
    },

    closePeriod(id: string, closing: PeriodClosing, nowMs: number, entry: AuditEntry): boolean {
      return database.write(() => {
        const closed = periods.close(id, closing)
        if (closed === undefined) return false
        audit.append(entry)
        const { average, elsewhere = [], urgent, readThrough, overtaken } = closing
        for (const one of average === undefined ? elsewhere : [average, ...elsewhere]) {
          queueAverage(closed, one, urgent && one === average, nowMs)
        }
        if (overtaken !== undefined && followUp.isFollowedSince(readThrough, overtaken.person)) {
          periods.reopen(id, nowMs)
          audit.append(overtaken.audit)
        }
        return true
      })
    },

    reopenPeriod(id: string, dueMs: number, entry: AuditEntry): boolean {
      return recordedIf(entry, parts, () => periods.reopen(id, dueMs))
    },

    withdrawPeriod(id: string, withdrawal: PeriodWithdrawal, nowMs: number, entry: AuditEntry): boolean {
      return recordedIf(entry, parts, () => {
        const withdrawn = periods.withdraw(id, withdrawal)
        if (withdrawn === undefined) return false
        // Never urgent: it would overtake what it takes back.
        for (const one of withdrawal.takenBack) queueAverage(withdrawn, one, false, nowMs)
        return true
      })
    },

    issuedAverages(period: string): readonly IssuedAverage[] {
      return database.read(() => periods.averages(period))
    },
  }
}
