/** Periods that were opened by mistake, and the averages that take theirs back. */
export const withdrawnPeriods = {
  number: 13,
  name: 'withdrawn-periods',
  sql: `
ALTER TABLE period ADD COLUMN withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1));
ALTER TABLE average ADD COLUMN takes_back INTEGER NOT NULL DEFAULT 0 CHECK (takes_back IN (0, 1));
`,
} as const
