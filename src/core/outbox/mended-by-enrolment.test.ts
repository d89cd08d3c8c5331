import { describe, expect, it } from 'vitest'
import type { ErrorCode } from '../basics/error-codes.ts'
import { OUTBOX_STATES, type OutboxEntry, type OutboxState } from './entry.ts'
import { mendedByEnrolment } from './mended-by-enrolment.ts'

const entry = (state: OutboxState, lastProblem: ErrorCode): OutboxEntry => ({
  id: 1,
  destination: 'clinic',
  source: 'harbour-app',
  subject: 'HW-1',
  kind: 'session',
  urgent: false,
  about: '3f0c1c5e-6f0f-5d57-9f6a-1a2b3c4d5e6f',
  state,
  attempts: 1,
  claims: 1,
  queuedMs: 1000,
  dueMs: 1000,
  lastProblem,
  uncertain: false,
})

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
