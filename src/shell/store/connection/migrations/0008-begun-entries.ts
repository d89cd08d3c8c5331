/**
 * Whether something of an entry may have been sent under its newest claim. An earlier release did not keep it: whatever
 * is claimed counts as begun.
 */
export const begunEntries = {
  number: 8,
  name: 'begun-entries',
  sql: `
ALTER TABLE outbox ADD COLUMN begun INTEGER NOT NULL DEFAULT 0 CHECK (begun IN (0, 1));
UPDATE outbox SET begun = 1 WHERE state <> 'settled' AND state = 'claimed';
`,
} as const
