//! Old recordings judged and kept, one after another: each kept, there already, or refused with its reason.

use std::path::Path;

use jiff::civil::Date;
use soundbead_data::word::Overrides;
use soundbead_dsp::audio;
use soundbead_dsp::judgement::{Judgement, Speaking};

use super::{DaySource, FoundRecordings, OldRecording, RefusedRecording};
use crate::ask::ear::{CountRequest, SteadyEar};
use crate::fault::Fault;
use crate::notebook::{Content, ImportRun, Learner, MODEL, NewAttempt, Notebook};
use crate::storage;

/// What became of one recording.
pub enum ImportOutcome {
    /// It is kept, or would be.
    Kept(OldRecording, Box<Judgement>),
    /// It was there.
    There(OldRecording),
    /// It cannot be kept.
    Refused(RefusedRecording),
}

/// An import under way.
pub struct Importing {
    notebook: Notebook,
    learner: Learner,
    own: Overrides,
    ear: SteadyEar,
    speaking: Speaking,
    run: ImportRun,
    dry: bool,
    /// What this run would keep, where nothing is kept.
    seen: Vec<(String, Date, Content)>,
}

impl Importing {
    /// Begins one; with `dry` nothing is kept.
    ///
    /// # Errors
    /// When the family's own words cannot be read, or the ear cannot be loaded.
    pub fn new(notebook: Notebook, learner: Learner, speaking: Speaking, dry: bool) -> Result<Importing, Fault> {
        Ok(Importing {
            own: notebook.overrides()?,
            notebook,
            learner,
            ear: SteadyEar::loaded()?,
            speaking,
            run: ImportRun::default(),
            dry,
            seen: Vec::new(),
        })
    }

    /// What lies in a folder; see [`super::find`].
    ///
    /// # Errors
    /// As [`super::find`], and when there is no recording in it.
    pub fn find(&self, folder: &Path, list: Option<&Path>) -> Result<FoundRecordings, Fault> {
        let found = super::find(folder, list, &self.learner.name, &self.own)?;
        match found.each.is_empty() {
            true => Err(Fault::input(format_args!(
                "{}: there is no recording in it; WAV, FLAC, MP3, Ogg and M4A are read",
                folder.display()
            ))),
            false => Ok(found),
        }
    }

    /// The notebook into which it goes.
    pub fn notebook(&self) -> &Notebook {
        &self.notebook
    }

    /// Whose recordings they are.
    pub fn learner(&self) -> &Learner {
        &self.learner
    }

    /// Judges one of them, and keeps it.
    pub fn take(&mut self, found: Result<OldRecording, RefusedRecording>) -> ImportOutcome {
        let old = match found {
            Ok(old) => old,
            Err(refused) => return ImportOutcome::Refused(refused),
        };
        match self.kept(&old) {
            Ok(Some(judgement)) => ImportOutcome::Kept(old, Box::new(judgement)),
            Ok(None) => ImportOutcome::There(old),
            Err(why) => ImportOutcome::Refused(RefusedRecording { name: old.name, why }),
        }
    }

    /// Keeps a recording, unless it is there: then none. The error is why it cannot be kept.
    fn kept(&mut self, old: &OldRecording) -> Result<Option<Judgement>, String> {
        let recording = audio::decode(&old.path).map_err(|e| e.fault.to_string())?;
        let sound = Content::of(&storage::wav(&recording.clip.samples));
        let named = (old.word.spelling.clone(), old.day, sound);
        let there = self.notebook.has_attempt(self.learner.id, &named.0, old.day, sound);
        if there.map_err(|e| e.to_string())? || self.seen.contains(&named) {
            return Ok(None);
        }
        let hearing = self.request(old).hearing(&self.own)?;
        let answer = self.ear.ask(|ear| hearing.answer(ear, &recording));
        let answer = answer.map_err(|_| "the program itself failed on it; please report it")?;
        let judgement = answer.map_err(|e| e.to_string())?;
        if self.dry {
            self.seen.push(named);
            return Ok(Some(judgement));
        }
        let sounds = hearing
            .target
            .map_or_else(Vec::new, |target| target.variants[0].clone());
        let new = NewAttempt {
            word: &old.word.spelling,
            sounds: &sounds,
            speaking: self.speaking,
            rules: hearing.rules,
            judgement: Some(&judgement),
            model: MODEL,
            clip: Some(&recording.clip),
            at: Some((old.at, old.day)),
            ..NewAttempt::default()
        };
        self.keep(old, &new)?;
        Ok(Some(judgement))
    }

    fn request(&self, old: &OldRecording) -> CountRequest {
        CountRequest {
            word: Some(old.word.spelling.clone()),
            sounds: None,
            speaking: self.speaking,
            rules: self.learner.rules.clone(),
        }
    }

    fn keep(&mut self, old: &OldRecording, new: &NewAttempt) -> Result<(), String> {
        let (notebook, run) = (&mut self.notebook, &mut self.run);
        let timed = old.day_source == DaySource::FileTime;
        let session = notebook.import_session(self.learner.id, run, (old.at, old.day), timed);
        let kept = session.and_then(|session| notebook.record(session, new));
        kept.map(|_| ()).map_err(|e| e.to_string())
    }
}
