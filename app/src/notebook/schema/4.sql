-- Goals, how a lesson went, families, and notes that point at a moment, are answered and settled (these are in the note's `body`).

-- `body`: JSON, what the goal is about, by when, what settles it, and that it was settled.
CREATE TABLE goal (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    author TEXT NOT NULL,
    made INTEGER NOT NULL,
    day INTEGER NOT NULL,
    body TEXT NOT NULL,
    changed INTEGER NOT NULL
);
CREATE INDEX goal_by_learner ON goal (learner);

-- Two children of one name are told apart by their families.
ALTER TABLE learner ADD COLUMN family TEXT NOT NULL DEFAULT '';

-- A line on how the lesson went; none where nobody said.
ALTER TABLE session ADD COLUMN went TEXT;
