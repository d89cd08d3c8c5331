/**
 * Entries that bring what was delivered into one patient’s record over into another’s: under which patient it was
 * delivered, as JSON text. A call for attention is queued once for each code, and once more each time it moves.
 */
export const movedEntries = {
  number: 12,
  name: 'moved-entries',
  sql: `
ALTER TABLE outbox ADD COLUMN moved_from TEXT;
DROP INDEX outbox_attention;
CREATE UNIQUE INDEX outbox_attention ON outbox (about, part, destination)
  WHERE kind = 'attention' AND moved_from IS NULL;
CREATE INDEX outbox_average ON outbox (about, destination) WHERE kind = 'average';
CREATE INDEX outbox_moved ON outbox (about, destination) WHERE moved_from IS NOT NULL;
`,
} as const
