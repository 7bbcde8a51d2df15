-- Times are milliseconds since 1970, UTC; days are numbers such as 20261125, on the calendar of where it happened.
-- `n` is this notebook's own short number for a row; `id` is its name in every notebook; `changed` its last change.

CREATE TABLE learner (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    name TEXT NOT NULL,
    rules TEXT NOT NULL,
    made INTEGER NOT NULL,
    changed INTEGER NOT NULL
);

CREATE TABLE session (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    began INTEGER NOT NULL,
    day INTEGER NOT NULL,
    ended INTEGER,
    plan TEXT NOT NULL,
    changed INTEGER NOT NULL
);
CREATE INDEX session_by_learner ON session (learner, began);

-- A word and the sounds that were asked for; few, and shared by many attempts.
CREATE TABLE item (
    n INTEGER PRIMARY KEY,
    word TEXT NOT NULL,
    sounds TEXT NOT NULL,
    UNIQUE (word, sounds)
);
CREATE TABLE item_sound (
    sound INTEGER NOT NULL,
    item INTEGER NOT NULL REFERENCES item (n),
    PRIMARY KEY (sound, item)
) WITHOUT ROWID;

-- The counting rules in force, as `r_vowels=two yu=two ...`.
CREATE TABLE rules (
    n INTEGER PRIMARY KEY,
    text TEXT NOT NULL UNIQUE
);

-- `verdict`, `ruling`: 0 same, 1 fewer, 2 more, 3 changed, 4 unsure. `speaking`: 0 whole, 1 stretched, 2 separate.
-- `edits`: JSON of all that people add (child's count, letters, ruling); `child` and `ruling` repeat what is counted.
CREATE TABLE attempt (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    session INTEGER NOT NULL REFERENCES session (n),
    at INTEGER NOT NULL,
    day INTEGER NOT NULL,
    item INTEGER NOT NULL REFERENCES item (n),
    before TEXT,
    speaking INTEGER NOT NULL,
    rules INTEGER NOT NULL REFERENCES rules (n),
    model TEXT NOT NULL,
    expected INTEGER NOT NULL,
    heard INTEGER,
    verdict INTEGER,
    sure REAL,
    recording BLOB,
    child INTEGER,
    ruling INTEGER,
    edits TEXT NOT NULL,
    undone INTEGER NOT NULL DEFAULT 0,
    changed INTEGER NOT NULL
);
CREATE INDEX attempt_by_day ON attempt (learner, undone, day, at, item, verdict, ruling, speaking, child, expected);
CREATE INDEX attempt_by_model ON attempt (learner, undone, model, day);
CREATE INDEX attempt_by_item ON attempt (item, learner);
CREATE INDEX attempt_by_session ON attempt (session, at);
CREATE INDEX attempt_by_recording ON attempt (recording) WHERE recording IS NOT NULL;
-- Rulings that tell the sounds.
CREATE INDEX attempt_told ON attempt (learner) WHERE instr(edits, '"sounds":') > 0 AND undone = 0;
CREATE INDEX attempt_undone ON attempt (undone) WHERE undone = 1;

-- The whole answer of the ear, as `soundbead count --json` writes it, and its line on where to listen.
CREATE TABLE judgement (
    attempt INTEGER PRIMARY KEY REFERENCES attempt (n) ON DELETE CASCADE,
    answer TEXT NOT NULL,
    listen TEXT
);

-- How many attempts there are of each kind in each month; the triggers below keep it. -1 stands for none.
CREATE TABLE tally (
    learner INTEGER NOT NULL,
    month INTEGER NOT NULL,
    item INTEGER NOT NULL,
    rules INTEGER NOT NULL,
    speaking INTEGER NOT NULL,
    expected INTEGER NOT NULL,
    child INTEGER NOT NULL,
    heard INTEGER NOT NULL,
    verdict INTEGER NOT NULL,
    ruling INTEGER NOT NULL,
    attempts INTEGER NOT NULL,
    PRIMARY KEY (learner, month, item, rules, speaking, expected, child, heard, verdict, ruling)
) WITHOUT ROWID;

CREATE TRIGGER tally_new AFTER INSERT ON attempt WHEN new.undone = 0 BEGIN
    INSERT INTO tally VALUES (new.learner, new.day / 100, new.item, new.rules, new.speaking, new.expected,
        ifnull(new.child, -1), ifnull(new.heard, -1), ifnull(new.verdict, -1), ifnull(new.ruling, -1), 1)
    ON CONFLICT DO UPDATE SET attempts = attempts + 1;
END;
CREATE TRIGGER tally_gone AFTER DELETE ON attempt WHEN old.undone = 0 BEGIN
    UPDATE tally SET attempts = attempts - 1 WHERE (learner, month, item, rules, speaking, expected, child, heard,
        verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1));
    DELETE FROM tally WHERE (learner, month, item, rules, speaking, expected, child, heard,
        verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1))
        AND attempts = 0;
END;
CREATE TRIGGER tally_changed AFTER UPDATE OF learner, day, item, rules, speaking, expected, child, heard, verdict,
    ruling, undone ON attempt
BEGIN
    UPDATE tally SET attempts = attempts - 1 WHERE old.undone = 0 AND (learner, month, item, rules, speaking, expected,
        child, heard, verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1));
    DELETE FROM tally WHERE (learner, month, item, rules, speaking, expected, child, heard,
        verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1))
        AND attempts = 0;
    INSERT INTO tally SELECT new.learner, new.day / 100, new.item, new.rules, new.speaking, new.expected,
        ifnull(new.child, -1), ifnull(new.heard, -1), ifnull(new.verdict, -1), ifnull(new.ruling, -1), 1
        WHERE new.undone = 0
    ON CONFLICT DO UPDATE SET attempts = attempts + 1;
END;

-- `kind`: 0 learner, 1 sound, 2 word, 3 attempt; `about`: the sound, the word or the attempt's id in hexadecimal.
-- `body`: JSON, what the note says.
CREATE TABLE note (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    kind INTEGER NOT NULL,
    about TEXT NOT NULL,
    author TEXT NOT NULL,
    made INTEGER NOT NULL,
    day INTEGER NOT NULL,
    body TEXT NOT NULL,
    changed INTEGER NOT NULL
);
CREATE INDEX note_by_about ON note (learner, kind, about);
CREATE INDEX note_by_day ON note (learner, day);

-- What was typed or begun and not finished, as it was.
CREATE TABLE draft (
    learner INTEGER REFERENCES learner (n),
    key TEXT NOT NULL,
    text TEXT NOT NULL,
    changed INTEGER NOT NULL
);
CREATE UNIQUE INDEX draft_key ON draft (ifnull(learner, 0), key);

-- The learner's own settings of the ear, and vowels as measured. Rows are added, never changed.
CREATE TABLE enrolment (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    at INTEGER NOT NULL,
    model TEXT NOT NULL,
    numbers TEXT NOT NULL
);
CREATE INDEX enrolment_by_learner ON enrolment (learner, at);
CREATE TABLE vowel (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    at INTEGER NOT NULL,
    day INTEGER NOT NULL,
    sound TEXT NOT NULL,
    word TEXT,
    f0 REAL,
    f1 REAL NOT NULL,
    f2 REAL NOT NULL,
    f3 REAL,
    recording BLOB
);
CREATE INDEX vowel_by_learner ON vowel (learner, day);
CREATE INDEX vowel_by_recording ON vowel (recording) WHERE recording IS NOT NULL;

-- What a later change took the place of. `of` is the row's id, `changed` when that state was made.
CREATE TABLE history (
    n INTEGER PRIMARY KEY,
    learner INTEGER NOT NULL REFERENCES learner (n),
    of BLOB NOT NULL,
    changed INTEGER NOT NULL,
    body TEXT NOT NULL,
    UNIQUE (of, changed, body)
);
CREATE INDEX history_by_learner ON history (learner);

-- Rows that were taken out, so that a hand-over does not bring them back. Nothing of what they held is here.
CREATE TABLE gone (
    id BLOB PRIMARY KEY,
    learner INTEGER NOT NULL REFERENCES learner (n),
    changed INTEGER NOT NULL
) WITHOUT ROWID;
CREATE INDEX gone_by_learner ON gone (learner);
