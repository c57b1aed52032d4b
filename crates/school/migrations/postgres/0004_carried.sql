-- What each flight alone says of its aircraft, for the fit of later flights. Rows are added and never changed, because a
-- lesson that was debriefed with one says so by number; what holds is a lesson's last.
CREATE TABLE carried (
    lesson_id TEXT COLLATE "C" NOT NULL REFERENCES lessons (id),
    version BIGINT NOT NULL CHECK (version >= 1),
    aircraft_id TEXT COLLATE "C" NOT NULL REFERENCES aircraft (id),
    aircraft_sha256 TEXT COLLATE "C" NOT NULL,
    program TEXT COLLATE "C" NOT NULL,
    sha256 TEXT COLLATE "C" NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    at_utc TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (lesson_id, version)
);
CREATE INDEX carried_aircraft ON carried (aircraft_id, aircraft_sha256, program);

-- Which earlier flights a lesson was debriefed with: chosen for a flight in an aircraft (digest), and kept.
CREATE TABLE earlier_flights (
    lesson_id TEXT COLLATE "C" NOT NULL PRIMARY KEY REFERENCES lessons (id),
    chosen_for TEXT COLLATE "C" NOT NULL,
    earlier TEXT COLLATE "C" NOT NULL,
    at_utc TEXT COLLATE "C" NOT NULL
);

CREATE FUNCTION carried_in_order() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    IF NEW.version <> (SELECT COALESCE(MAX(version), 0) + 1 FROM carried WHERE lesson_id = NEW.lesson_id) THEN
        RAISE EXCEPTION 'carried must be in order';
    END IF;
    RETURN NEW;
END;
$body$;

CREATE TRIGGER carried_kept BEFORE UPDATE OR DELETE ON carried FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER carried_not_emptied BEFORE TRUNCATE ON carried FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER carried_in_order BEFORE INSERT ON carried FOR EACH ROW EXECUTE FUNCTION carried_in_order();
