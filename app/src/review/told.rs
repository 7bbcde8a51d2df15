//! Telling, sound by sound, what was said: the finest ruling, and what the matrix of sounds is made of.

use soundbead_data::Sound;
use soundbead_dsp::judgement::Verdict;

use crate::notebook::{Attempt, Id};

/// What was chosen for each sound of the word; none where it was left out.
#[derive(Default)]
pub struct ToldSounds {
    of: Option<Id>,
    sounds: Vec<Option<Sound>>,
}

impl ToldSounds {
    /// Begins with an attempt: with the word's own sounds, or with what was told before where each sound has one in its place.
    pub fn begin(&mut self, attempt: &Attempt) {
        if self.of == Some(attempt.id) {
            return;
        }
        let expected = &attempt.sounds;
        let mut told = attempt.edits.rulings.iter().map(|r| &r.sounds);
        let begun = told.find(|sounds| sounds.len() == expected.len()).unwrap_or(expected);
        self.of = Some(attempt.id);
        self.sounds = begun.iter().copied().map(Some).collect();
    }

    /// What is chosen for each sound of the word.
    pub fn chosen(&self) -> &[Option<Sound>] {
        &self.sounds
    }

    /// Chooses for one sound of the word.
    pub fn choose(&mut self, at: usize, said: Option<Sound>) {
        if let Some(sound) = self.sounds.get_mut(at) {
            *sound = said;
        }
    }

    /// The ruling that this comes to, with the sounds; none where no sound is left.
    pub fn ruling(&self, attempt: &Attempt) -> Option<(Verdict, Vec<Sound>)> {
        let said: Vec<Sound> = self.sounds.iter().copied().flatten().collect();
        let expected = &attempt.sounds;
        let verdict = match (said == *expected, said.len() < expected.len()) {
            (true, _) => Verdict::Same,
            (_, true) => Verdict::Fewer,
            _ => Verdict::Changed,
        };
        (!said.is_empty() && self.of == Some(attempt.id)).then_some((verdict, said))
    }
}
