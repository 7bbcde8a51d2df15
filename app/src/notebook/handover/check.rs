//! Looking at every line of an archive before any of it counts.

use std::collections::HashSet;
use std::path::Path;

use super::super::bounds::{CheckResult, CheckedRow, Clock, short};
use super::super::history::Earlier;
use super::super::naming::Naming;
use super::super::{Content, Enrolment, Goal, Id, Learner, Note, NoteSubject, Session, VowelMeasure, Writing};
use super::unpacked::{Unpacked, lines, look_at};
use super::wire::{AttemptLine, GoneLine, member};

/// Whether a recording is what its name says, and a WAV file as the notebook keeps them.
///
/// # Errors
/// What is wrong, in a line.
pub fn recording(path: &Path, member: &str, sum: Content) -> std::result::Result<Content, String> {
    if super::write::member_name(sum) != member {
        return Err(format!("its member `{member}` is not the recording that its name says"));
    }
    let spec = hound::WavReader::open(path).map(|r| r.spec());
    match spec {
        Ok(s) if (s.channels, s.sample_rate, s.bits_per_sample) == (1, 16_000, 16) => Ok(sum),
        _ => Err(format!(
            "its member `{member}` is no WAV file of 16 kHz, one channel, 16 bit"
        )),
    }
}

/// Names that were seen, and the clock they are held against.
struct SeenNames {
    ids: HashSet<Id>,
    recordings: HashSet<Content>,
    clock: Clock,
}

impl SeenNames {
    /// A row as a notebook has it, that comes for the first time, with times that can be put right.
    fn row(&mut self, row: &mut impl CheckedRow) -> CheckResult {
        row.check()?;
        self.clock.mend(row, self.clock.now)?;
        let (id, _) = row.state();
        if self.ids.insert(id) {
            return Ok(());
        }
        Err(format!("the name {id} is there twice"))
    }

    /// As [`SeenNames::row`], of which there may be several of one name.
    fn times(&self, row: &mut impl CheckedRow) -> CheckResult {
        self.clock.mend(row, self.clock.now).map(|_| ())
    }
}

/// Looks at every line of every member. A row that cannot be taken in is set aside, with all that hangs on it; the fault
/// is what is wrong with the archive altogether.
pub fn rows(unpacked: &mut Unpacked) -> CheckResult {
    let mut seen = SeenNames {
        ids: HashSet::new(),
        recordings: HashSet::new(),
        clock: Clock::now(),
    };
    one_learner(unpacked, member::LEARNER, &mut seen)?;
    let (mut sittings, mut said) = (HashSet::new(), HashSet::new());
    look_at(unpacked, member::SESSIONS, |mut s: Session| {
        seen.row(&mut s)?;
        sittings.insert(s.id);
        Ok(())
    })?;
    look_at(unpacked, member::ATTEMPTS, |mut a: AttemptLine| {
        if !sittings.contains(&a.attempt.session) {
            return Err("its session is not in the archive, or was set aside".into());
        }
        seen.row(&mut a)?;
        said.insert(a.attempt.id);
        seen.recordings.extend(a.attempt.recording);
        Ok(())
    })?;
    look_at(unpacked, member::WRITING, |mut w: Writing| {
        if w.session.is_some_and(|id| !sittings.contains(&id)) {
            return Err("its session is not in the archive, or was set aside".into());
        }
        seen.row(&mut w)
    })?;
    let whole = unpacked.aside.is_empty();
    look_at(unpacked, member::NOTES, |mut n: Note| {
        // A range of days may leave the attempt out; it is in the other notebook then.
        if let NoteSubject::Attempt(id) = n.on
            && !whole
            && !said.contains(&id)
        {
            return Err("its attempt was set aside".into());
        }
        seen.row(&mut n)
    })?;
    look_at(unpacked, member::GOALS, |mut g: Goal| seen.row(&mut g))?;
    look_at(unpacked, member::ENROLMENTS, |mut e: Enrolment| seen.row(&mut e))?;
    look_at(unpacked, member::VOWELS, |mut v: VowelMeasure| {
        seen.row(&mut v)?;
        seen.recordings.extend(v.recording);
        Ok(())
    })?;
    let mut named = HashSet::new();
    look_at(unpacked, member::CHOICES, |n: Naming| {
        if n.choice.is_empty() || !named.insert(n.choice.clone()) {
            return Err("its choice has no name, or is there twice".into());
        }
        short("the choice's name", &n.choice)?;
        seen.clock.allow(n.changed)
    })?;
    look_at(unpacked, member::HISTORY, |mut e: Earlier| seen.times(&mut e))?;
    look_at(unpacked, member::GONE, |mut g: GoneLine| seen.times(&mut g))?;
    spoken_of(unpacked, &seen.recordings)
}

/// The learner, without whom nothing else makes sense.
fn one_learner(unpacked: &Unpacked, member: &str, seen: &mut SeenNames) -> CheckResult {
    let mut who = 0;
    lines(unpacked, member, |mut l: Learner| {
        who += 1;
        if l.id != unpacked.manifest.learner {
            return Err("this is not the learner whom the manifest names".into());
        }
        seen.row(&mut l)
    })?;
    match who {
        1 => Ok(()),
        _ => Err(format!("{member}: it must hold one learner, not {who}")),
    }
}

/// A recording of which no row speaks belongs to one that was set aside, and stays where it is; where none was, somebody
/// else put it in.
fn spoken_of(unpacked: &mut Unpacked, named: &HashSet<Content>) -> CheckResult {
    let stray = unpacked.recordings.iter().find(|r| !named.contains(r));
    if let Some(stray) = stray.filter(|_| unpacked.aside.is_empty()) {
        return Err(format!("no attempt and no vowel speaks of its recording {stray}"));
    }
    unpacked.recordings.retain(|r| named.contains(r));
    Ok(())
}
