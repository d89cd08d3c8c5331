/**
 * What a destination holds of what an entry delivered, in one row, beside the others of its session and its subject, with
 * no session for averages: a row of
 * `held` for each resource cost a delivery as many scattered pages as it has resources. `held` goes on for monitors, which
 * people may share, and keeps what was learnt before.
 */
export const heldByEntry = {
  number: 7,
  name: 'held-by-entry',
  sql: `
CREATE TABLE held_by_entry (
  destination TEXT NOT NULL,
  source_no INTEGER NOT NULL,
  subject TEXT NOT NULL,
  session TEXT NOT NULL,
  entry INTEGER NOT NULL,
  resources TEXT NOT NULL,
  PRIMARY KEY (destination, source_no, subject, session, entry)
) STRICT, WITHOUT ROWID;
`,
} as const
