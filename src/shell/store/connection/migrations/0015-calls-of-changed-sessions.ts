/** A version of a session may be queued by itself, and before that for the calls alone that rest on it. */
export const callsOfChangedSessions = {
  number: 15,
  name: 'calls-of-changed-sessions',
  sql: `
DROP INDEX outbox_session;
CREATE UNIQUE INDEX outbox_session ON outbox (session_seq, destination, coalesce(part, ''))
  WHERE session_seq IS NOT NULL;
`,
} as const
