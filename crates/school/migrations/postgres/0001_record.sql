-- The school's record, as in the SQLite script of the same number; text sorts by its bytes on both.
-- Ids are UUIDv7 text, times RFC 3339 UTC text, JSON text, documents gzipped bytes.

CREATE TABLE school (
    id BIGINT NOT NULL PRIMARY KEY CHECK (id = 1),
    name TEXT COLLATE "C" NOT NULL,
    standard TEXT COLLATE "C" NOT NULL,
    terrain_ft DOUBLE PRECISION,
    created_utc TEXT COLLATE "C" NOT NULL
);

CREATE TABLE people (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL,
    login TEXT COLLATE "C" NOT NULL UNIQUE CHECK (login = lower(login)),
    role TEXT COLLATE "C" NOT NULL CHECK (role IN ('chief', 'instructor', 'student', 'auditor')),
    password TEXT COLLATE "C",
    active BOOLEAN NOT NULL,
    created_utc TEXT COLLATE "C" NOT NULL,
    changed_utc TEXT COLLATE "C" NOT NULL,
    seen_utc TEXT COLLATE "C"
);

CREATE TABLE sessions (
    token_sha256 TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    person_id TEXT COLLATE "C" NOT NULL REFERENCES people (id),
    created_utc TEXT COLLATE "C" NOT NULL,
    seen_utc TEXT COLLATE "C" NOT NULL,
    expires_utc TEXT COLLATE "C" NOT NULL,
    device TEXT COLLATE "C" NOT NULL
);
CREATE INDEX sessions_person ON sessions (person_id);

CREATE TABLE tokens (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    token_sha256 TEXT COLLATE "C" NOT NULL UNIQUE,
    person_id TEXT COLLATE "C" NOT NULL REFERENCES people (id),
    label TEXT COLLATE "C" NOT NULL,
    created_utc TEXT COLLATE "C" NOT NULL,
    expires_utc TEXT COLLATE "C" NOT NULL,
    used_utc TEXT COLLATE "C",
    revoked_utc TEXT COLLATE "C"
);
CREATE INDEX tokens_person ON tokens (person_id);

CREATE TABLE invites (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    token_sha256 TEXT COLLATE "C" NOT NULL UNIQUE,
    purpose TEXT COLLATE "C" NOT NULL CHECK (purpose IN ('join', 'reset')),
    role TEXT COLLATE "C" NOT NULL CHECK (role IN ('chief', 'instructor', 'student', 'auditor')),
    name TEXT COLLATE "C" NOT NULL,
    person_id TEXT COLLATE "C" REFERENCES people (id),
    made_by TEXT COLLATE "C" NOT NULL,
    made_utc TEXT COLLATE "C" NOT NULL,
    expires_utc TEXT COLLATE "C" NOT NULL,
    used_utc TEXT COLLATE "C"
);

CREATE TABLE aircraft (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL,
    file_sha256 TEXT COLLATE "C" NOT NULL,
    active BOOLEAN NOT NULL,
    changed_utc TEXT COLLATE "C" NOT NULL
);

-- Every text that was in force, numbered within the aircraft: going back to an older text is a new row.
CREATE TABLE aircraft_files (
    aircraft_id TEXT COLLATE "C" NOT NULL REFERENCES aircraft (id),
    version BIGINT NOT NULL CHECK (version >= 1),
    sha256 TEXT COLLATE "C" NOT NULL,
    toml TEXT COLLATE "C" NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL,
    at_utc TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (aircraft_id, version)
);
CREATE INDEX aircraft_files_sha256 ON aircraft_files (sha256);

CREATE TABLE packs (
    id TEXT COLLATE "C" NOT NULL,
    sha256 TEXT COLLATE "C" NOT NULL,
    toml TEXT COLLATE "C" NOT NULL,
    active BOOLEAN NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL,
    at_utc TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (id, sha256)
);
CREATE UNIQUE INDEX packs_one_active ON packs (id) WHERE active;

CREATE TABLE maps (
    header_signature TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL,
    entries TEXT COLLATE "C" NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL,
    at_utc TEXT COLLATE "C" NOT NULL
);

CREATE TABLE recordings (
    sha256 TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL,
    bytes BIGINT NOT NULL,
    received_utc TEXT COLLATE "C" NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL,
    via TEXT COLLATE "C" NOT NULL CHECK (via IN ('page', 'command', 'folder')),
    header_signature TEXT COLLATE "C" NOT NULL,
    reading TEXT COLLATE "C" NOT NULL
);
CREATE INDEX recordings_received ON recordings (received_utc);
CREATE INDEX recordings_header ON recordings (header_signature);

CREATE TABLE lessons (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    recording_sha256 TEXT COLLATE "C" NOT NULL REFERENCES recordings (sha256),
    part BIGINT NOT NULL CHECK (part >= 0),
    start_utc TEXT COLLATE "C" NOT NULL,
    start_known BOOLEAN NOT NULL DEFAULT TRUE,
    duration_s DOUBLE PRECISION NOT NULL,
    title TEXT COLLATE "C" NOT NULL,
    student_id TEXT COLLATE "C" REFERENCES people (id),
    instructor_id TEXT COLLATE "C" REFERENCES people (id),
    aircraft_id TEXT COLLATE "C" REFERENCES aircraft (id),
    standard TEXT COLLATE "C" NOT NULL,
    terrain_ft DOUBLE PRECISION,
    guessed TEXT COLLATE "C" NOT NULL DEFAULT '[]',
    flown TEXT COLLATE "C" NOT NULL DEFAULT '[]',
    demonstration BOOLEAN NOT NULL DEFAULT FALSE,
    set_aside_utc TEXT COLLATE "C",
    entry_seq BIGINT NOT NULL DEFAULT 0,
    signed_version BIGINT,
    acknowledged_version BIGINT,
    created_utc TEXT COLLATE "C" NOT NULL,
    UNIQUE (recording_sha256, part)
);
CREATE INDEX lessons_start ON lessons (start_utc);
CREATE INDEX lessons_student ON lessons (student_id, start_utc);
CREATE INDEX lessons_instructor ON lessons (instructor_id, start_utc);

CREATE TABLE entries (
    lesson_id TEXT COLLATE "C" NOT NULL REFERENCES lessons (id),
    seq BIGINT NOT NULL CHECK (seq >= 1),
    id TEXT COLLATE "C" NOT NULL UNIQUE,
    at_utc TEXT COLLATE "C" NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (lesson_id, seq)
);

-- Derived: may be made again from what is kept.
CREATE TABLE debriefs (
    lesson_id TEXT COLLATE "C" NOT NULL PRIMARY KEY REFERENCES lessons (id),
    inputs_sha256 TEXT COLLATE "C" NOT NULL,
    document BYTEA NOT NULL,
    program TEXT COLLATE "C" NOT NULL,
    made_utc TEXT COLLATE "C" NOT NULL
);

CREATE TABLE signed (
    lesson_id TEXT COLLATE "C" NOT NULL REFERENCES lessons (id),
    version BIGINT NOT NULL CHECK (version >= 1),
    sha256 TEXT COLLATE "C" NOT NULL,
    previous_sha256 TEXT COLLATE "C",
    document BYTEA NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL REFERENCES people (id),
    at_utc TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (lesson_id, version)
);

CREATE TABLE audit (
    seq BIGINT NOT NULL PRIMARY KEY CHECK (seq >= 1),
    at_utc TEXT COLLATE "C" NOT NULL,
    by_id TEXT COLLATE "C" NOT NULL,
    by_name TEXT COLLATE "C" NOT NULL,
    action TEXT COLLATE "C" NOT NULL,
    subject TEXT COLLATE "C" NOT NULL,
    detail TEXT COLLATE "C" NOT NULL,
    previous TEXT COLLATE "C" NOT NULL,
    hash TEXT COLLATE "C" NOT NULL UNIQUE
);

CREATE TABLE jobs (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    kind TEXT COLLATE "C" NOT NULL,
    state TEXT COLLATE "C" NOT NULL CHECK (state IN ('waiting', 'running', 'done', 'stopped')),
    total BIGINT NOT NULL,
    done BIGINT NOT NULL,
    failed BIGINT NOT NULL,
    note TEXT COLLATE "C" NOT NULL,
    made_utc TEXT COLLATE "C" NOT NULL,
    changed_utc TEXT COLLATE "C" NOT NULL
);

-- Append-only: what stands cannot be changed, and what comes has the next number.
CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    RAISE EXCEPTION '% is append-only', TG_TABLE_NAME;
END;
$body$;

CREATE FUNCTION audit_in_order() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    IF NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM audit) THEN
        RAISE EXCEPTION 'audit must be in order';
    END IF;
    RETURN NEW;
END;
$body$;

CREATE FUNCTION entries_in_order() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    IF NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM entries WHERE lesson_id = NEW.lesson_id) THEN
        RAISE EXCEPTION 'entries must be in order';
    END IF;
    RETURN NEW;
END;
$body$;

CREATE FUNCTION signed_in_order() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    IF NEW.version <> (SELECT COALESCE(MAX(version), 0) + 1 FROM signed WHERE lesson_id = NEW.lesson_id) THEN
        RAISE EXCEPTION 'signed must be in order';
    END IF;
    RETURN NEW;
END;
$body$;

CREATE FUNCTION aircraft_files_in_order() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    IF NEW.version <>
        (SELECT COALESCE(MAX(version), 0) + 1 FROM aircraft_files WHERE aircraft_id = NEW.aircraft_id)
    THEN
        RAISE EXCEPTION 'aircraft_files must be in order';
    END IF;
    RETURN NEW;
END;
$body$;

CREATE TRIGGER audit_kept BEFORE UPDATE OR DELETE ON audit FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER audit_not_emptied BEFORE TRUNCATE ON audit FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER audit_in_order BEFORE INSERT ON audit FOR EACH ROW EXECUTE FUNCTION audit_in_order();
CREATE TRIGGER entries_kept BEFORE UPDATE OR DELETE ON entries FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER entries_not_emptied BEFORE TRUNCATE ON entries FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER entries_in_order BEFORE INSERT ON entries FOR EACH ROW EXECUTE FUNCTION entries_in_order();
CREATE TRIGGER signed_kept BEFORE UPDATE OR DELETE ON signed FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER signed_not_emptied BEFORE TRUNCATE ON signed FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER signed_in_order BEFORE INSERT ON signed FOR EACH ROW EXECUTE FUNCTION signed_in_order();
CREATE TRIGGER aircraft_files_kept BEFORE UPDATE OR DELETE ON aircraft_files
    FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER aircraft_files_not_emptied BEFORE TRUNCATE ON aircraft_files
    FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER aircraft_files_in_order BEFORE INSERT ON aircraft_files
    FOR EACH ROW EXECUTE FUNCTION aircraft_files_in_order();
