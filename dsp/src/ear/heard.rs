//! From probabilities of readings to a judgement: counts, the verdict, and one plain line on where to listen.

mod pieces;

use std::collections::BTreeMap;
use std::ops::Range;

use soundbead_data::{Rules, Sound, inventory};

use crate::ear::blind::Blind;
use crate::ear::count::Slip;
use crate::ear::model::{Scores, class_of};
use crate::ear::settings::{Bounds, Settings};
use crate::judgement::{Fit, Judgement, ModelId, Placed, Speaking, Target, Verdict};
use crate::voice::Quality;
pub use pieces::{PieceScores, judge_pieces};

/// Counts of less than this probability are not told.
const LEAST_TOLD: f32 = 0.001;

/// TiedLetters tied to ranges of sounds.
pub type TiedLetters = [(String, Range<usize>)];

/// The letters as [`Rules::units`] wants them.
pub fn borrowed(letters: &TiedLetters) -> Vec<(&str, Range<usize>)> {
    letters.iter().map(|(l, r)| (l.as_str(), r.clone())).collect()
}

/// A slip that the rules in force, or another pronunciation of the same word, hold to be none.
pub fn forgiven(target: &Target, sounds: &[Sound], slip: Slip, rules: &Rules) -> Slip {
    let same = match slip {
        Slip::Changed(i, other) => rules.same_at(sounds, i, other),
        _ => false,
    };
    let said = || crate::ear::count::sounds_of(sounds, slip);
    if same || (target.variants.len() > 1 && target.variants.contains(&said())) {
        Slip::None
    } else {
        slip
    }
}

/// What has been gathered about one recording.
#[derive(Debug, Default)]
pub struct Gathered {
    expected: Option<usize>,
    expected_sounds: Vec<Sound>,
    fit: Fit,
    /// Probability that another reading was said, for the verdict; 1 less that of "same" where it is not known by itself.
    pub unlike: Option<f32>,
    counts: BTreeMap<usize, f32>,
    slips: Vec<(Slip, f32)>,
    placed: Vec<Placed>,
    line: Option<String>,
    /// Whether it is affirmed on other grounds than the probability of "same".
    affirmed: bool,
}

impl Gathered {
    /// Nothing heard yet, with a target of `expected` sounds as counted.
    pub fn new(expected: usize, expected_sounds: Vec<Sound>) -> Gathered {
        Gathered {
            expected: Some(expected),
            expected_sounds,
            ..Gathered::default()
        }
    }

    /// What was heard without a target.
    pub fn blind(blind: &Blind) -> Gathered {
        let counts = blind
            .counts
            .iter()
            .copied()
            .enumerate()
            .filter(|(_, p)| *p > 0.0)
            .collect();
        Gathered {
            counts,
            ..Gathered::default()
        }
    }

    /// Adds a reading of `count` sounds with probability `p`.
    pub fn add(&mut self, count: usize, slip: Slip, p: f32) {
        if slip == Slip::None {
            *self.counts.entry(count).or_default() += p;
            self.fit.same += p;
        } else {
            self.add_unlike(count, p);
            self.slips.push((slip, p));
        }
    }

    /// Adds probability `p` of something else altogether, counted blindly.
    pub fn add_other(&mut self, counts: &[f32], p: f32) {
        for (count, share) in counts.iter().enumerate().filter(|(_, s)| **s > 0.0) {
            self.add_unlike(count, p * share);
        }
    }

    /// Adds probability `p` of `count` sounds that are not the target's.
    fn add_unlike(&mut self, count: usize, p: f32) {
        *self.counts.entry(count).or_default() += p;
        *match count.cmp(&self.expected.unwrap_or(count)) {
            std::cmp::Ordering::Less => &mut self.fit.fewer,
            std::cmp::Ordering::Greater => &mut self.fit.more,
            std::cmp::Ordering::Equal => &mut self.fit.changed,
        } += p;
    }

    /// The sounds asked about; empty where none are.
    pub fn expected_sounds(&self) -> &[Sound] {
        &self.expected_sounds
    }

    /// Probability that the target was said.
    pub fn same(&self) -> f32 {
        self.fit.same
    }

    /// Probability that there are as many sounds as expected.
    pub fn sure_of_count(&self) -> f32 {
        1.0 - self.fit.fewer - self.fit.more
    }

    /// Sounds said one by one that are affirmed by what was heard of them `joined`.
    pub fn affirmed_by(mut self, joined: &Gathered) -> Gathered {
        let count = self.sure_of_count();
        self.fit.same = self.fit.same.max(count * joined.fit.same);
        self.fit.changed = (count - self.fit.same).max(0.0);
        for (piece, as_joined) in self.placed.iter_mut().zip(&joined.placed) {
            piece.evidence = piece.evidence.max(as_joined.evidence);
        }
        self.line = None;
        self.affirmed = true;
        self
    }

    /// Probability that another reading was said.
    pub fn unlike(&self) -> f32 {
        self.unlike.unwrap_or(1.0 - self.fit.same)
    }

    /// Puts sounds at their places: `cuts` are in frames, `at` turns a frame into seconds.
    pub fn place(&mut self, sounds: &[Sound], cuts: &[(usize, usize)], evidence: &[f32], at: impl Fn(usize) -> f32) {
        let one = |((sound, cut), evidence): ((&Sound, &(usize, usize)), &f32)| Placed {
            sound: *sound,
            start_s: at(cut.0),
            end_s: at(cut.1),
            evidence: evidence.clamp(0.0, 1.0),
            right: None,
            taken_for: None,
        };
        self.placed = sounds.iter().zip(cuts).zip(evidence).map(one).collect();
    }

    /// Says of each placed sound how likely a trained listener calls it right.
    pub fn mark(&mut self, right: impl Iterator<Item = f32>) {
        for (placed, right) in self.placed.iter_mut().zip(right) {
            placed.right = Some(right);
        }
    }

    /// The judgement.
    pub fn settle(mut self, model: ModelId, settings: &Settings, speaking: Speaking, quality: Quality) -> Judgement {
        let all: f32 = self.counts.values().sum::<f32>().max(f32::MIN_POSITIVE);
        // Flattened: what is heard in a room is harder than what the model was set on. The order stays as it is.
        let power = match (speaking, self.expected) {
            (Speaking::Separate, _) => 1.0, // done by `apart`
            (_, Some(_)) => settings.doubt_target,
            (Speaking::Stretched, None) => settings.doubt_drawn,
            (_, None) => settings.doubt_blind,
        };
        self.counts.values_mut().for_each(|p| *p = (*p / all).powf(power));
        let all: f32 = self.counts.values().sum::<f32>().max(f32::MIN_POSITIVE);
        self.counts.values_mut().for_each(|p| *p /= all);
        let heard = self
            .counts
            .iter()
            .max_by(|a, b| a.1.total_cmp(b.1))
            .map_or(0, |(count, _)| *count);
        let unlike = self.unlike();
        let verdict = self
            .expected
            .map(|_| verdict(&self.fit, unlike, settings.bounds(speaking)))
            .map(|verdict| if self.affirmed { Verdict::Same } else { verdict });
        let said = self.line.take().or_else(|| match verdict {
            None | Some(Verdict::Same) => None,
            Some(_) => {
                self.mark_taken();
                self.listen_for()
            }
        });
        Judgement {
            format: Default::default(),
            model: Some(model),
            speaking,
            expected: self.expected,
            expected_sounds: self.expected_sounds,
            heard,
            count_probabilities: self.counts.into_iter().filter(|(_, p)| *p >= LEAST_TOLD).collect(),
            verdict,
            fit: self.expected.map(|_| self.fit),
            sounds: self.placed,
            quality,
            said,
        }
    }

    /// Marks the sound in whose place the likeliest slip has another.
    fn mark_taken(&mut self) {
        if let Some(&(Slip::Changed(at, other), _)) = self.likeliest()
            && let Some(placed) = self.placed.get_mut(at)
        {
            placed.taken_for = Some(other);
        }
    }

    fn likeliest(&self) -> Option<&(Slip, f32)> {
        self.slips.iter().max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Where to listen: the likeliest slip, as a question to the ear and not as a mark.
    fn listen_for(&self) -> Option<String> {
        let (slip, _) = self.likeliest()?;
        let name = |sound: Sound| inventory::of(sound).respelling.as_str();
        let sounds = &self.expected_sounds;
        Some(match *slip {
            Slip::None => return None,
            Slip::Fewer(i) => format!("Listen {}: is the \"{}\" there?", place_of(sounds, i), name(sounds[i])),
            Slip::Changed(i, other) => {
                format!(
                    "Listen {}: is it \"{}\", or nearer to \"{}\"?",
                    place_of(sounds, i),
                    name(sounds[i]),
                    name(other)
                )
            }
            Slip::More(i, extra) if i == sounds.len() => {
                format!("Listen after the last sound: is there an extra \"{}\"?", name(extra))
            }
            Slip::More(0, extra) => format!("Listen before the first sound: is there an extra \"{}\"?", name(extra)),
            Slip::More(i, extra) => format!(
                "Listen between \"{}\" and \"{}\": is there an extra \"{}\"?",
                name(sounds[i - 1]),
                name(sounds[i]),
                name(extra)
            ),
        })
    }
}

fn place_of(sounds: &[Sound], i: usize) -> String {
    match i {
        0 => "to the first sound".into(),
        i if i + 1 == sounds.len() => "to the last sound".into(),
        i => format!("to sound {} of {}", i + 1, sounds.len()),
    }
}

/// The verdict, or "unsure" unless one relation is probable enough.
fn verdict(fit: &Fit, unlike: f32, bounds: Bounds) -> Verdict {
    if fit.same >= bounds.affirm {
        return Verdict::Same;
    }
    let others = [
        (fit.fewer, Verdict::Fewer),
        (fit.more, Verdict::More),
        (fit.changed, Verdict::Changed),
    ];
    let best = others
        .into_iter()
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((0.0, Verdict::Unsure));
    // The target is contradicted on all the evidence for other readings together; how, on the likeliest way. A slip that a listener
    // would mark is a reason for doubt, not for a verdict on what was said.
    if unlike >= bounds.contradict {
        best.1
    } else {
        Verdict::Unsure
    }
}

/// How sure each blindly heard sound is: the model's mean belief in it over its frames.
pub fn sureness(scores: &Scores, sounds: &[Sound], cuts: &[(usize, usize)]) -> Vec<f32> {
    let mean = |(sound, &(from, to)): (&Sound, &(usize, usize))| {
        let rows = &scores.rows[from..to.max(from + 1).min(scores.rows.len())];
        rows.iter().map(|r| r[class_of(*sound)].exp()).sum::<f32>() / rows.len().max(1) as f32
    };
    sounds.iter().zip(cuts).map(mean).collect()
}
