-- What each flight alone says of its aircraft, for the fit of later flights. Rows are added and never changed, because a
-- lesson that was debriefed with one says so by number; what holds is a lesson's last.
CREATE TABLE carried (
    lesson_id TEXT NOT NULL REFERENCES lessons (id),
    version INTEGER NOT NULL CHECK (version >= 1),
    aircraft_id TEXT NOT NULL REFERENCES aircraft (id),
    aircraft_sha256 TEXT NOT NULL,
    program TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    body TEXT NOT NULL,
    at_utc TEXT NOT NULL,
    PRIMARY KEY (lesson_id, version)
) STRICT;
CREATE INDEX carried_aircraft ON carried (aircraft_id, aircraft_sha256, program);

-- Which earlier flights a lesson was debriefed with: chosen for a flight in an aircraft (digest), and kept.
CREATE TABLE earlier_flights (
    lesson_id TEXT NOT NULL PRIMARY KEY REFERENCES lessons (id),
    chosen_for TEXT NOT NULL,
    earlier TEXT NOT NULL,
    at_utc TEXT NOT NULL
) STRICT;

CREATE TRIGGER carried_kept BEFORE UPDATE ON carried BEGIN SELECT RAISE(ABORT, 'carried is append-only'); END;
CREATE TRIGGER carried_not_deleted BEFORE DELETE ON carried BEGIN SELECT RAISE(ABORT, 'carried is append-only'); END;
CREATE TRIGGER carried_in_order BEFORE INSERT ON carried
WHEN NEW.version <> (SELECT COALESCE(MAX(version), 0) + 1 FROM carried WHERE lesson_id = NEW.lesson_id)
BEGIN SELECT RAISE(ABORT, 'carried must be in order'); END;
