//! `soundbead count`: one recording, one question.

use std::path::PathBuf;

use clap::Args;
use soundbead_data::word::Source;

use super::{options, questioned, values};
use crate::ask::ear::{CountRequest, Hearing, ear};
use crate::clips::Clips;
use crate::fault::Fault;
use crate::notebook::{Attempt, Content, Id, Learner, MODEL, NewAttempt, NewSession, Notebook};
use crate::page::OutputPage;
use crate::{answer, shown, storage, store, typed};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct CountArgs {
    /// The recording of one word
    audio: PathBuf,
    /// The word that was to be said; its sounds come from the dictionary, from you, or from a guess that is called one
    #[arg(long)]
    word: Option<String>,
    /// Its sounds, where the dictionary's are not meant: "P IH G", p-ih-g or /pɪɡ/
    #[arg(long, value_parser = values::sounds)]
    sounds: Option<values::Sounds>,
    #[command(flatten)]
    spoken: options::SpeakingArgs,
    #[command(flatten)]
    counting: options::CountingArgs,
    /// Keeps the attempt and its recording in the notebook, with this learner, and counts by the learner's own rules
    #[arg(long, value_name = "NAME", requires = "word", conflicts_with_all = ["changes", "rule_set"])]
    learner: Option<String>,
    /// The child's own count, to be kept with it
    #[arg(long, value_name = "N", requires = "learner", value_parser = values::number("a count of sounds", 0..=typed::LONGEST as u16))]
    counted: Option<u16>,
    /// The answer as one JSON object
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
With neither --word nor --sounds the count is blind: far less sure.

The JSON answer:
  id                     the recording
  word, speaking         as asked
  expected               sounds expected by the rules; null when blind
  expected_sounds        the pronunciation that fits best; null when blind
  heard                  the most probable count
  count_probabilities    how probable each count is
  verdict                same, fewer, more, changed or unsure; null when blind
  fit                    how probable each of the four readings is
  sounds                 each sound with start_s, end_s (seconds from the start
                         of the file), evidence, 0 to 1, and right, how
                         likely a trained listener calls the sound right
                         (of words drawn out, said sound by sound or counted
                         blind: the evidence)
  quality                level_dbfs, snr_db, clipped, speech_s, warnings
  rules                  the rules in force
  model                  the id of the model that judged

For example:
  $ soundbead count recordings-demo/01-goat.wav --word goat
  goat, said whole: recordings-demo/01-goat.wav
  ...
    verdict    the word's own sounds   ...
  ...";

impl CountArgs {
    /// Asks the ear, shows the answer.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let mut kept = self.learner.as_deref().map(AttemptKeeper::with).transpose()?;
        let rules = match &kept {
            Some(kept) => kept.learner.rules.clone(),
            None => self.counting.rules()?,
        };
        let word = self.word.as_deref();
        let request = CountRequest {
            word: self.word.clone(),
            sounds: self.sounds,
            speaking: self.spoken.speaking(),
            rules,
        };
        let own = store::overrides()?;
        let hearing = request.hearing(&own);
        let hearing = hearing.map_err(|e| Fault::input(format_args!("--word: {e}")))?;
        if hearing.source.is_some() {
            questioned::ask(word, &own);
            questioned::ways(word, &own, questioned::WhichTaken::Best);
        }
        let cut = Clips::default().cut(&self.audio, None, None).map_err(Fault::input)?;
        let name = self.audio.to_string_lossy();
        let judgement = hearing.answer(&mut ear()?, &cut.recording);
        let judgement = judgement.map_err(|e| Fault::input(format_args!("{name}: {e}")))?;
        let Hearing {
            target,
            source,
            speaking,
            rules,
        } = hearing;
        if let (Some(kept), Some(target), Some(word)) = (&mut kept, target, word) {
            let attempt = NewAttempt {
                word,
                sounds: &target.variants[0],
                speaking,
                rules: rules.clone(),
                child: self.counted,
                judgement: Some(&judgement),
                model: MODEL,
                clip: Some(&cut.recording.clip),
                ..NewAttempt::default()
            };
            kept.keep(&attempt)?;
        }
        let heard = shown::ShownJudgement {
            word,
            source,
            judgement: &judgement,
            rules: &rules,
        };
        let printed = print(page, &name, &heard, self.json).map_err(Fault::from);
        match kept {
            Some(kept) => kept.printed(printed),
            None => printed,
        }
    }
}

/// Prints an answer for people, or as one object.
fn print(page: &mut OutputPage, name: &str, heard: &shown::ShownJudgement, json: bool) -> std::io::Result<()> {
    if json {
        let word = heard.word;
        if heard.source == Some(Source::Guess) {
            eprintln!("soundbead: {}", shown::guess_note(word.unwrap_or_default()));
        }
        page.json(&answer::answer(name.into(), word, heard.judgement, heard.rules, 0.0))?;
    } else {
        shown::full(page, name, heard)?;
    }
    page.flush()
}

/// Under which an attempt is remembered that was kept, and whose answer could not be printed.
const UNPRINTED: &str = "unprinted";

/// The notebook, and the learner with whom the attempt is kept.
struct AttemptKeeper {
    notebook: Notebook,
    learner: Learner,
    kept: Option<Id>,
}

impl AttemptKeeper {
    fn with(learner: &str) -> Result<AttemptKeeper, Fault> {
        let notebook = Notebook::open()?;
        let learner = options::learner(&notebook, learner)?;
        Ok(AttemptKeeper {
            notebook,
            learner,
            kept: None,
        })
    }

    /// Writes the attempt into the notebook, in a session of its own; unless it is there already, and this is asked again
    /// because its answer could not be printed.
    fn keep(&mut self, attempt: &NewAttempt) -> Result<(), Fault> {
        if let Some(there) = self.unprinted(attempt)? {
            self.kept = Some(there);
            return Ok(());
        }
        let session = self.notebook.begin_session(self.learner.id, &NewSession::default())?.id;
        self.kept = Some(self.notebook.record(session, attempt)?.id);
        options::cautions(&self.notebook);
        Ok(self.notebook.end_session(session)?)
    }

    /// The attempt of which the answer could not be printed, if this is the same.
    fn unprinted(&self, new: &NewAttempt) -> Result<Option<Id>, Fault> {
        let Some((id, _)) = self.notebook.draft(Some(self.learner.id), UNPRINTED)? else {
            return Ok(None);
        };
        let found = id
            .parse()
            .ok()
            .map(|id| self.notebook.attempt(id))
            .transpose()?
            .flatten();
        let sound = new.clip.map(|clip| Content::of(&storage::wav(&clip.samples)));
        let same = |old: &Attempt| {
            (old.word.as_str(), old.speaking, old.edits.child, old.recording)
                == (new.word, new.speaking, new.child, sound)
        };
        Ok(found.filter(same).map(|old| old.id))
    }

    /// Remembers whether the answer to what was kept reached anyone, so that asking again does not double it.
    fn printed(mut self, printed: Result<(), Fault>) -> Result<(), Fault> {
        let (learner, kept) = (self.learner.id, self.kept.map(|id| id.to_string()));
        match (printed, kept) {
            (Err(Fault::Internal(line)), Some(kept)) => {
                self.notebook.keep_draft(Some(learner), UNPRINTED, &kept)?;
                Err(Fault::Internal(format!(
                    "the attempt is kept, but could not be printed: {line}"
                )))
            }
            (printed, _) => {
                if self.notebook.draft(Some(learner), UNPRINTED)?.is_some() {
                    self.notebook.keep_draft(Some(learner), UNPRINTED, "")?;
                }
                printed
            }
        }
    }
}
