/** What keys are called, when they were made, and from when on they open nothing any more. */
export const keysToldApart = {
  number: 10,
  name: 'keys-told-apart',
  sql: `
ALTER TABLE access_key ADD COLUMN label TEXT;
ALTER TABLE access_key ADD COLUMN made_at TEXT;
ALTER TABLE access_key ADD COLUMN revoked_at TEXT;
`,
} as const
