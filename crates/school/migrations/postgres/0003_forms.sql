-- The form whose task marked a maneuver; empty = no particular one. Derived from the document of each lesson.

ALTER TABLE maneuvers ADD COLUMN variant TEXT COLLATE "C" NOT NULL DEFAULT '';
