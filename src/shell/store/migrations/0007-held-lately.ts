/**
 * What destinations were told to hold lately, as each delivery learnt it: a row of `held` for each resource would cost a
 * delivery as many scattered pages as it has resources, so that these go to `held` many at a time, in its order.
 */
export const heldLately = {
  number: 7,
  name: 'held-lately',
  sql: `
CREATE TABLE held_lately (
  seq INTEGER PRIMARY KEY,
  destination TEXT NOT NULL,
  resources TEXT NOT NULL
) STRICT;
`,
} as const
