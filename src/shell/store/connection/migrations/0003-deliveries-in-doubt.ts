/**
 * Deliveries that are parked or in doubt, what destinations are known to hold, what clinics said, and the ways to them.
 *
 * Of an entry that was tried or claimed and is not settled, an earlier release did not keep whether one of its attempts
 * went unheard; all of these count as uncertain, so that what they may have made is looked for first. When they were
 * queued was not kept either: for an entry that was never put off it is when it was due, and for the others that is
 * the nearest there is.
 *
 * `outbox_unsettled` and `outbox_open` leave out what is finished, by far the most, and `settled_count` counts it.
 * `outbox_open` has the states in the order in which a lane is led: by the letters claimed, then parked, then waiting.
 */
export const deliveriesInDoubt = {
  number: 3,
  name: 'deliveries-in-doubt',
  sql: `
ALTER TABLE average ADD COLUMN form TEXT;

DROP INDEX outbox_session;
DROP INDEX outbox_attention;
DROP INDEX outbox_open;
DROP INDEX outbox_ready;
DROP INDEX outbox_state;
ALTER TABLE outbox RENAME TO second_outbox;
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
  state TEXT NOT NULL CHECK (state IN ('waiting', 'claimed', 'settled', 'parked', 'given-up')),
  attempts INTEGER NOT NULL,
  claims INTEGER NOT NULL,
  queued_ms INTEGER NOT NULL,
  due_ms INTEGER NOT NULL,
  next_ms INTEGER NOT NULL,
  ready INTEGER NOT NULL CHECK (ready IN (0, 1)),
  uncertain INTEGER NOT NULL CHECK (uncertain IN (0, 1)),
  last_problem TEXT
) STRICT;
INSERT INTO outbox
  SELECT id, destination, source_no, subject, kind, part, urgent, about, session_seq, state, attempts, 0, due_ms,
    due_ms, next_ms, ready, state <> 'settled' AND (attempts > 0 OR state = 'claimed'), last_problem
  FROM second_outbox ORDER BY id;
DROP TABLE second_outbox;
CREATE UNIQUE INDEX outbox_session ON outbox (session_seq, destination) WHERE session_seq IS NOT NULL;
CREATE UNIQUE INDEX outbox_attention ON outbox (about, part, destination) WHERE kind = 'attention';
CREATE INDEX outbox_open ON outbox (source_no, subject, destination, state, urgent DESC, id)
  WHERE state <> 'settled' AND state <> 'given-up';
CREATE INDEX outbox_ready ON outbox (destination, urgent DESC, next_ms, id) WHERE ready = 1;
CREATE INDEX outbox_unsettled ON outbox (state, destination, id) WHERE state <> 'settled';
CREATE INDEX outbox_stuck ON outbox (source_no, subject) WHERE state IN ('parked', 'given-up');
CREATE INDEX outbox_problem ON outbox (last_problem, id) WHERE last_problem IS NOT NULL;

CREATE TABLE settled_count (
  destination TEXT PRIMARY KEY,
  entries INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO settled_count SELECT destination, count(*) FROM outbox WHERE state = 'settled' GROUP BY destination;

CREATE TABLE clinic_said (
  entry INTEGER PRIMARY KEY,
  tried_ms INTEGER NOT NULL,
  status INTEGER,
  text TEXT
) STRICT;
CREATE INDEX clinic_said_tried ON clinic_said (tried_ms);

CREATE TABLE held (
  destination TEXT NOT NULL,
  uuid BLOB NOT NULL,
  type TEXT NOT NULL,
  id TEXT,
  version TEXT,
  PRIMARY KEY (destination, uuid)
) STRICT, WITHOUT ROWID;

CREATE TABLE route (
  destination TEXT PRIMARY KEY,
  json TEXT NOT NULL
) STRICT, WITHOUT ROWID;
`,
} as const
