-- What the lessons need besides: who gave the title, what the recorder says of itself, the maneuvers for lists.

ALTER TABLE lessons ADD COLUMN title_given BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE lessons ADD COLUMN changed_since_signed BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE recordings ADD COLUMN identity TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE recordings ADD COLUMN unsure BOOLEAN NOT NULL DEFAULT FALSE;

-- Derived from the document of each lesson.
CREATE TABLE maneuvers (
    lesson_id TEXT COLLATE "C" NOT NULL REFERENCES lessons (id),
    number BIGINT NOT NULL CHECK (number >= 1),
    kind TEXT COLLATE "C" NOT NULL,
    title TEXT COLLATE "C" NOT NULL,
    start_s DOUBLE PRECISION NOT NULL,
    end_s DOUBLE PRECISION NOT NULL,
    marks TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (lesson_id, number)
);
CREATE INDEX maneuvers_kind ON maneuvers (kind, lesson_id);
