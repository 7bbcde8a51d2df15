//! A sentence in the model voice, word by word as a teacher dictates.
//!
//! Each word is said by itself, its own silence is cut off, its level is brought to the others', and a rest comes after it.
//! Weak words are softer and a little shorter. There is no melody over the sentence: the voice reads, it does not speak.

use std::ops::Range;

use soundbead_data::sentence::aloud::{AloudWord, Rest};

use super::{Made, ModelVoice, SayError};
use crate::audio::RATE;
use crate::slow;

/// A sentence said.
#[derive(Clone, Debug)]
pub struct SaidSentence {
    /// Mono, [`crate::audio::RATE`], no sample beyond full scale.
    pub samples: Vec<f32>,
    /// Where each word lies in the samples, in order.
    pub words: Vec<Range<usize>>,
    /// How each was made.
    pub made: Vec<Made>,
}

/// Samples of a frame in which a level is taken (5 ms, about a period of the voice).
const FRAME: usize = RATE as usize / 200;
/// What lies so far under a word's loudest frame is its silence, in dB: a hiss lies above it.
const SILENCE_DB: f32 = -45.0;
/// Frames so far under the loudest still count for a word's level, in dB: its vowels, not its hisses and closures.
const LOUD_DB: f32 = -12.0;
/// The level of a word, as the root mean square of its loud frames: leaves 17 dB to full scale for its peaks.
const LEVEL: f32 = 0.14;
/// Most that a word is raised or lowered to reach it, as a factor (6 dB).
const MOST_GAIN: f32 = 2.0;
/// A weak word is so much softer (3 dB) and is said so much faster.
const WEAK_GAIN: f32 = 0.7;
const WEAK_SPEED: f32 = 1.15;
/// Samples over which a word comes in and goes out, so that nothing clicks (3 ms).
const EDGE: usize = 48;
/// Loudest sample of a sentence.
const MOST: f32 = 0.95;
/// Shortest stretch of words that is worth a thread of its own.
const SHARE: usize = 3;

/// Samples of rest after a word: a breath after a phrase, at a mark and at the end. The 55 ms within a phrase are heard as some 85,
/// for a word ends and begins softly.
fn rest(rest: Rest) -> usize {
    let ms = match rest {
        Rest::Word => 55,
        Rest::Phrase => 260,
        Rest::Mark => 400,
        Rest::End => 500,
    };
    ms * RATE as usize / 1000
}

type SaidPiece = Result<(Vec<f32>, Made), SayError>;

impl ModelVoice {
    /// Says a sentence, word by word.
    ///
    /// # Errors
    /// When there is no word, or one that cannot be said, or the bank is broken.
    pub fn sentence(&self, words: &[AloudWord]) -> Result<SaidSentence, SayError> {
        if words.is_empty() {
            return Err(SayError::NoSounds);
        }
        let mut said = SaidSentence {
            samples: Vec::new(),
            words: Vec::with_capacity(words.len()),
            made: Vec::with_capacity(words.len()),
        };
        for (word, piece) in words.iter().zip(self.pieces(words)) {
            let (samples, made) = piece?;
            let start = said.samples.len();
            said.samples.extend_from_slice(&samples);
            said.words.push(start..said.samples.len());
            said.made.push(made);
            said.samples.resize(said.samples.len() + rest(word.rest), 0.0);
        }
        let peak = said.samples.iter().fold(0.0f32, |most, x| most.max(x.abs()));
        if peak > MOST {
            said.samples.iter_mut().for_each(|x| *x *= MOST / peak);
        }
        Ok(said)
    }

    /// The words one by one, made at the same time on as many threads as the machine has: the first of them is waited for.
    fn pieces(&self, words: &[AloudWord]) -> Vec<SaidPiece> {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let share = words.len().div_ceil(threads).max(SHARE);
        let each = |words: &[AloudWord]| words.iter().map(|word| self.piece(word)).collect::<Vec<SaidPiece>>();
        std::thread::scope(|scope| {
            let parts: Vec<_> = words
                .chunks(share)
                .map(|part| scope.spawn(move || each(part)))
                .collect();
            let broken = |_| vec![Err(SayError::Bank("a word could not be put together"))];
            parts
                .into_iter()
                .flat_map(|part| part.join().unwrap_or_else(broken))
                .collect()
        })
    }

    /// One word, trimmed, at the level of the others, and weak where it is.
    fn piece(&self, word: &AloudWord) -> SaidPiece {
        let said = self.word(&word.said, crate::judgement::Speaking::Whole)?;
        let mut samples = trimmed(&said.samples).to_vec();
        if word.weak {
            samples = slow::stretch(&samples, WEAK_SPEED);
        }
        let weak = if word.weak { WEAK_GAIN } else { 1.0 };
        let gain = weak * (LEVEL / level(&samples).max(1e-6)).clamp(1.0 / MOST_GAIN, MOST_GAIN);
        let count = samples.len();
        for (at, x) in samples.iter_mut().enumerate() {
            let edge = (at.min(count - 1 - at) + 1) as f32 / EDGE as f32;
            *x *= gain * edge.min(1.0);
        }
        Ok((samples, said.made))
    }
}

/// The mean square of each frame.
fn powers(samples: &[f32]) -> Vec<f32> {
    let power = |frame: &[f32]| frame.iter().map(|x| x * x).sum::<f32>() / frame.len() as f32;
    samples.chunks(FRAME).map(power).collect()
}

fn share(db: f32) -> f32 {
    10.0f32.powf(db / 10.0)
}

/// The word without the silence on both sides; one frame of it stays.
fn trimmed(samples: &[f32]) -> &[f32] {
    let powers = powers(samples);
    let least = powers.iter().fold(0.0f32, |most, p| most.max(*p)) * share(SILENCE_DB);
    let heard = |power: &f32| *power > least;
    let (Some(first), Some(last)) = (powers.iter().position(heard), powers.iter().rposition(heard)) else {
        return samples;
    };
    &samples[first.saturating_sub(1) * FRAME..((last + 2) * FRAME).min(samples.len())]
}

/// The root mean square of the loud frames.
fn level(samples: &[f32]) -> f32 {
    let powers = powers(samples);
    let least = powers.iter().fold(0.0f32, |most, p| most.max(*p)) * share(LOUD_DB);
    let loud: Vec<f32> = powers.into_iter().filter(|power| *power >= least).collect();
    (loud.iter().sum::<f32>() / loud.len().max(1) as f32).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::sentence::aloud::aloud;
    use soundbead_data::word::Overrides;

    fn said(text: &str) -> (Vec<AloudWord>, SaidSentence) {
        let words = aloud(text, None, &Overrides::default()).unwrap();
        let said = ModelVoice::new().unwrap().sentence(&words).unwrap();
        (words, said)
    }

    /// Common practice, no source: a dictating voice rests longer between phrases than within them, and weak words are softer.
    #[test]
    fn words_come_in_phrases_at_one_level_and_weak_ones_are_softer_and_shorter() {
        let (words, said) = said("The green frog hopped over the big pond.");
        let level_of = |at: usize| level(&said.samples[said.words[at].clone()]);
        let full: Vec<f32> = (0..words.len()).filter(|at| !words[*at].weak).map(level_of).collect();
        let (least, most) = full.iter().fold((f32::MAX, 0.0f32), |(a, b), x| (a.min(*x), b.max(*x)));
        assert!(most / least < 1.6, "{full:?}");
        assert!(level_of(0) < 0.85 * least, "{} {least}", level_of(0));
        let gap = |at: usize| said.words[at + 1].start - said.words[at].end;
        let gaps: Vec<usize> = (0..words.len() - 1).map(gap).collect();
        let between = words.iter().position(|word| word.rest == Rest::Phrase).unwrap();
        assert!(
            gaps.iter()
                .enumerate()
                .all(|(at, gap)| at == between || *gap < gaps[between]),
            "{gaps:?}"
        );
        assert_eq!(said.made.len(), said.words.len());
        assert!(said.samples.iter().all(|x| x.abs() <= MOST));
    }

    #[test]
    fn silence_around_a_word_is_cut_off_and_its_sounds_stay() {
        let mut word = vec![0.0f32; 3_200];
        (800..2_400).for_each(|at| word[at] = 0.2 * (at as f32 * 0.1).sin());
        let kept = trimmed(&word);
        assert!((1_600..=1_600 + 3 * FRAME).contains(&kept.len()), "{}", kept.len());
        assert_eq!(trimmed(&[0.0; 100]).len(), 100, "silence stays what it is");
        assert!(trimmed(&[]).is_empty());
    }

    #[test]
    fn the_same_sentence_gives_the_same_samples() {
        assert_eq!(
            said("We sat close to the fire.").1.samples,
            said("We sat close to the fire.").1.samples
        );
    }
}
