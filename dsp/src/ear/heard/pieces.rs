//! Sounds said one by one: as many pieces as counted sounds, and each piece like its sound.

use std::ops::Range;

use soundbead_data::{Rules, Sound};

use super::{Gathered, borrowed};
use crate::ear::align::Lattice;
use crate::ear::apart::{ApartCalibration, Pieces};
use crate::ear::count::{Slip, near};
use crate::ear::decide::RIGHT_TO_WRONG;
use crate::ear::model::{PathWeights, Scores, class_of, classes_of};
use crate::judgement::Target;

/// Frames (10 ms) heard on each side of a piece: a sound's start and end are weak.
const AROUND: usize = 4;

/// What pieces are held against.
pub struct PieceScores<'a> {
    /// Log-probabilities over time.
    pub scores: &'a Scores,
    /// How hypotheses are scored.
    pub path: &'a PathWeights,
    /// How far a piece is believed to be another sound.
    pub calibration: &'a ApartCalibration,
    /// A piece less like its sound than this is worth hearing again: it alone keeps the word from being affirmed.
    pub affirm: f32,
}

impl PieceScores<'_> {
    /// Rows of a piece with a little of what is around it.
    fn rows(&self, cut: (usize, usize)) -> Scores {
        let around = cut.0.saturating_sub(AROUND)..(cut.1 + AROUND).min(self.scores.rows.len());
        Scores {
            rows: self.scores.rows[around].to_vec(),
        }
    }

    /// Probability that a piece is the expected sound rather than any single other that is not near it.
    fn likeness(&self, unit: &[Sound], cut: (usize, usize)) -> f32 {
        let piece = self.rows(cut);
        let lattice = Lattice::new(&piece, self.path);
        let own = score_alone(&lattice, unit);
        let far = |s: &Sound| !unit.contains(s) && !unit.iter().any(|u| near(*u, *s));
        let other = Sound::all()
            .filter(far)
            .map(|s| score_alone(&lattice, &[s]))
            .fold(f32::MIN, f32::max);
        // The best of some thirty others has had thirty chances, and a child may say a sound loosely: it must win clearly.
        let c = self.calibration;
        1.0 / (1.0 + (c.unlike * (other - own - c.benefit)).exp())
    }

    /// The sound that a piece is likest, and its probability among all.
    fn likest(&self, cut: (usize, usize)) -> (Sound, f32) {
        let piece = self.rows(cut);
        let lattice = Lattice::new(&piece, self.path);
        let all: Vec<(Sound, f32)> = Sound::all().map(|s| (s, score_alone(&lattice, &[s]))).collect();
        let top = all
            .iter()
            .copied()
            .fold((Sound::AH, f32::MIN), |m, x| if x.1 > m.1 { x } else { m });
        (top.0, 1.0 / all.iter().map(|x| (x.1 - top.1).exp()).sum::<f32>())
    }
}

/// Judges sounds said one by one: as many pieces as counted sounds, and each piece like its sound.
pub fn judge_pieces(
    scores: &PieceScores<'_>,
    pieces: &Pieces,
    target: Option<&Target>,
    rules: &Rules,
    at: impl Fn(usize) -> f32,
) -> Gathered {
    let Some(target) = target else {
        let heard = Gathered {
            counts: counted(pieces).collect(),
            ..Gathered::default()
        };
        return heard.with_named_pieces(scores, pieces, at);
    };
    let none = Vec::new();
    let letters = |v: usize| target.letters.get(v).unwrap_or(&none);
    let units = |v: usize| rules.units(&target.variants[v], &borrowed(letters(v)));
    // The variant whose counted sounds are as many as the pieces, else the first.
    let found = pieces.cuts.len();
    let best = (0..target.variants.len())
        .find(|&v| units(v).len() == found)
        .unwrap_or(0);
    let (sounds, units) = (&target.variants[best], units(best));
    let mut heard = Gathered::new(units.len(), sounds.clone());
    let right: Vec<f32> = if units.len() == found {
        units
            .iter()
            .zip(&pieces.cuts)
            .map(|(unit, cut)| scores.likeness(&sounds[unit.clone()], *cut))
            .collect()
    } else {
        // Nothing is known of them one by one: the count alone speaks.
        vec![1.0; units.len()]
    };
    heard.add_pieces(pieces, units.len(), right.iter().copied().fold(1.0, f32::min));
    if units.len() == found {
        let (cuts, evidence) = spread(&units, &pieces.cuts, &right);
        heard.place(sounds, &cuts, &evidence, at);
        let doubtful = (0..found)
            .filter(|i| right[*i] < scores.affirm)
            .min_by(|a, b| right[*a].total_cmp(&right[*b]));
        heard.line = doubtful.map(|i| format!("Listen to piece {} of {found}: is it the sound you expect?", i + 1));
    } else {
        heard.line = Some(format!(
            "{found} pieces with gaps between them were heard; {} were expected.",
            units.len()
        ));
        heard = heard.with_named_pieces(scores, pieces, at);
    }
    heard
}

/// A counted sound of several dictionary sounds (`ar` as one) shares its piece out evenly among them.
fn spread(units: &[Range<usize>], cuts: &[(usize, usize)], right: &[f32]) -> (Vec<(usize, usize)>, Vec<f32>) {
    let mut out = (Vec::new(), Vec::new());
    for ((unit, &(from, to)), &p) in units.iter().zip(cuts).zip(right) {
        for k in 0..unit.len() {
            let edge = |k: usize| from + (to - from) * k / unit.len();
            out.0.push((edge(k), edge(k + 1)));
            out.1.push(p);
        }
    }
    out
}

/// How one sound said alone may come out: by itself, or with a schwa after it (puh).
fn ways(sounds: &[Sound]) -> Vec<Vec<usize>> {
    let plain = classes_of(sounds);
    let mut with_schwa = plain.clone();
    with_schwa.push(class_of(Sound::AH));
    if sounds.last().is_some_and(|s| !s.is_vowel()) {
        vec![plain, with_schwa]
    } else {
        vec![plain]
    }
}

/// Score of a sound said alone, the likelier of its ways.
fn score_alone(lattice: &Lattice<'_>, sounds: &[Sound]) -> f32 {
    ways(sounds).iter().map(|w| lattice.score(w)).fold(f32::MIN, f32::max)
}

/// Each count that may be, with its probability.
fn counted(pieces: &Pieces) -> impl Iterator<Item = (usize, f32)> {
    let all = pieces.counts.iter().copied().enumerate().skip(1);
    all.filter(|(_, p)| *p > 0.0)
}

impl Gathered {
    /// Adds what the pieces say about `expected` sounds, the least like of which is like its sound with probability `worst`.
    fn add_pieces(&mut self, pieces: &Pieces, expected: usize, worst: f32) {
        let weigh = |(count, p)| (count, if count == expected { RIGHT_TO_WRONG * p } else { p });
        let all: f32 = counted(pieces).map(|c| weigh(c).1).sum();
        for (count, weight) in counted(pieces).map(weigh) {
            let p = weight / all;
            if count == expected {
                self.add(count, Slip::None, p * worst);
                self.add_unlike(count, p * (1.0 - worst));
            } else {
                self.add_unlike(count, p);
            }
        }
        // What is likelier beforehand moves the verdict; the count is what was heard.
        self.counts = counted(pieces).collect();
    }

    /// Names each piece by the sound it is likest.
    fn with_named_pieces(mut self, scores: &PieceScores<'_>, pieces: &Pieces, at: impl Fn(usize) -> f32) -> Gathered {
        let (names, sure): (Vec<Sound>, Vec<f32>) = pieces.cuts.iter().map(|cut| scores.likest(*cut)).unzip();
        self.place(&names, &pieces.cuts, &sure, at);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ear::apart::MOST;

    fn told(three: f32, four: f32, worst: f32) -> Gathered {
        let mut counts = [0.0; MOST + 1];
        (counts[3], counts[4]) = (three, four);
        let pieces = Pieces {
            counts,
            cuts: vec![(0, 5), (20, 25), (40, 45)],
        };
        let mut heard = Gathered::new(4, vec![Sound::M, Sound::IH, Sound::L, Sound::K]);
        heard.add_pieces(&pieces, 4, worst);
        heard
    }

    #[test]
    fn a_count_in_doubt_does_not_contradict_and_is_not_moved_by_what_was_asked() {
        let heard = told(0.6, 0.4, 1.0);
        assert!(
            heard.fit.fewer < 0.2 && heard.fit.same > 0.8 && heard.fit.same < 0.97,
            "{:?}",
            heard.fit
        );
        assert_eq!((heard.counts[&3], heard.counts[&4]), (0.6, 0.4));
        assert!(told(0.999, 0.001, 1.0).fit.fewer > 0.95);
    }

    #[test]
    fn a_piece_unlike_its_sound_speaks_for_a_change_alone() {
        let heard = told(0.0, 1.0, 0.1);
        assert!(
            (heard.fit.changed - 0.9).abs() < 1e-5 && heard.fit.fewer == 0.0,
            "{:?}",
            heard.fit
        );
    }
}
