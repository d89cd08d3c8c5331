import { hash } from 'node:crypto'
import type { AuditEntry } from '../../src/core/audit/audit-entry.ts'
import type { ErrorCode } from '../../src/core/basics/error-codes.ts'
import { uuidV5 } from '../../src/core/basics/uuid-v5.ts'
import type { GivenUp, Parked, PutOff, Settled } from '../../src/core/outbox/entry.ts'
import type { Enrolment } from '../../src/core/registry/enrolment.ts'
import type { IssuedAverage, Period } from '../../src/core/registry/period.ts'
import type { PeriodClosing, SessionRecord } from '../../src/flow/ports/ports.ts'

const NAMESPACE = '0f5c2b0e-7b7e-5d7e-9a52-6f1c1f0a8d11'
export const RECEIVED_AT = '2026-03-02T14:00:00Z'
export const RECEIVED_MS = Date.parse(RECEIVED_AT)

export function auditEntry(
  about: string,
  action: AuditEntry['action'] = 'enrolment-saved',
  actor = 'operator',
): AuditEntry {
  return { at: RECEIVED_AT, actor, action, about, outcome: 'done', detail: { count: 1 } }
}

/** A session of one reading, unless its readings' times are given. */
export function sessionRecord({
  id,
  source = 'harbour-app',
  subject = 'HW-1',
  takenAt = '2026-03-02T06:41:00Z',
  readingsAt = [takenAt],
  systolic = 134,
}: {
  id: string
  source?: string
  subject?: string
  takenAt?: string
  readingsAt?: readonly string[]
  systolic?: number
}): SessionRecord {
  const readings = readingsAt.map((at) => ({ takenAt: at, systolic, diastolic: 85, pulse: 70 }))
  return recordOf(source, JSON.stringify({ id, subject, takenAt, unit: 'mmHg', readings }))
}

/** The record of a session's JSON text, as the receiving side makes it. */
export function recordOf(source: string, raw: string): SessionRecord {
  const { id, subject, takenAt }: { id: string; subject: string; takenAt: string } = JSON.parse(raw)
  return {
    uuid: uuidV5(NAMESPACE, `${source}/${id}`),
    source,
    id,
    subject,
    takenMs: Date.parse(takenAt),
    raw,
    sha256: hash('sha256', raw, 'hex'),
    receivedAt: RECEIVED_AT,
  }
}

export function enrolment(subject: string, destination = 'clinic', source = 'harbour-app'): Enrolment {
  return {
    source,
    subject,
    patient: { system: 'urn:example:clinic', value: `P-${subject}` },
    zone: 'America/Denver',
    destination,
  }
}

export function period(id: string, dueMs: number, subject = 'HW-1'): Period {
  return {
    id,
    source: 'harbour-app',
    subject,
    protocol: 'week-twice-daily',
    firstDay: '2026-03-02',
    lastDay: '2026-03-08',
    state: 'open',
    dueMs,
    revision: 0,
  }
}

export function average(periodId: string, revision = 1, destination = 'clinic'): IssuedAverage {
  return {
    period: periodId,
    revision,
    issued: RECEIVED_AT,
    bundle: '{"resourceType":"Bundle"}',
    summary: '{"readings":4}',
    destination,
  }
}

export function closing(periodId: string, revision = 1, changes: Partial<PeriodClosing> = {}): PeriodClosing {
  return { average: average(periodId, revision), readThrough: 0, urgent: false, ...changes }
}

/** The first closing of a period whose person is linked to a destination. */
export function closingFor(destination: string, periodId: string): PeriodClosing {
  return closing(periodId, 1, { average: average(periodId, 1, destination) })
}

export const DELIVERED: Settled = { state: 'settled', created: 2, alreadyThere: 0, updated: 0 }

export function putOff(dueMs: number, changes: Partial<PutOff> = {}): PutOff {
  return { state: 'waiting', dueMs, problem: 'CLINIC_BUSY', uncertain: false, ...changes }
}

export function parked(problem: ErrorCode = 'PATIENT_UNKNOWN', uncertain = false): Parked {
  return { state: 'parked', problem, uncertain }
}

export function givenUp(problem: ErrorCode = 'CLINIC_REFUSED', uncertain = false): GivenUp {
  return { state: 'given-up', problem, uncertain }
}
