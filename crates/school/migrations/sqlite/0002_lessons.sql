-- What the lessons need besides: who gave the title, what the recorder says of itself, the maneuvers for lists.

ALTER TABLE lessons ADD COLUMN title_given INTEGER NOT NULL DEFAULT 0 CHECK (title_given IN (0, 1));
ALTER TABLE lessons ADD COLUMN changed_since_signed INTEGER NOT NULL DEFAULT 0 CHECK (changed_since_signed IN (0, 1));
ALTER TABLE recordings ADD COLUMN identity TEXT NOT NULL DEFAULT '';
ALTER TABLE recordings ADD COLUMN unsure INTEGER NOT NULL DEFAULT 0 CHECK (unsure IN (0, 1));

-- Derived from the document of each lesson.
CREATE TABLE maneuvers (
    lesson_id TEXT NOT NULL REFERENCES lessons (id),
    number INTEGER NOT NULL CHECK (number >= 1),
    kind TEXT NOT NULL,
    title TEXT NOT NULL,
    start_s REAL NOT NULL,
    end_s REAL NOT NULL,
    marks TEXT NOT NULL,
    PRIMARY KEY (lesson_id, number)
) STRICT;
CREATE INDEX maneuvers_kind ON maneuvers (kind, lesson_id);
