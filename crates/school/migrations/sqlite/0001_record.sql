-- The school's record. Ids are UUIDv7 text, times RFC 3339 UTC text, JSON text, documents gzipped bytes.

CREATE TABLE school (
    id INTEGER NOT NULL PRIMARY KEY CHECK (id = 1),
    name TEXT NOT NULL,
    standard TEXT NOT NULL,
    terrain_ft REAL,
    created_utc TEXT NOT NULL
) STRICT;

CREATE TABLE people (
    id TEXT NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    login TEXT NOT NULL UNIQUE CHECK (login = lower(login)),
    role TEXT NOT NULL CHECK (role IN ('chief', 'instructor', 'student', 'auditor')),
    password TEXT,
    active INTEGER NOT NULL CHECK (active IN (0, 1)),
    created_utc TEXT NOT NULL,
    changed_utc TEXT NOT NULL,
    seen_utc TEXT
) STRICT;

CREATE TABLE sessions (
    token_sha256 TEXT NOT NULL PRIMARY KEY,
    person_id TEXT NOT NULL REFERENCES people (id),
    created_utc TEXT NOT NULL,
    seen_utc TEXT NOT NULL,
    expires_utc TEXT NOT NULL,
    device TEXT NOT NULL
) STRICT;
CREATE INDEX sessions_person ON sessions (person_id);

CREATE TABLE tokens (
    id TEXT NOT NULL PRIMARY KEY,
    token_sha256 TEXT NOT NULL UNIQUE,
    person_id TEXT NOT NULL REFERENCES people (id),
    label TEXT NOT NULL,
    created_utc TEXT NOT NULL,
    expires_utc TEXT NOT NULL,
    used_utc TEXT,
    revoked_utc TEXT
) STRICT;
CREATE INDEX tokens_person ON tokens (person_id);

CREATE TABLE invites (
    id TEXT NOT NULL PRIMARY KEY,
    token_sha256 TEXT NOT NULL UNIQUE,
    purpose TEXT NOT NULL CHECK (purpose IN ('join', 'reset')),
    role TEXT NOT NULL CHECK (role IN ('chief', 'instructor', 'student', 'auditor')),
    name TEXT NOT NULL,
    person_id TEXT REFERENCES people (id),
    made_by TEXT NOT NULL,
    made_utc TEXT NOT NULL,
    expires_utc TEXT NOT NULL,
    used_utc TEXT
) STRICT;

CREATE TABLE aircraft (
    id TEXT NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    file_sha256 TEXT NOT NULL,
    active INTEGER NOT NULL CHECK (active IN (0, 1)),
    changed_utc TEXT NOT NULL
) STRICT;

-- Every text that was in force, numbered within the aircraft: going back to an older text is a new row.
CREATE TABLE aircraft_files (
    aircraft_id TEXT NOT NULL REFERENCES aircraft (id),
    version INTEGER NOT NULL CHECK (version >= 1),
    sha256 TEXT NOT NULL,
    toml TEXT NOT NULL,
    by_id TEXT NOT NULL,
    at_utc TEXT NOT NULL,
    PRIMARY KEY (aircraft_id, version)
) STRICT;
CREATE INDEX aircraft_files_sha256 ON aircraft_files (sha256);

CREATE TABLE packs (
    id TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    toml TEXT NOT NULL,
    active INTEGER NOT NULL CHECK (active IN (0, 1)),
    by_id TEXT NOT NULL,
    at_utc TEXT NOT NULL,
    PRIMARY KEY (id, sha256)
) STRICT;
CREATE UNIQUE INDEX packs_one_active ON packs (id) WHERE active = 1;

CREATE TABLE maps (
    header_signature TEXT NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    entries TEXT NOT NULL,
    by_id TEXT NOT NULL,
    at_utc TEXT NOT NULL
) STRICT;

CREATE TABLE recordings (
    sha256 TEXT NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    received_utc TEXT NOT NULL,
    by_id TEXT NOT NULL,
    via TEXT NOT NULL CHECK (via IN ('page', 'command', 'folder')),
    header_signature TEXT NOT NULL,
    reading TEXT NOT NULL
) STRICT;
CREATE INDEX recordings_received ON recordings (received_utc);
CREATE INDEX recordings_header ON recordings (header_signature);

CREATE TABLE lessons (
    id TEXT NOT NULL PRIMARY KEY,
    recording_sha256 TEXT NOT NULL REFERENCES recordings (sha256),
    part INTEGER NOT NULL CHECK (part >= 0),
    start_utc TEXT NOT NULL,
    start_known INTEGER NOT NULL DEFAULT 1 CHECK (start_known IN (0, 1)),
    duration_s REAL NOT NULL,
    title TEXT NOT NULL,
    student_id TEXT REFERENCES people (id),
    instructor_id TEXT REFERENCES people (id),
    aircraft_id TEXT REFERENCES aircraft (id),
    standard TEXT NOT NULL,
    terrain_ft REAL,
    guessed TEXT NOT NULL DEFAULT '[]',
    flown TEXT NOT NULL DEFAULT '[]',
    demonstration INTEGER NOT NULL DEFAULT 0 CHECK (demonstration IN (0, 1)),
    set_aside_utc TEXT,
    entry_seq INTEGER NOT NULL DEFAULT 0,
    signed_version INTEGER,
    acknowledged_version INTEGER,
    created_utc TEXT NOT NULL,
    UNIQUE (recording_sha256, part)
) STRICT;
CREATE INDEX lessons_start ON lessons (start_utc);
CREATE INDEX lessons_student ON lessons (student_id, start_utc);
CREATE INDEX lessons_instructor ON lessons (instructor_id, start_utc);

CREATE TABLE entries (
    lesson_id TEXT NOT NULL REFERENCES lessons (id),
    seq INTEGER NOT NULL CHECK (seq >= 1),
    id TEXT NOT NULL UNIQUE,
    at_utc TEXT NOT NULL,
    by_id TEXT NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (lesson_id, seq)
) STRICT;

-- Derived: may be made again from what is kept.
CREATE TABLE debriefs (
    lesson_id TEXT NOT NULL PRIMARY KEY REFERENCES lessons (id),
    inputs_sha256 TEXT NOT NULL,
    document BLOB NOT NULL,
    program TEXT NOT NULL,
    made_utc TEXT NOT NULL
) STRICT;

CREATE TABLE signed (
    lesson_id TEXT NOT NULL REFERENCES lessons (id),
    version INTEGER NOT NULL CHECK (version >= 1),
    sha256 TEXT NOT NULL,
    previous_sha256 TEXT,
    document BLOB NOT NULL,
    by_id TEXT NOT NULL REFERENCES people (id),
    at_utc TEXT NOT NULL,
    PRIMARY KEY (lesson_id, version)
) STRICT;

CREATE TABLE audit (
    seq INTEGER NOT NULL PRIMARY KEY CHECK (seq >= 1),
    at_utc TEXT NOT NULL,
    by_id TEXT NOT NULL,
    by_name TEXT NOT NULL,
    action TEXT NOT NULL,
    subject TEXT NOT NULL,
    detail TEXT NOT NULL,
    previous TEXT NOT NULL,
    hash TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE jobs (
    id TEXT NOT NULL PRIMARY KEY,
    kind TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('waiting', 'running', 'done', 'stopped')),
    total INTEGER NOT NULL,
    done INTEGER NOT NULL,
    failed INTEGER NOT NULL,
    note TEXT NOT NULL,
    made_utc TEXT NOT NULL,
    changed_utc TEXT NOT NULL
) STRICT;

-- Append-only: what stands cannot be changed, and what comes has the next number (which also stops REPLACE).
CREATE TRIGGER audit_kept BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'audit is append-only'); END;
CREATE TRIGGER audit_not_deleted BEFORE DELETE ON audit BEGIN SELECT RAISE(ABORT, 'audit is append-only'); END;
CREATE TRIGGER audit_in_order BEFORE INSERT ON audit
WHEN NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM audit)
BEGIN SELECT RAISE(ABORT, 'audit must be in order'); END;

CREATE TRIGGER entries_kept BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'entries is append-only'); END;
CREATE TRIGGER entries_not_deleted BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'entries is append-only'); END;
CREATE TRIGGER entries_in_order BEFORE INSERT ON entries
WHEN NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM entries WHERE lesson_id = NEW.lesson_id)
    OR EXISTS (SELECT 1 FROM entries WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'entries must be in order'); END;

CREATE TRIGGER signed_kept BEFORE UPDATE ON signed BEGIN SELECT RAISE(ABORT, 'signed is append-only'); END;
CREATE TRIGGER signed_not_deleted BEFORE DELETE ON signed BEGIN SELECT RAISE(ABORT, 'signed is append-only'); END;
CREATE TRIGGER signed_in_order BEFORE INSERT ON signed
WHEN NEW.version <> (SELECT COALESCE(MAX(version), 0) + 1 FROM signed WHERE lesson_id = NEW.lesson_id)
BEGIN SELECT RAISE(ABORT, 'signed must be in order'); END;

CREATE TRIGGER aircraft_files_kept BEFORE UPDATE ON aircraft_files
BEGIN SELECT RAISE(ABORT, 'aircraft_files is append-only'); END;
CREATE TRIGGER aircraft_files_not_deleted BEFORE DELETE ON aircraft_files
BEGIN SELECT RAISE(ABORT, 'aircraft_files is append-only'); END;
CREATE TRIGGER aircraft_files_in_order BEFORE INSERT ON aircraft_files
WHEN NEW.version <> (SELECT COALESCE(MAX(version), 0) + 1 FROM aircraft_files WHERE aircraft_id = NEW.aircraft_id)
BEGIN SELECT RAISE(ABORT, 'aircraft_files must be in order'); END;
