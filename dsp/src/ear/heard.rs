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
    /// The part of `fit.changed` that is a slip which a listener would mark, the target's sounds being likeliest all the same.
    slip: f32,
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

    /// Holds the probability `p` of "same" to be of a slip: as many sounds, one of them not as it should be.
    pub fn doubt(&mut self, p: f32) {
        self.fit.same -= p;
        self.fit.changed += p;
        self.slip = p;
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
            left_out: false,
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
        let verdict = self.expected.map(|expected| {
            let told = match self.affirmed {
                true => Verdict::Same,
                false => verdict(&self.fit, self.slip, unlike, settings.bounds(speaking)),
            };
            if told.agrees(heard, expected) {
                told
            } else {
                Verdict::Unsure
            }
        });
        let said = self.line.take().or_else(|| match verdict {
            None | Some(Verdict::Same) => None,
            Some(_) => {
                self.mark_slip();
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

    /// Marks the sound that the likeliest slip changes or leaves out.
    fn mark_slip(&mut self) {
        let (at, taken_for) = match self.likeliest() {
            Some(&(Slip::Changed(at, other), _)) => (at, Some(other)),
            Some(&(Slip::Fewer(at), _)) => (at, None),
            _ => return,
        };
        if let Some(placed) = self.placed.get_mut(at) {
            (placed.taken_for, placed.left_out) = (taken_for, taken_for.is_none());
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

/// The verdict, or "unsure" unless one relation is probable enough. `slip` is the part of `fit.changed` that no other reading has.
fn verdict(fit: &Fit, slip: f32, unlike: f32, bounds: Bounds) -> Verdict {
    if fit.same >= bounds.affirm {
        return Verdict::Same;
    }
    let others = [
        (fit.fewer, Verdict::Fewer),
        (fit.more, Verdict::More),
        (fit.changed - slip, Verdict::Changed),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ear::package::Package;

    fn settled(heard: Gathered) -> Judgement {
        let package = Package::shipped().expect("the model comes with the program");
        let quality = Quality {
            level_dbfs: -20.0,
            snr_db: None,
            clipped: false,
            speech_s: 0.5,
            warnings: Vec::new(),
        };
        heard.settle(package.id, &package.settings, Speaking::Whole, quality)
    }

    /// Asked about pig: probabilities of two, three (as asked for, and with another sound), four and five sounds.
    fn pig(two: f32, same: f32, changed: f32, four: f32, five: f32) -> Gathered {
        let mut heard = Gathered::new(3, vec![Sound::P, Sound::IH, Sound::G]);
        heard.add(3, Slip::None, same);
        heard.add(3, Slip::Changed(1, Sound::EH), changed);
        heard.add(2, Slip::Fewer(2), two);
        heard.add(4, Slip::More(3, Sound::Z), four);
        heard.add_unlike(5, five);
        heard.unlike = Some(1.0 - same);
        heard
    }

    #[test]
    fn a_slip_that_a_listener_would_mark_moves_no_count() {
        let (mut doubted, plain) = (pig(0.02, 0.9, 0.05, 0.02, 0.01), pig(0.02, 0.9, 0.05, 0.02, 0.01));
        doubted.doubt(0.88);
        let (doubted, plain) = (settled(doubted), settled(plain));
        assert_eq!(doubted.count_probabilities, plain.count_probabilities);
        assert_eq!((doubted.heard, plain.heard), (3, 3));
        let fit = doubted.fit.expect("a word was named");
        assert!(
            (fit.same - 0.02).abs() < 1e-5 && (fit.changed - 0.93).abs() < 1e-5,
            "{fit:?}"
        );
        assert_eq!(
            doubted.verdict,
            Some(Verdict::Unsure),
            "a slip is a reason for doubt alone"
        );
    }

    #[test]
    fn what_contradicts_is_told_by_readings_and_not_by_a_listener_s_doubt() {
        let mut heard = pig(0.4, 0.2, 0.3, 0.06, 0.04);
        heard.doubt(0.19);
        let judged = settled(heard);
        let fit = judged.fit.expect("a word was named");
        assert!(fit.changed > fit.fewer, "{fit:?}");
        // Three sounds are likeliest with the doubtful ones, so that "fewer" cannot be told either.
        assert_eq!((judged.heard, judged.verdict), (3, Some(Verdict::Unsure)));
    }

    #[test]
    fn a_verdict_never_stands_beside_a_count_that_it_does_not_go_with() {
        // More sounds in all, but neither four nor five is as likely as three.
        let judged = settled(pig(0.05, 0.1, 0.3, 0.28, 0.27));
        assert_eq!((judged.heard, judged.verdict), (3, Some(Verdict::Unsure)));
        assert!(judged.said.is_some());
        let judged = settled(pig(0.05, 0.1, 0.1, 0.6, 0.15));
        assert_eq!((judged.heard, judged.verdict), (4, Some(Verdict::More)));
        let mut joined = pig(0.5, 0.45, 0.05, 0.0, 0.0);
        joined.counts = BTreeMap::from([(2, 0.52), (3, 0.48)]);
        joined.affirmed = true;
        let judged = settled(joined);
        assert_eq!((judged.heard, judged.verdict), (2, Some(Verdict::Unsure)));
    }
}
