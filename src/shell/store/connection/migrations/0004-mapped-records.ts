/** What a source sent before a mapping made a session record of it, beside the version of the session it became. */
export const mappedRecords = {
  number: 4,
  name: 'mapped-records',
  sql: `
CREATE TABLE mapped_record (
  seq INTEGER PRIMARY KEY REFERENCES inbox,
  mapping TEXT NOT NULL,
  mapping_sha256 TEXT NOT NULL,
  sent TEXT NOT NULL
) STRICT;
`,
}
