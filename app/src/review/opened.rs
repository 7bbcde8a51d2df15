//! One attempt with all that belongs to it, as it is looked at.

use soundbead_data::Rules;
use soundbead_dsp::judgement::Judgement;

use crate::notebook::{Attempt, Id, Note, NoteSubject, Notebook, NotebookError, Result};

/// Columns of a waveform a second.
const COLUMNS_A_SECOND: usize = 250;

/// Seconds shown and played on each side of the word.
const MARGIN_S: f32 = 0.12;

/// One attempt with all that belongs to it.
pub struct OpenedAttempt {
    /// The attempt.
    pub attempt: Attempt,
    /// The learner's counting rules as they are now, by which its counts are shown.
    pub rules: Rules,
    /// What the ear found.
    pub judgement: Option<Judgement>,
    /// The notes on it.
    pub notes: Vec<Note>,
    /// How many earlier states of it are kept.
    pub earlier: usize,
    /// The recording, or why there is none.
    pub sound: std::result::Result<AttemptRecording, String>,
}

impl OpenedAttempt {
    /// Where the word is in its recording, in seconds: from a little before the first sound to a little after the last; all of it
    /// where none was placed.
    pub fn reach(&self) -> (f32, f32) {
        let seconds = self.sound.as_ref().map_or(0.0, AttemptRecording::seconds).max(0.05);
        let placed = self.judgement.as_ref().map_or(&[][..], |j| &j.sounds);
        match (placed.first(), placed.last()) {
            (Some(a), Some(b)) => ((a.start_s - MARGIN_S).max(0.0), (b.end_s + MARGIN_S).min(seconds)),
            _ => (0.0, seconds),
        }
    }
}

/// A recording to be heard and seen.
pub struct AttemptRecording {
    /// Mono, 16 kHz.
    pub samples: Vec<f32>,
    /// Lowest and highest sample of each column of 4 ms.
    pub wave: Vec<(f32, f32)>,
}

impl AttemptRecording {
    /// Its length in seconds.
    pub fn seconds(&self) -> f32 {
        self.samples.len() as f32 / soundbead_dsp::audio::RATE as f32
    }
}

/// Fetches an attempt. Runs on the notebook's thread.
///
/// # Errors
/// When there is no such attempt, or the database cannot be read.
pub fn fetch(notebook: &Notebook, learner: Id, id: Id) -> Result<OpenedAttempt> {
    let gone = || NotebookError::Refused("this attempt is not in the notebook any more".into());
    let attempt = notebook.attempt(id)?.ok_or_else(gone)?;
    let sound = match attempt.recording {
        None => Err("It was said without a recording.".to_owned()),
        Some(content) if !notebook.has_recording(content) => {
            Err("The recording is not here: it was handed over without recordings.".to_owned())
        }
        Some(content) => notebook
            .recording(content)
            .map(|r| sound(r.clip.samples))
            .map_err(|e| e.to_string()),
    };
    Ok(OpenedAttempt {
        judgement: notebook.judgement(id)?,
        notes: notebook.notes_on(learner, &NoteSubject::Attempt(id))?,
        earlier: notebook.earlier(id)?.len(),
        rules: notebook
            .learner(learner)?
            .map_or_else(|| attempt.rules.clone(), |l| l.rules),
        attempt,
        sound,
    })
}

fn sound(samples: Vec<f32>) -> AttemptRecording {
    let column = soundbead_dsp::audio::RATE as usize / COLUMNS_A_SECOND;
    let extremes = |chunk: &[f32]| {
        chunk
            .iter()
            .fold((0f32, 0f32), |(low, high), x| (low.min(*x), high.max(*x)))
    };
    AttemptRecording {
        wave: samples.chunks(column).map(extremes).collect(),
        samples,
    }
}
