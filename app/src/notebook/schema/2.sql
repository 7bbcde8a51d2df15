-- The ear's whole judgement takes the place of its rounded answer line, and an attempt may have a ruling by each person.
-- `current_judgement` and `current_edits` are the program's own (`notebook/older.rs`).

-- `body`: a judgement as it writes itself, unrounded; its first field is the version of that form.
CREATE TABLE whole (
    attempt INTEGER PRIMARY KEY REFERENCES attempt (n) ON DELETE CASCADE,
    body TEXT NOT NULL
);
INSERT INTO whole SELECT attempt, current_judgement(answer, listen) FROM judgement;
DROP TABLE judgement;
ALTER TABLE whole RENAME TO judgement;

-- `edits`: `rulings`, a list, instead of `ruling`. The column `ruling` is what those who ruled agree on, or 4, unsure.
UPDATE attempt SET edits = current_edits(edits, changed) WHERE instr(edits, '"ruling":') > 0;
UPDATE history SET body = current_edits(body, changed)
    WHERE instr(body, '"ruling":') > 0 AND of IN (SELECT id FROM attempt);

-- What was said is told by the program's count too (`notebook/counting.rs`), so the index has it.
DROP INDEX attempt_by_day;
CREATE INDEX attempt_by_day
    ON attempt (learner, undone, day, at, item, verdict, ruling, speaking, child, expected, heard, rules);
