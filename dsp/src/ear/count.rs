//! Hypotheses around a target: what a child may have said instead, each with a prior and a forward score.
//!
//! Given the target's sounds, the readings weighed are the target itself and every reading with one sound fewer, one
//! more or one changed, at any place. Their scores share the forward sums of the target's beginnings and the backward
//! sums of its endings, so that some three hundred readings cost little more than one.

use std::ops::Range;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use soundbead_data::{Rules, Sound};

use crate::ear::align::{Lattice, join, log_sum};
use crate::ear::blind::Vocabulary;
use crate::ear::model::{class_of, classes_of};

/// How a reading differs from the target.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Slip {
    /// Not at all.
    None,
    /// The sound at this place is left out.
    Fewer(usize),
    /// A sound is added before this place (the length of the target: at the end).
    More(usize, Sound),
    /// The sound at this place is another.
    Changed(usize, Sound),
}

impl Slip {
    /// Whether a sound is left out.
    pub fn is_fewer(self) -> bool {
        matches!(self, Slip::Fewer(_))
    }

    /// Whether a sound is added.
    pub fn is_more(self) -> bool {
        matches!(self, Slip::More(..))
    }

    /// Whether a sound is another.
    pub fn is_changed(self) -> bool {
        matches!(self, Slip::Changed(..))
    }
}

/// One reading of the recording.
#[derive(Clone, Debug)]
pub struct ScoredReading {
    /// Its difference from the target.
    pub slip: Slip,
    /// Forward score: natural log of the likelihood.
    pub score: f32,
    /// How likely this slip is beside the others of its kind; 1 for most.
    pub likely: f32,
    /// The share of its kind's prior that falls to it, as a natural log.
    pub share: f32,
    /// How common the word is that it makes, on the Zipf scale; none where it makes no common word.
    pub zipf: Option<f32>,
}

impl ScoredReading {
    /// Natural log of prior times likelihood.
    pub fn weight(&self, c: &Calibration) -> f32 {
        let kind = match self.slip {
            Slip::None => return c.temperature * self.score,
            Slip::Fewer(_) => c.fewer,
            Slip::More(..) => c.more,
            Slip::Changed(..) => c.changed,
        };
        let word = self.zipf.map_or(0.0, |z| (c.word * c.common(z).exp()).ln_1p());
        c.temperature * self.score + kind + self.share + word
    }
}

/// Priors and temperature, set on speakers kept from training (`measure calibrate`).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// Natural log of the prior of any sound being left out, against the target's 0.
    pub fewer: f32,
    /// The same for any sound being added.
    pub more: f32,
    /// The same for any sound being changed.
    pub changed: f32,
    /// The same for something else altogether being said.
    pub other: f32,
    /// Factor on forward scores: below 1 where frames in a row repeat each other's evidence.
    pub temperature: f32,
    /// How much likelier than another a slip is that makes a word, one of Zipf frequency 3. Slips of the tongue make
    /// words more often than chance would (Baars, Motley, MacKay 1975, J. Verbal Learn. Verbal Behav. 14, 382-391).
    pub word: f32,
    /// Power on the frequency of that word.
    pub frequency: f32,
}

impl Calibration {
    /// Natural log of how much likelier a word of Zipf frequency `zipf` is than one of 3.
    pub fn common(&self, zipf: f32) -> f32 {
        self.frequency * (zipf - 3.0) * std::f32::consts::LN_10
    }
}

/// Pairs that are often taken for one another (common practice, no source); a change between them is likelier.
const NEAR: &[&str] = &[
    "P B", "T D", "K G", "F V", "TH DH", "S Z", "SH ZH", "CH JH", "F TH", "V DH", "TH S", "DH Z", "TH T", "DH D",
    "S SH", "Z ZH", "T CH", "D JH", "SH CH", "ZH JH", "M N", "N NG", "L R", "W R", "L W", "Y JH", "IY IH", "IH EH",
    "EH AE", "AE AH", "AH AA", "AA AO", "AO OW", "OW UH", "UH UW", "AH UH", "EY EH", "AY AE", "AY AA", "AW AA",
    "OY AO", "ER AH", "ER AO", "AH EH", "AH IH", "AH OW",
];
/// How much likelier a change between near sounds is than one between any others.
const NEAR_BONUS: f32 = 6.0;
/// How much likelier a schwa is than another sound where one slips in: after a final stop, inside a cluster.
const SCHWA_BONUS: f32 = 30.0;

/// Whether two sounds are a near pair, either way round.
pub fn near(a: Sound, b: Sound) -> bool {
    // Asked some three hundred times for every word, so the names are read once.
    static TABLE: LazyLock<[[bool; Sound::COUNT]; Sound::COUNT]> = LazyLock::new(|| {
        let mut table = [[false; Sound::COUNT]; Sound::COUNT];
        let pairs = NEAR.iter().filter_map(|pair| pair.split_once(' '));
        for (x, y) in pairs.filter_map(|(x, y)| Some((x.parse::<Sound>().ok()?, y.parse::<Sound>().ok()?))) {
            table[x.index()][y.index()] = true;
            table[y.index()][x.index()] = true;
        }
        table
    });
    TABLE[a.index()][b.index()]
}

/// Every reading around `target`, the target itself first. `target` must not be empty.
pub fn readings(lattice: &Lattice<'_>, target: &[Sound]) -> Vec<ScoredReading> {
    let n = target.len();
    let (starts, ends) = shared_sums(lattice, &classes_of(target));
    let mut out = vec![ScoredReading::new(Slip::None, join(&starts[n], &ends[n]), 1.0)];
    // A sound alone cannot be left out: that is silence.
    let places = if n > 1 { 0..n } else { 0..0 };
    out.extend(places.map(|i| ScoredReading::new(Slip::Fewer(i), join(&starts[i], &ends[i + 1]), 1.0)));
    let mut through = Vec::new();
    for at in 0..=n {
        for sound in Sound::all() {
            let (added, changed) = (added(target, at, sound), changed(target, at, sound));
            if added.is_none() && changed.is_none() {
                continue;
            }
            lattice.forward(class_of(sound), &starts[at], &mut through);
            if let Some(likely) = added {
                out.push(ScoredReading::new(
                    Slip::More(at, sound),
                    join(&through, &ends[at]),
                    likely,
                ));
            }
            if let Some(likely) = changed {
                out.push(ScoredReading::new(
                    Slip::Changed(at, sound),
                    join(&through, &ends[at + 1]),
                    likely,
                ));
            }
        }
    }
    share_out(&mut out);
    let vocabulary = Vocabulary::shared();
    for reading in &mut out[1..] {
        reading.zipf = vocabulary.zipf(&sounds_of(target, reading.slip));
    }
    out
}

/// `starts[i]`: sound i may start at t; `ends[i]`: sounds i.. may start at t, to the end of the recording.
fn shared_sums(lattice: &Lattice<'_>, classes: &[usize]) -> (Vec<Vec<f32>>, Vec<Vec<f32>>) {
    let mut starts = vec![lattice.opening()];
    let mut ends = vec![lattice.closing()];
    for (i, (&class, &back)) in classes.iter().zip(classes.iter().rev()).enumerate() {
        let mut next = Vec::new();
        lattice.forward(class, &starts[i], &mut next);
        starts.push(next);
        let mut next = Vec::new();
        lattice.backward(back, &ends[i], &mut next);
        ends.push(next);
    }
    ends.reverse();
    (starts, ends)
}

/// Relative prior of adding `sound` before place `at`; none where it could not be told from its neighbour.
fn added(target: &[Sound], at: usize, sound: Sound) -> Option<f32> {
    let before = at.checked_sub(1).map(|i| target[i]);
    let after = target.get(at).copied();
    if before == Some(sound) || after == Some(sound) {
        return None;
    }
    let between_consonants = before.is_some_and(|s| !s.is_vowel()) && after.is_none_or(|s| !s.is_vowel());
    Some(if sound.arpabet() == "AH" && between_consonants {
        SCHWA_BONUS
    } else {
        1.0
    })
}

/// Relative prior of `sound` in place of the one at `at`.
fn changed(target: &[Sound], at: usize, sound: Sound) -> Option<f32> {
    let old = *target.get(at)?;
    let beside = [at.checked_sub(1), Some(at + 1)];
    let twin = beside.iter().flatten().any(|&i| target.get(i) == Some(&sound));
    (sound != old && !twin).then(|| if near(old, sound) { NEAR_BONUS } else { 1.0 })
}

/// Shares the prior of each kind out over its readings: what a longer word can go wrong in more ways, it does not do
/// more often.
fn share_out(readings: &mut [ScoredReading]) {
    for kind in [Slip::is_fewer, Slip::is_more, Slip::is_changed] {
        let of = |r: &ScoredReading| kind(r.slip);
        let all: f32 = readings.iter().filter(|r| of(r)).map(|r| r.likely).sum();
        readings
            .iter_mut()
            .filter(|r| of(r))
            .for_each(|r| r.share = (r.likely / all).ln());
    }
}

/// The sounds of a reading.
pub fn sounds_of(target: &[Sound], slip: Slip) -> Vec<Sound> {
    let mut out = target.to_vec();
    match slip {
        Slip::None => {}
        Slip::Fewer(i) => drop(out.remove(i)),
        Slip::More(i, sound) => out.insert(i, sound),
        Slip::Changed(i, sound) => out[i] = sound,
    }
    out
}

/// Sounds of a reading as counted under `rules`; `letters` are those of the target.
pub fn count_of(target: &[Sound], letters: &[(String, Range<usize>)], slip: Slip, rules: &Rules) -> usize {
    let sounds = sounds_of(target, slip);
    let moved: Vec<(&str, Range<usize>)> = letters
        .iter()
        .filter_map(|(l, r)| Some((l.as_str(), moved(r, slip)?)))
        .collect();
    rules.count(&sounds, &moved)
}

/// Where a box of letters lies after the slip; none when the slip is inside it, and it no longer spells its sounds.
fn moved(range: &Range<usize>, slip: Slip) -> Option<Range<usize>> {
    match slip {
        Slip::None => Some(range.clone()),
        Slip::Changed(i, _) => (!range.contains(&i)).then(|| range.clone()),
        Slip::Fewer(i) if range.contains(&i) => None,
        Slip::Fewer(i) if i < range.start => Some(range.start - 1..range.end - 1),
        Slip::Fewer(_) => Some(range.clone()),
        Slip::More(i, _) if i <= range.start => Some(range.start + 1..range.end + 1),
        Slip::More(i, _) if i < range.end => None,
        Slip::More(..) => Some(range.clone()),
    }
}

impl ScoredReading {
    fn new(slip: Slip, score: f32, likely: f32) -> ScoredReading {
        ScoredReading {
            slip,
            score,
            likely,
            share: 0.0,
            zipf: None,
        }
    }
}

/// Shares probability `all` out over weights (natural logs).
pub fn shared(weights: &[f32], all: f32) -> Vec<f32> {
    let sum = log_sum(weights.iter().copied());
    weights.iter().map(|w| all * (w - sum).exp()).collect()
}
