//! Bringing an archive that was found whole into the notebook: all of it in one change, or nothing.
//!
//! Every row is a set of states, each with its time. The latest is the row's state; an earlier one that said something
//! else stays as history. Taking both sides' states together gives the same whichever side does it and however often.

use rusqlite::{Connection, OptionalExtension, params};

use super::super::attempt::{self, Attempt};
use super::super::bounds::{CheckedRow, Clock};
use super::super::history::{self, Earlier};
use super::super::naming::{self, Naming};
use super::super::skipped::Skipped;
use super::super::{
    Content, Enrolment, Goal, Id, Learner, Moment, Note, NoteSubject, Notebook, NotebookError, Result, Session,
    VowelMeasure, Writing, goal, learner, note, recording, session, undo, voice, writing,
};
use super::unpacked::{Unpacked, file_name, lines};
use super::wire::{AttemptLine, GoneLine, member};
use super::{CameIn, Merged, OnProgress, cancelled, write};

/// Brings it in; see [`Notebook::take_in`].
///
/// # Errors
/// When the notebook cannot be changed, or the work was cancelled; the notebook is then as it was.
pub fn merge(notebook: &mut Notebook, unpacked: &Unpacked, progress: OnProgress) -> Result<Merged> {
    let (folder, skipped) = (notebook.folder.clone(), notebook.skipped.clone());
    let change = notebook.writing()?;
    let mut placed = Vec::new();
    let done = recordings((&folder, &skipped), unpacked, &mut placed, progress).and_then(|()| all(&change, unpacked));
    let (mut merged, dropped) = match done.and_then(|done| Ok(change.commit().map(|()| done)?)) {
        Ok(done) => done,
        Err(e) => {
            // The rows are rolled back with the change; the files that came with them go too.
            placed
                .iter()
                .try_for_each(|content| recording::remove(&folder, *content))?;
            return Err(e);
        }
    };
    // A recording may have come for a row that was taken out here.
    let unheard = notebook.remove_unused(&placed)?;
    merged.recordings = placed.len() as u64 - unheard;
    merged.aside = unpacked.aside.list();
    notebook.remove_unused(&dropped)?;
    Ok(merged)
}

/// Puts the recordings that are not there yet in their place.
fn recordings(
    (folder, skipped): (&std::path::Path, &Skipped),
    unpacked: &Unpacked,
    placed: &mut Vec<Content>,
    progress: OnProgress,
) -> Result<()> {
    for (done, content) in unpacked.recordings.iter().enumerate() {
        if !progress(0.7 + 0.3 * done as f32 / unpacked.recordings.len() as f32) {
            return Err(cancelled());
        }
        let staged = unpacked.folder.join(file_name(&write::member_name(*content)));
        if recording::adopt(folder, *content, &staged, skipped)? {
            placed.push(*content);
        }
    }
    Ok(())
}

/// The rows of one archive on their way in.
struct Incoming<'a> {
    db: &'a Connection,
    clock: Clock,
    learner: i64,
    merged: Merged,
    /// Recordings of rows that were taken out.
    dropped: Vec<Content>,
}

/// Merges every row; gives what that did, and the recordings of rows that went.
fn all(db: &Connection, unpacked: &Unpacked) -> Result<(Merged, Vec<Content>)> {
    let mut coming = None;
    each(unpacked, member::LEARNER, |l: Learner| {
        coming = Some(Incoming::begin(db, l)?);
        Ok(())
    })?;
    let mut coming = coming.ok_or_else(|| NotebookError::refused("the archive holds no learner"))?;
    each(unpacked, member::SESSIONS, |s: Session| {
        coming.mended(s, Incoming::session)
    })?;
    each(unpacked, member::ATTEMPTS, |a: AttemptLine| {
        coming.mended(a, Incoming::attempt)
    })?;
    each(unpacked, member::WRITING, |w: Writing| {
        coming.mended(w, Incoming::writing)
    })?;
    each(unpacked, member::NOTES, |n: Note| coming.mended(n, Incoming::note))?;
    each(unpacked, member::GOALS, |g: Goal| coming.mended(g, Incoming::goal))?;
    each(unpacked, member::ENROLMENTS, |e: Enrolment| {
        coming.mended(e, Incoming::enrolment)
    })?;
    each(unpacked, member::VOWELS, |v: VowelMeasure| {
        coming.mended(v, Incoming::vowel)
    })?;
    each(unpacked, member::CHOICES, |n: Naming| coming.naming(&n))?;
    each(unpacked, member::HISTORY, |e: Earlier| {
        coming.mended(e, Incoming::earlier)
    })?;
    each(unpacked, member::GONE, |g: GoneLine| coming.mended(g, Incoming::gone))?;
    coming.merged.days_ahead = coming.clock.days_ahead(unpacked.manifest.made);
    Ok((coming.merged, coming.dropped))
}

/// As [`lines`], for work whose fault is the notebook's.
fn each<T: serde::de::DeserializeOwned>(
    unpacked: &Unpacked,
    member: &str,
    mut take: impl FnMut(T) -> Result<()>,
) -> Result<()> {
    let mut fault = None;
    let done = lines(unpacked, member, |value| {
        take(value).map_err(|e| {
            let line = e.to_string();
            fault = Some(e);
            line
        })
    });
    match fault {
        Some(e) => Err(e),
        None => done.map_err(NotebookError::refused),
    }
}

/// Which of two states stands: the later; of two made in the same millisecond, the one whose text comes last.
fn later(new: (Moment, &str), old: (Moment, &str)) -> std::cmp::Ordering {
    new.cmp(&old)
}

/// Puts a row's times right; whether any was wrong.
fn mend(db: &Connection, clock: &Clock, row: &mut impl CheckedRow) -> Result<bool> {
    let (id, was) = row.state();
    let to = history::moved(db, id, was)?.unwrap_or(clock.now);
    clock.mend(row, to).map_err(NotebookError::refused)
}

impl Incoming<'_> {
    fn begin(db: &Connection, mut learner: Learner) -> Result<Incoming<'_>> {
        let (clock, old) = (Clock::now(), learner::find(db, learner.id)?);
        let (new, was) = (old.is_none(), learner.changed);
        let redated = mend(db, &clock, &mut learner)?;
        if new {
            learner::insert(db, &learner)?;
        }
        let mut coming = Incoming {
            db,
            clock,
            learner: learner::number(db, learner.id)?,
            merged: Merged {
                learner: learner.clone(),
                new,
                added: 0,
                came: CameIn::default(),
                changed: 0,
                removed: 0,
                recordings: 0,
                aside: Vec::new(),
                redated: 0,
                days_ahead: None,
            },
            dropped: Vec::new(),
        };
        if redated {
            coming.moved(learner.id, was, learner.changed)?;
        }
        if let Some(old) = old {
            coming.known_learner(&old, &learner)?;
        }
        Ok(coming)
    }

    /// Takes a row in with `take`, its times put right where a wrong clock showed them.
    fn mended<T: CheckedRow>(&mut self, mut row: T, take: impl FnOnce(&mut Self, &T) -> Result<()>) -> Result<()> {
        let (id, was) = row.state();
        let redated = mend(self.db, &self.clock, &mut row)?;
        take(self, &row)?;
        // After the row: what takes a row out takes its history too.
        match redated {
            true => self.moved(id, was, row.state().1),
            false => Ok(()),
        }
    }

    /// Remembers that a state's time was moved, so that it is moved to the same when it comes again.
    fn moved(&mut self, id: Id, was: Moment, now: Moment) -> Result<()> {
        self.merged.redated += 1;
        history::keep_moved(self.db, self.learner, id, was, now)
    }

    fn known_learner(&mut self, old: &Learner, new: &Learner) -> Result<()> {
        let (was, is) = (old.state(), new.state());
        if later((new.changed, &is), (old.changed, &was)).is_gt() {
            if was != is {
                self.keep(old.id, old.changed, &was)?;
            }
            learner::update(self.db, new)?;
            self.merged.changed += 1;
        } else {
            if was != is {
                self.keep(old.id, new.changed, &is)?;
            }
            self.merged.learner = old.clone();
        }
        Ok(())
    }

    /// Keeps a state that lost as history.
    fn keep(&mut self, of: Id, changed: Moment, body: &str) -> Result<()> {
        history::keep(self.db, self.learner, of, changed, body)
    }

    /// When a row was taken out here, if it was.
    fn gone_at(&self, id: Id) -> Result<Option<Moment>> {
        let when = self
            .db
            .query_row("SELECT changed FROM gone WHERE id = ?", [id], |row| row.get(0));
        Ok(when.optional()?)
    }

    /// Whether a row was taken out here at or after `changed`; when it was before that, it may come again.
    fn went(&self, id: Id, changed: Moment) -> Result<bool> {
        match self.gone_at(id)? {
            Some(when) if when >= changed => Ok(true),
            Some(_) => {
                self.db.execute("DELETE FROM gone WHERE id = ?", [id])?;
                Ok(false)
            }
            None => Ok(false),
        }
    }

    /// Whether a table has a row of this name; a fault when it is another learner's.
    fn has(&self, table: &str, id: Id) -> Result<bool> {
        let owner = self
            .db
            .query_row(&format!("SELECT learner FROM {table} WHERE id = ?"), [id], |row| {
                row.get::<_, i64>(0)
            });
        match owner.optional()? {
            None => Ok(false),
            Some(owner) if self.learner == owner => Ok(true),
            Some(_) => Err(NotebookError::refused(
                "the archive claims rows that belong to another learner here",
            )),
        }
    }

    fn session(&mut self, s: &Session) -> Result<()> {
        if !self.has("session", s.id)? {
            session::insert(self.db, self.learner, s)?;
            self.merged.added += 1;
            self.merged.came.lessons += 1;
            return Ok(());
        }
        // All that changes in a session is that it ends, and what is said of how it went.
        let Some(old) = session::find(self.db, s.id)? else {
            return Ok(());
        };
        let joined = old.joined(s);
        for (changed, went) in [(old.changed, &old.went), (s.changed, &s.went)] {
            if let Some(went) = went.as_ref().filter(|_| *went != joined.went) {
                self.keep(s.id, changed, &history::body(&serde_json::json!({ "went": went })))?;
            }
        }
        if joined != old {
            session::update(self.db, &joined)?;
            self.merged.changed += 1;
        }
        Ok(())
    }

    fn attempt(&mut self, line: &AttemptLine) -> Result<()> {
        let mut new = line.attempt.clone();
        new.sum_up(line.judgement.as_ref());
        if self.has("attempt", new.id)? {
            return self.known_attempt(&new);
        }
        if self.went(new.id, new.changed)? {
            return Ok(());
        }
        let (session, owner) = session::numbers(self.db, new.session)?;
        if owner != self.learner {
            return Err(NotebookError::refused(
                "the archive puts attempts into another learner's session",
            ));
        }
        attempt::insert(self.db, (session, self.learner), &new, line.judgement.as_ref())?;
        self.merged.added += 1;
        self.merged.came.attempts += 1;
        Ok(())
    }

    /// What was asked and heard stays as it is here; what people added may be later there. Each person's latest ruling
    /// stands, whichever side it comes from.
    fn known_attempt(&mut self, new: &Attempt) -> Result<()> {
        let Some((old, n, _)) = attempt::find(self.db, new.id)? else {
            return Ok(());
        };
        let (was, is) = (history::body(&old.edits), history::body(&new.edits));
        let (mut joined, other) = match later((new.changed, &is), (old.changed, &was)).is_gt() {
            true => (new.edits.clone(), &old.edits),
            false => (old.edits.clone(), &new.edits),
        };
        joined.join_rulings(other);
        for (side, changed, text) in [(&old.edits, old.changed, &was), (&new.edits, new.changed, &is)] {
            if side.loses_to(&joined) {
                self.keep(old.id, changed, text)?;
            }
        }
        let changed = old.changed.max(new.changed);
        if joined != old.edits || changed != old.changed {
            attempt::update(self.db, n, &joined, changed)?;
            self.merged.changed += 1;
        }
        Ok(())
    }

    fn writing(&mut self, new: &Writing) -> Result<()> {
        if self.has("writing", new.id)? {
            return self.known_writing(new);
        }
        if !self.went(new.id, new.changed)? {
            writing::insert(self.db, self.learner, new)?;
            self.merged.added += 1;
            self.merged.came.writings += 1;
        }
        Ok(())
    }

    /// The first try never changes; later tries and help may be later there.
    fn known_writing(&mut self, new: &Writing) -> Result<()> {
        let Some((old, _)) = writing::find(self.db, new.id)? else {
            return Ok(());
        };
        if (&old.word, old.first()) != (&new.word, new.first()) {
            return Err(NotebookError::refused(
                "the archive has another word or another first try where one is kept here; it was changed after it was made",
            ));
        }
        let (was, is) = (old.state(), new.state());
        let theirs = later((new.changed, &is), (old.changed, &was)).is_gt();
        let (stands, loses) = if theirs { (new, &old) } else { (&old, new) };
        if loses.loses_to(stands) {
            self.keep(old.id, loses.changed, &loses.state())?;
        }
        if theirs {
            writing::update(self.db, stands)?;
            self.merged.changed += 1;
        }
        Ok(())
    }

    /// What was said of a choice last stands.
    fn naming(&mut self, new: &Naming) -> Result<()> {
        let old = naming::of(self.db, self.learner, &new.choice)?;
        // Of two said in one millisecond, taught goes before not taught, and that before taken back.
        if old
            .as_ref()
            .is_none_or(|old| (new.changed, new.taught) > (old.changed, old.taught))
        {
            naming::put(self.db, self.learner, new)?;
            match old {
                Some(_) => self.merged.changed += 1,
                None => self.merged.added += 1,
            }
        }
        Ok(())
    }

    fn note(&mut self, new: &Note) -> Result<()> {
        if let NoteSubject::Attempt(id) = new.on
            && !self.has("attempt", id)?
        {
            // It was on an attempt that was taken back here, and goes where that went, as `forget` does on the other side.
            return match self.gone_at(id)? {
                Some(when) => history::gone(self.db, self.learner, new.id, when.max(new.changed)),
                None => Ok(()),
            };
        }
        if !self.has("note", new.id)? {
            if !self.went(new.id, new.changed)? {
                note::insert(self.db, self.learner, new)?;
                self.merged.added += 1;
                self.merged.came.notes += 1;
            }
            return Ok(());
        }
        let Some((old, _)) = note::find(self.db, new.id)? else {
            return Ok(());
        };
        let (was, is) = (history::body(&old.body), history::body(&new.body));
        let (mut joined, other) = match later((new.changed, &is), (old.changed, &was)).is_gt() {
            true => (new.body.clone(), &old.body),
            false => (old.body.clone(), &new.body),
        };
        // Answers stand beside each other, whoever gave them where.
        joined.join_answers(other);
        for (side, changed, text) in [(&old.body, old.changed, &was), (&new.body, new.changed, &is)] {
            if side.loses_to(&joined) {
                self.keep(old.id, changed, text)?;
            }
        }
        let changed = old.changed.max(new.changed);
        if joined != old.body || changed != old.changed {
            note::update(self.db, old.id, &joined, changed)?;
            self.merged.changed += 1;
        }
        Ok(())
    }

    /// The later state of a goal stands.
    fn goal(&mut self, new: &Goal) -> Result<()> {
        if !self.has("goal", new.id)? {
            if !self.went(new.id, new.changed)? {
                goal::insert(self.db, self.learner, new)?;
                self.merged.added += 1;
                self.merged.came.goals += 1;
            }
            return Ok(());
        }
        let Some((old, _)) = goal::find(self.db, new.id)? else {
            return Ok(());
        };
        let (was, is) = (history::body(&old.body), history::body(&new.body));
        if later((new.changed, &is), (old.changed, &was)).is_gt() {
            if was != is {
                self.keep(old.id, old.changed, &was)?;
            }
            goal::update(self.db, old.id, &new.body, new.changed)?;
            self.merged.changed += 1;
        } else if was != is {
            self.keep(old.id, new.changed, &is)?;
        }
        Ok(())
    }

    fn enrolment(&mut self, e: &Enrolment) -> Result<()> {
        if !self.has("enrolment", e.id)? {
            voice::insert_enrolment(self.db, self.learner, e)?;
            self.merged.added += 1;
        }
        Ok(())
    }

    fn vowel(&mut self, v: &VowelMeasure) -> Result<()> {
        if !self.has("vowel", v.id)? {
            voice::insert_vowel(self.db, self.learner, v)?;
            self.merged.added += 1;
        }
        Ok(())
    }

    /// History comes along with rows that are here; that of rows taken out does not come back.
    fn earlier(&mut self, e: &Earlier) -> Result<()> {
        let here = self.has("attempt", e.of)?
            || self.has("writing", e.of)?
            || self.has("note", e.of)?
            || self.has("goal", e.of)?
            || self.has("session", e.of)?
            || e.of == self.merged.learner.id;
        if here {
            self.keep(e.of, e.changed, &e.body.to_string())?;
        }
        Ok(())
    }

    /// A row that was taken out there goes here too, unless it was changed here after that.
    fn gone(&mut self, g: &GoneLine) -> Result<()> {
        if self.has("attempt", g.id)? {
            let Some((old, ..)) = attempt::find(self.db, g.id)? else {
                return Ok(());
            };
            if old.changed > g.changed {
                return Ok(());
            }
            let forgotten = undo::forget(self.db, g.id, g.changed)?;
            self.dropped.extend(forgotten.recording);
            self.merged.removed += forgotten.rows;
        }
        if self.has("writing", g.id)? {
            if writing::find(self.db, g.id)?.is_some_and(|(old, _)| old.changed > g.changed) {
                return Ok(());
            }
            self.merged.removed += 1;
            return writing::forget(self.db, self.learner, g.id, g.changed);
        }
        if self.has("note", g.id)? {
            let gone = self.db.execute(
                "DELETE FROM note WHERE id = ? AND changed <= ?",
                params![g.id, g.changed],
            )?;
            if gone == 0 {
                return Ok(());
            }
            self.merged.removed += 1;
        }
        if self.has("goal", g.id)? {
            let gone = self.db.execute(
                "DELETE FROM goal WHERE id = ? AND changed <= ?",
                params![g.id, g.changed],
            )?;
            if gone == 0 {
                return Ok(());
            }
            self.merged.removed += 1;
        }
        history::gone(self.db, self.learner, g.id, g.changed)
    }
}
