/** Which revisions of an average a destination was queued, asked where a person moved from it. */
export const averagesByDestination = {
  number: 11,
  name: 'averages-by-destination',
  sql: `
CREATE INDEX outbox_average ON outbox (about, destination, part) WHERE kind = 'average';
`,
} as const
