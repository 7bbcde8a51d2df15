-- What a child wrote for a word: in a dictation, or on paper. Letters in the boxes of a lesson stay with their attempt.

-- `tries`: JSON, a list of what was written, first to last, as it was written. `source`: dictation, paper. `help`: none,
-- before-first, after-first. What it shows is worked out when it is looked at, and is nowhere here.
CREATE TABLE writing (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    session INTEGER REFERENCES session (n),
    word TEXT NOT NULL,
    tries TEXT NOT NULL,
    source TEXT NOT NULL,
    help TEXT NOT NULL,
    day INTEGER NOT NULL,
    kept_at INTEGER NOT NULL,
    undone INTEGER NOT NULL DEFAULT 0,
    changed INTEGER NOT NULL
);
CREATE INDEX writing_by_day ON writing (learner, undone, day);
CREATE INDEX writing_by_session ON writing (session) WHERE session IS NOT NULL;
CREATE INDEX writing_undone ON writing (undone) WHERE undone = 1;

-- What the parent says of a choice of spelling, by its name. `taught`: 1 it was, 0 it was not, NULL that was taken back.
CREATE TABLE named (
    learner INTEGER NOT NULL REFERENCES learner (n),
    choice TEXT NOT NULL,
    taught INTEGER,
    changed INTEGER NOT NULL,
    PRIMARY KEY (learner, choice)
) WITHOUT ROWID;
