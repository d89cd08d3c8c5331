/** Under which identifier a subject's patient was known at destinations that it is linked to no more. */
export const earlierLinks = {
  number: 6,
  name: 'earlier-links',
  sql: `
CREATE TABLE earlier_link (
  source_no INTEGER NOT NULL REFERENCES source_number,
  subject TEXT NOT NULL,
  destination TEXT NOT NULL,
  patient_system TEXT NOT NULL,
  patient_value TEXT NOT NULL,
  PRIMARY KEY (source_no, subject, destination)
) STRICT, WITHOUT ROWID;
`,
}
