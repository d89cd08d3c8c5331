/**
 * Versions of a session, one row a sitting in place of one a reading, revisions of an average, and calls for attention.
 *
 * `sitting` is filled anew from the inbox by the merge, because a sitting can only be packed from its record: the mark
 * goes back to 0, and until the merge has passed, everything is found through the index in memory. What was accepted
 * before counts as followed, and averages issued before as the first revision of their period.
 */
export const versionsAndSittings = {
  number: 2,
  name: 'versions-and-sittings',
  sql: `
ALTER TABLE inbox ADD COLUMN version INTEGER NOT NULL DEFAULT 1;
ALTER TABLE inbox ADD COLUMN withdrawn INTEGER NOT NULL DEFAULT 0;
ALTER TABLE inbox ADD COLUMN replaces INTEGER REFERENCES inbox;
CREATE UNIQUE INDEX inbox_replaces ON inbox (replaces) WHERE replaces IS NOT NULL;

DROP TABLE reading;
CREATE TABLE sitting (
  source_no INTEGER NOT NULL,
  subject TEXT NOT NULL,
  first_ms INTEGER NOT NULL,
  id TEXT NOT NULL,
  last_ms INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  earlier_first_ms INTEGER,
  earlier_last_ms INTEGER,
  packed TEXT NOT NULL,
  PRIMARY KEY (source_no, subject, first_ms, id)
) STRICT, WITHOUT ROWID;

ALTER TABLE merged ADD COLUMN longest_ms INTEGER NOT NULL DEFAULT 0;
UPDATE merged SET seq = 0;

CREATE TABLE followed (
  only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
  seq INTEGER NOT NULL
) STRICT;
INSERT INTO followed SELECT 1, coalesce(max(seq), 0) FROM inbox;

ALTER TABLE period ADD COLUMN revision INTEGER NOT NULL DEFAULT 0;
ALTER TABLE period ADD COLUMN read_through INTEGER;
UPDATE period SET revision = 1 WHERE id IN (SELECT period FROM average);
CREATE INDEX period_of ON period (source_no, subject, first_day, id);

ALTER TABLE average RENAME TO first_average;
CREATE TABLE average (
  period TEXT NOT NULL REFERENCES period,
  revision INTEGER NOT NULL,
  issued TEXT NOT NULL,
  bundle TEXT NOT NULL,
  summary TEXT NOT NULL,
  PRIMARY KEY (period, revision)
) STRICT;
INSERT INTO average SELECT period, 1, issued, bundle, summary FROM first_average;
DROP TABLE first_average;

DROP INDEX outbox_session;
DROP INDEX outbox_open;
DROP INDEX outbox_ready;
DROP INDEX outbox_state;
ALTER TABLE outbox RENAME TO first_outbox;
CREATE TABLE outbox (
  id INTEGER PRIMARY KEY,
  destination TEXT NOT NULL,
  source_no INTEGER NOT NULL,
  subject TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('session', 'average', 'attention')),
  part TEXT,
  urgent INTEGER NOT NULL CHECK (urgent IN (0, 1)),
  about TEXT NOT NULL,
  session_seq INTEGER,
  state TEXT NOT NULL CHECK (state IN ('waiting', 'claimed', 'settled', 'given-up')),
  attempts INTEGER NOT NULL,
  due_ms INTEGER NOT NULL,
  next_ms INTEGER NOT NULL,
  ready INTEGER NOT NULL,
  last_problem TEXT
) STRICT;
INSERT INTO outbox
  SELECT id, destination, source_no, subject, kind, CASE kind WHEN 'average' THEN '1' END, 0, about, session_seq,
    state, attempts, due_ms, next_ms, ready, last_problem
  FROM first_outbox ORDER BY id;
DROP TABLE first_outbox;
CREATE UNIQUE INDEX outbox_session ON outbox (session_seq, destination) WHERE session_seq IS NOT NULL;
CREATE UNIQUE INDEX outbox_attention ON outbox (about, part, destination) WHERE kind = 'attention';
CREATE INDEX outbox_open ON outbox (source_no, subject, destination, urgent DESC, id)
  WHERE state IN ('waiting', 'claimed');
CREATE INDEX outbox_ready ON outbox (urgent DESC, id, next_ms) WHERE ready = 1;
CREATE INDEX outbox_state ON outbox (state, id);
`,
} as const
