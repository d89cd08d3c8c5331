/**
 * Which destination each average was issued for: until now that stood in its outbox entry alone. It stays empty for one
 * that was never queued.
 */
export const averagesByDestination = {
  number: 11,
  name: 'averages-by-destination',
  sql: `
ALTER TABLE average ADD COLUMN destination TEXT NOT NULL DEFAULT '';
UPDATE average SET destination = queued.destination FROM outbox AS queued
  WHERE queued.kind = 'average' AND queued.about = average.period AND CAST(queued.part AS INTEGER) = average.revision;
`,
} as const
