import { describe, expect, it } from 'vitest'
import { outboxEntry } from '../../../tests/support/outbox-entry.ts'
import type { ErrorCode } from '../basics/error-codes.ts'
import { OUTBOX_STATES, type OutboxEntry, type OutboxState } from './entry.ts'
import { mendedByEnrolment } from './mended-by-enrolment.ts'

const entry = (state: OutboxState, lastProblem: ErrorCode): OutboxEntry => outboxEntry(state, { lastProblem })

describe('mendedByEnrolment', () => {
  it.each([
    'PATIENT_NOT_MATCHED',
    'PATIENT_UNKNOWN',
    'PATIENT_AMBIGUOUS',
    'PATIENT_REPLACED',
    'ENROLMENT_GONE',
  ] as const)('is true of %s, where the entry is parked or given up', (problem) => {
    const states = OUTBOX_STATES.filter((state) => mendedByEnrolment(entry(state, problem)))
    expect(states).toEqual(['parked', 'given-up'])
  })

  it.each(['OUTCOME_UNKNOWN', 'CLINIC_REFUSED', 'CLINIC_CANNOT_UPDATE'] as const)(
    'is false of %s, which no enrolment mends',
    (problem) => {
      for (const state of OUTBOX_STATES) expect(mendedByEnrolment(entry(state, problem))).toBe(false)
    },
  )
})
