//! Vowel ladders: one frame of consonants, another vowel on each rung.

use std::collections::BTreeMap;

use super::Corpus;
use crate::Sound;

/// Words of one syllable that differ in their vowel alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// The sounds, with `None` where the vowel stands.
    pub frame: Vec<Option<Sound>>,
    /// A vowel and the commonest word that has it, in the order of [`Sound::all`].
    pub rungs: Vec<(Sound, String)>,
}

/// For each vowel the commonest word, with its frequency.
type Rungs<'c> = BTreeMap<Sound, (f32, &'c str)>;

impl Corpus {
    /// Every ladder of at least `rungs` rungs whose words have a Zipf frequency of at least `zipf`, the longest first.
    pub fn ladders(&self, rungs: usize, zipf: f32) -> Vec<Ladder> {
        let mut frames: BTreeMap<Vec<Option<Sound>>, Rungs<'_>> = BTreeMap::new();
        for known in self.words().iter().filter(|k| k.syllables == 1 && k.zipf >= zipf) {
            let Some(vowel) = known.said.sounds().iter().find(|s| s.is_vowel()) else {
                continue;
            };
            let frame = known.said.sounds().iter().map(|s| (!s.is_vowel()).then_some(*s));
            let rung = frames
                .entry(frame.collect())
                .or_default()
                .entry(*vowel)
                .or_insert((known.zipf, &known.word));
            if known.zipf > rung.0 {
                *rung = (known.zipf, &known.word);
            }
        }
        let ladders = frames.into_iter().filter(|(_, found)| found.len() >= rungs);
        let mut ladders: Vec<Ladder> = ladders
            .map(|(frame, found)| Ladder {
                frame,
                rungs: found
                    .into_iter()
                    .map(|(vowel, (_, word))| (vowel, word.to_owned()))
                    .collect(),
            })
            .collect();
        ladders.sort_by_key(|l| std::cmp::Reverse(l.rungs.len()));
        ladders
    }
}
