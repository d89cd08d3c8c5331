/**
 * The first layout. What is on the path of an acknowledgement (`inbox`, `audit`, most of `outbox`) is only appended
 * to; what is ordered by a random key (`session_key`, `uuid_key`, `reading`) is filled later in sorted batches, and
 * `merged` says how far.
 */
export const first = {
  number: 1,
  name: 'first',
  sql: `
CREATE TABLE source_number (
  source_no INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE source (
  source_no INTEGER PRIMARY KEY REFERENCES source_number,
  title TEXT NOT NULL
) STRICT;

CREATE TABLE access_key (
  sha256 TEXT PRIMARY KEY,
  role TEXT NOT NULL,
  source TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE inbox (
  seq INTEGER PRIMARY KEY,
  source_no INTEGER NOT NULL,
  id TEXT NOT NULL,
  uuid TEXT NOT NULL,
  subject TEXT NOT NULL,
  taken_ms INTEGER NOT NULL,
  received_at TEXT NOT NULL,
  sha256 TEXT NOT NULL,
  zone TEXT,
  raw TEXT NOT NULL
) STRICT;

CREATE TABLE merged (
  only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
  seq INTEGER NOT NULL
) STRICT;
INSERT INTO merged VALUES (1, 0);

CREATE TABLE session_key (
  key INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  PRIMARY KEY (key, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE uuid_key (
  key INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  PRIMARY KEY (key, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE reading (
  source_no INTEGER NOT NULL,
  subject TEXT NOT NULL,
  taken_ms INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  ordinal INTEGER NOT NULL,
  systolic_upa INTEGER,
  diastolic_upa INTEGER,
  pulse REAL,
  PRIMARY KEY (source_no, subject, taken_ms, seq, ordinal)
) STRICT, WITHOUT ROWID;

CREATE TABLE enrolment (
  source_no INTEGER NOT NULL REFERENCES source_number,
  subject TEXT NOT NULL,
  patient_system TEXT NOT NULL,
  patient_value TEXT NOT NULL,
  zone TEXT NOT NULL,
  destination TEXT NOT NULL,
  arm_circumference_cm REAL,
  PRIMARY KEY (source_no, subject)
) STRICT, WITHOUT ROWID;

CREATE TABLE period (
  id TEXT PRIMARY KEY,
  source_no INTEGER NOT NULL REFERENCES source_number,
  subject TEXT NOT NULL,
  protocol TEXT NOT NULL,
  first_day TEXT NOT NULL,
  last_day TEXT NOT NULL,
  arm TEXT,
  state TEXT NOT NULL CHECK (state IN ('open', 'closed')),
  due_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX period_open ON period (due_ms, id) WHERE state = 'open';

CREATE TABLE average (
  period TEXT PRIMARY KEY REFERENCES period,
  issued TEXT NOT NULL,
  bundle TEXT NOT NULL,
  summary TEXT NOT NULL
) STRICT;

CREATE TABLE outbox (
  id INTEGER PRIMARY KEY,
  destination TEXT NOT NULL,
  source_no INTEGER NOT NULL,
  subject TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('session', 'average')),
  about TEXT NOT NULL,
  session_seq INTEGER,
  state TEXT NOT NULL CHECK (state IN ('waiting', 'claimed', 'settled', 'given-up')),
  attempts INTEGER NOT NULL,
  due_ms INTEGER NOT NULL,
  next_ms INTEGER NOT NULL,
  ready INTEGER NOT NULL,
  last_problem TEXT
) STRICT;
CREATE UNIQUE INDEX outbox_session ON outbox (session_seq, destination) WHERE session_seq IS NOT NULL;
CREATE INDEX outbox_open ON outbox (source_no, subject, destination, id) WHERE state IN ('waiting', 'claimed');
CREATE INDEX outbox_ready ON outbox (id, next_ms) WHERE ready = 1;
CREATE INDEX outbox_state ON outbox (state, id);

CREATE TABLE audit (
  seq INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  actor TEXT NOT NULL,
  action TEXT NOT NULL,
  about TEXT NOT NULL,
  outcome TEXT NOT NULL,
  detail TEXT NOT NULL,
  hash TEXT NOT NULL
) STRICT;
`,
} as const
