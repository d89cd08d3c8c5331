/** When entries were settled, epoch ms. Of what an earlier release settled only the audit trail tells it. */
export const settledEntries = {
  number: 14,
  name: 'settled-entries',
  sql: `
ALTER TABLE outbox ADD COLUMN settled_ms INTEGER;
`,
} as const
