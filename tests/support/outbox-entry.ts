import type { OutboxEntry, OutboxState } from '../../src/core/outbox/entry.ts'

/** An entry of the outbox in a state; `changes` say what a test is about. */
export function outboxEntry(state: OutboxState, changes: Partial<OutboxEntry> = {}): OutboxEntry {
  return {
    id: 7,
    destination: 'clinic',
    source: 'harbour-app',
    subject: 'HW-1',
    kind: 'session',
    urgent: false,
    about: '3f0c1c5e-6f0f-5d57-9f6a-1a2b3c4d5e6f',
    state,
    attempts: 4,
    claims: 6,
    queuedMs: 1000,
    dueMs: 2000,
    uncertain: false,
    begun: true,
    ...changes,
  }
}
