//! Looking at every line of an archive before any of it counts.

use std::collections::HashSet;
use std::path::Path;

use soundbead_data::word;
use soundbead_dsp::judgement::Judgement;

use super::super::attempt::{Attempt, Edits};
use super::super::history::Earlier;
use super::super::naming::Naming;
use super::super::{
    Content, Enrolment, Id, Learner, Moment, Note, On, Session, VowelMeasure, Writing, WritingSource, learner, note,
    writing,
};
use super::unpacked::{Unpacked, lines};
use super::wire::{AttemptLine, GoneLine, MEMBERS};

type Check = std::result::Result<(), String>;

/// Most letters of a word, a model's name or a plan's title.
const LONGEST: usize = 500;
/// Most sounds of a word, and most that can be counted.
const MOST_SOUNDS: usize = 60;
/// 2000-01-01, before which there was no notebook.
const EARLIEST: Moment = Moment(946_684_800_000);
/// How far ahead another machine's clock may be: a row from the future would win over every later change.
const AHEAD_MS: i64 = 2 * 86_400_000;

/// Whether a recording is what its name says, and a WAV file as the notebook keeps them.
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
struct Seen {
    ids: HashSet<Id>,
    recordings: HashSet<Content>,
    latest: Moment,
}

impl Seen {
    fn id(&mut self, id: Id) -> Check {
        if self.ids.insert(id) {
            return Ok(());
        }
        Err(format!("the name {id} is there twice"))
    }

    fn moment(&self, at: Moment) -> Check {
        if (EARLIEST..=self.latest).contains(&at) {
            return Ok(());
        }
        Err(format!(
            "its time {at} is before 2000 or in the future; are both machines' clocks right?"
        ))
    }
}

fn short(what: &str, text: &str) -> Check {
    match text.chars().count() {
        n if n > LONGEST => Err(format!("{what} has {n} letters; at most {LONGEST} are read")),
        _ => Ok(()),
    }
}

fn few(what: &str, count: usize) -> Check {
    if count > MOST_SOUNDS {
        return Err(format!("{what}: {count}; at most {MOST_SOUNDS} are read"));
    }
    Ok(())
}

/// Looks at every line of every member.
pub fn rows(unpacked: &Unpacked) -> Check {
    let mut seen = Seen {
        ids: HashSet::new(),
        recordings: HashSet::new(),
        latest: Moment(Moment::now().0 + AHEAD_MS),
    };
    let [
        learners,
        sessions,
        attempts,
        writing,
        notes,
        enrolments,
        vowels,
        choices,
        history,
        gone,
    ] = MEMBERS;
    let mut who = 0;
    lines(unpacked, learners, |l: Learner| {
        who += 1;
        one(&mut seen, &l, unpacked.manifest.learner)
    })?;
    if who != 1 {
        return Err(format!("{learners}: it must hold one learner, not {who}"));
    }
    let mut sittings = HashSet::new();
    lines(unpacked, sessions, |s: Session| {
        sittings.insert(s.id);
        session(&mut seen, &s)
    })?;
    lines(unpacked, attempts, |a: AttemptLine| {
        if !sittings.contains(&a.attempt.session) {
            return Err("it belongs to a session that is not in the archive".into());
        }
        attempt(&mut seen, &a)
    })?;
    lines(unpacked, writing, |w: Writing| {
        if w.session.is_some_and(|id| !sittings.contains(&id)) {
            return Err("it belongs to a session that is not in the archive".into());
        }
        wrote(&mut seen, &w)
    })?;
    lines(unpacked, notes, |n: Note| written(&mut seen, &n))?;
    lines(unpacked, enrolments, |e: Enrolment| {
        seen.moment(e.at)?;
        short("the model's name", &e.model)?;
        seen.id(e.id)
    })?;
    lines(unpacked, vowels, |v: VowelMeasure| vowel(&mut seen, &v))?;
    let mut named = HashSet::new();
    lines(unpacked, choices, |n: Naming| {
        if n.choice.is_empty() || !named.insert(n.choice.clone()) {
            return Err("its choice has no name, or is there twice".into());
        }
        short("the choice's name", &n.choice)?;
        seen.moment(n.changed)
    })?;
    lines(unpacked, history, |e: Earlier| seen.moment(e.changed))?;
    lines(unpacked, gone, |g: GoneLine| seen.moment(g.changed))?;
    match unpacked.recordings.iter().find(|r| !seen.recordings.contains(r)) {
        Some(stray) => Err(format!("no attempt and no vowel speaks of its recording {stray}")),
        None => Ok(()),
    }
}

fn one(seen: &mut Seen, l: &Learner, expected: Id) -> Check {
    if l.id != expected {
        return Err("this is not the learner whom the manifest names".into());
    }
    if learner::tidy_name(&l.name).map_err(|e| e.to_string())? != l.name {
        return Err("the learner's name has stray space in it".into());
    }
    seen.moment(l.made)?;
    seen.moment(l.changed)?;
    seen.id(l.id)
}

fn session(seen: &mut Seen, s: &Session) -> Check {
    short("the plan's title", &s.plan)?;
    seen.moment(s.began)?;
    seen.moment(s.changed)?;
    s.ended.map_or(Ok(()), |at| seen.moment(at))?;
    seen.id(s.id)
}

fn attempt(seen: &mut Seen, line: &AttemptLine) -> Check {
    let Attempt {
        word,
        sounds,
        before,
        model,
        edits,
        ..
    } = &line.attempt;
    if word.trim().is_empty() || sounds.is_empty() {
        return Err("it has no word, or no sounds".into());
    }
    short("the word", word)?;
    short("the word before", before.as_deref().unwrap_or_default())?;
    short("the model's name", model)?;
    few("sounds", sounds.len())?;
    few("expected sounds", line.attempt.expected.into())?;
    line.judgement.as_ref().map_or(Ok(()), found)?;
    added(edits)?;
    seen.recordings.extend(line.attempt.recording);
    seen.moment(line.attempt.at)?;
    seen.moment(line.attempt.changed)?;
    seen.id(line.attempt.id)
}

fn found(judgement: &Judgement) -> Check {
    short(
        "the line on where to listen",
        judgement.said.as_deref().unwrap_or_default(),
    )?;
    few("heard sounds", judgement.heard)?;
    few("sounds that were asked for", judgement.expected_sounds.len())?;
    few("counts", judgement.count_probabilities.len())?;
    few("placed sounds", judgement.sounds.len())
}

fn added(edits: &Edits) -> Check {
    few("counters", edits.child.unwrap_or(0).into())?;
    few("letters", edits.letters.len())?;
    edits.letters.iter().try_for_each(|l| short("letters", l))?;
    few("counters", edits.after.child.unwrap_or(0).into())?;
    few("letters", edits.after.letters.len())?;
    edits.after.letters.iter().try_for_each(|l| short("letters", l))?;
    few("answers that were shown", edits.after.shown.len())?;
    few("rulings", edits.rulings.len())?;
    let told = edits.rulings.iter().map(|r| r.sounds.len());
    few("sounds of the ruling", told.max().unwrap_or(0))
}

fn wrote(seen: &mut Seen, w: &Writing) -> Check {
    if w.source == WritingSource::Boxes {
        return Err("letters in boxes belong to an attempt".into());
    }
    if word::normal(&w.word).map_err(|e| e.to_string())? != w.word {
        return Err("its word is not written as a notebook writes it".into());
    }
    if !(1..=writing::MOST_TRIES).contains(&w.tries.len()) {
        return Err(format!(
            "{} tries at one word; 1 to {} are read",
            w.tries.len(),
            writing::MOST_TRIES
        ));
    }
    for tried in &w.tries {
        if writing::tidy(tried).map_err(|e| e.to_string())? != *tried {
            return Err("what was written has stray space around it".into());
        }
    }
    seen.moment(w.kept_at)?;
    seen.moment(w.changed)?;
    seen.id(w.id)
}

fn written(seen: &mut Seen, n: &Note) -> Check {
    note::check(&n.body).map_err(|e| e.to_string())?;
    if let On::Word(word) = &n.on {
        short("the word", word)?;
    }
    seen.moment(n.made)?;
    seen.moment(n.changed)?;
    seen.id(n.id)
}

fn vowel(seen: &mut Seen, v: &VowelMeasure) -> Check {
    let hz = [Some(v.f1), Some(v.f2), v.f3, v.f0];
    if hz.iter().flatten().any(|hz| !(10.0..=10_000.0).contains(hz)) || !v.vowel.is_vowel() {
        return Err("its pitch or formants are none that a voice has, or its sound is no vowel".into());
    }
    short("the word", v.word.as_deref().unwrap_or_default())?;
    seen.recordings.extend(v.recording);
    seen.moment(v.at)?;
    seen.id(v.id)
}
