//! The parent's own recordings of words, for a child to hear: one WAV file a word, in a folder of their own.
//!
//! They are a parent's voice, made on purpose, and belong to no learner.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use soundbead_dsp::audio::{self, Clip, RATE};

use super::LessonWord;
use crate::storage::{self, Access};

/// Models by the spelling of their word.
pub type Models = HashMap<String, Arc<Clip>>;

/// What is played around the word in a model, in seconds.
const AROUND_S: f32 = 0.12;

fn path(folder: &Path, word: &str) -> PathBuf {
    folder.join("models").join(format!("{word}.wav"))
}

/// The models that there are of these words. One that cannot be read is as good as none.
pub fn load(folder: &Path, words: &[LessonWord]) -> Models {
    let one = |word: &LessonWord| Some((word.spelling.clone(), Arc::new(of(folder, &word.spelling)?)));
    words.iter().filter_map(one).collect()
}

/// The model of one word. One that cannot be read is as good as none.
pub fn of(folder: &Path, word: &str) -> Option<Clip> {
    Some(audio::decode(&path(folder, word)).ok()?.clip)
}

/// The part of a recording that is worth hearing: the word and a moment around it.
pub fn trimmed(clip: &Clip) -> Clip {
    let Some(word) = soundbead_dsp::voice::find(clip).word else {
        return clip.clone();
    };
    let around = (AROUND_S * RATE as f32) as usize;
    let (from, to) = (
        word.start.saturating_sub(around),
        (word.end + around).min(clip.samples.len()),
    );
    Clip {
        samples: clip.samples[from..to].to_vec(),
    }
}

/// Keeps a model in the place of the one there was.
///
/// # Errors
/// When the folder cannot be written; the line names it.
pub fn keep(folder: &Path, word: &str, clip: &Clip) -> Result<(), String> {
    let place = path(folder, word);
    let write = || {
        storage::folder(&folder.join("models"), Access::Private)?;
        storage::write(&place, &storage::wav(&clip.samples), Access::Private)
    };
    write().map_err(storage::cannot_write(&place))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drill::read;
    use soundbead_data::{Rules, word::Overrides};

    #[test]
    fn a_model_is_kept_and_found_again_and_a_new_one_takes_its_place() {
        let folder = std::env::temp_dir().join(format!("soundbead-models-{}", std::process::id()));
        let words = read("goat don't", &Overrides::default(), &Rules::default()).unwrap();
        assert!(load(&folder, &words).is_empty());
        let clip = |x: f32| Clip {
            samples: vec![x; 1_600],
        };
        keep(&folder, "don't", &clip(0.25)).unwrap();
        keep(&folder, "don't", &clip(0.5)).unwrap();
        let found = load(&folder, &words);
        assert_eq!(found.len(), 1);
        assert!(found["don't"].samples.iter().all(|x| (x - 0.5).abs() < 1e-3));
        let blocked = folder.join("models").join("don't.wav");
        assert!(keep(&blocked, "goat", &clip(0.1)).unwrap_err().contains("goat.wav"));
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
