/** Entries whose outcome nobody heard: few, and looked for among all that wait whenever a process begins to deliver. */
export const unheardEntries = {
  number: 9,
  name: 'unheard-entries',
  sql: `
CREATE INDEX outbox_uncertain ON outbox (destination, next_ms) WHERE uncertain = 1;
`,
} as const
