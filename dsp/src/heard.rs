//! From probabilities of readings to a judgement: counts, the verdict, and one plain line on where to listen.

use std::collections::BTreeMap;
use std::ops::Range;

use soundbead_data::{Rules, Sound, inventory};

use crate::align::{Lattice, Weighing};
use crate::apart::Pieces;
use crate::blind::Blind;
use crate::count::{Slip, near};
use crate::ear::Settings;
use crate::judgement::{Fit, Judgement, Placed, Speaking, Target, Verdict};
use crate::model::{PathWeights, Scores, class_of, classes_of};
use crate::voice::Quality;

/// Counts of less than this probability are not told.
const LEAST_TOLD: f32 = 0.001;

/// Letters tied to ranges of sounds.
pub type Letters = [(String, Range<usize>)];

/// The letters as [`Rules::units`] wants them.
pub fn borrowed(letters: &Letters) -> Vec<(&str, Range<usize>)> {
    letters.iter().map(|(l, r)| (l.as_str(), r.clone())).collect()
}

/// A slip that the rules in force, or another pronunciation of the same word, hold to be none.
pub fn forgiven(target: &Target, sounds: &[Sound], slip: Slip, rules: &Rules) -> Slip {
    let same = match slip {
        Slip::Changed(i, other) => rules.same_at(sounds, i, other),
        _ => false,
    };
    let said = || crate::count::sounds_of(sounds, slip);
    if same || (target.variants.len() > 1 && target.variants.contains(&said())) {
        Slip::None
    } else {
        slip
    }
}

/// What has been gathered about one recording.
#[derive(Debug, Default)]
pub struct Heard {
    expected: Option<usize>,
    expected_sounds: Vec<Sound>,
    fit: Fit,
    counts: BTreeMap<usize, f32>,
    slips: Vec<(Slip, f32)>,
    placed: Vec<Placed>,
    line: Option<String>,
}

impl Heard {
    /// Nothing heard yet, with a target of `expected` sounds as counted.
    pub fn new(expected: usize, expected_sounds: Vec<Sound>) -> Heard {
        Heard {
            expected: Some(expected),
            expected_sounds,
            ..Heard::default()
        }
    }

    /// What was heard without a target.
    pub fn blind(blind: &Blind) -> Heard {
        let counts = blind
            .counts
            .iter()
            .copied()
            .enumerate()
            .filter(|(_, p)| *p > 0.0)
            .collect();
        Heard {
            counts,
            ..Heard::default()
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

    /// Puts sounds at their places: `cuts` are in frames, `at` turns a frame into seconds.
    pub fn place(&mut self, sounds: &[Sound], cuts: &[(usize, usize)], evidence: &[f32], at: impl Fn(usize) -> f32) {
        let one = |((sound, cut), evidence): ((&Sound, &(usize, usize)), &f32)| Placed {
            sound: *sound,
            start_s: at(cut.0),
            end_s: at(cut.1),
            evidence: evidence.clamp(0.0, 1.0),
        };
        self.placed = sounds.iter().zip(cuts).zip(evidence).map(one).collect();
    }

    /// The judgement.
    pub fn settle(mut self, settings: &Settings, speaking: Speaking, quality: Quality) -> Judgement {
        let all: f32 = self.counts.values().sum::<f32>().max(f32::MIN_POSITIVE);
        // Flattened: what is heard in a room is harder than what the model was set on. The order stays as it is.
        let power = if self.expected.is_some() {
            settings.doubt_target
        } else {
            settings.doubt_blind
        };
        self.counts.values_mut().for_each(|p| *p = (*p / all).powf(power));
        let all: f32 = self.counts.values().sum::<f32>().max(f32::MIN_POSITIVE);
        self.counts.values_mut().for_each(|p| *p /= all);
        let heard = self
            .counts
            .iter()
            .max_by(|a, b| a.1.total_cmp(b.1))
            .map_or(0, |(count, _)| *count);
        let verdict = self.expected.map(|_| verdict(&self.fit, settings));
        let said = self.line.take().or_else(|| match verdict {
            None | Some(Verdict::Same) => None,
            Some(_) => self.listen_for(),
        });
        Judgement {
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

    /// Where to listen: the likeliest slip, as a question to the ear and not as a mark.
    fn listen_for(&self) -> Option<String> {
        let (slip, _) = self.slips.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
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
fn verdict(fit: &Fit, settings: &Settings) -> Verdict {
    if fit.same >= settings.affirm {
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
    // The target is contradicted on all the evidence against it together; how, on the likeliest way.
    if 1.0 - fit.same >= settings.contradict {
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

/// Judges sounds said one by one: as many pieces as counted sounds, and each piece like its sound.
pub fn judge_pieces(
    scores: &Scores,
    path: &PathWeights,
    pieces: &Pieces,
    target: Option<&Target>,
    rules: &Rules,
    at: impl Fn(usize) -> f32,
) -> Heard {
    let Some(target) = target else {
        let heard = Heard {
            counts: pieces.counts.iter().copied().enumerate().skip(1).collect(),
            ..Heard::default()
        };
        return heard.with_named_pieces(scores, path, pieces, at);
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
    let mut heard = Heard::new(units.len(), sounds.clone());
    let right: Vec<f32> = if units.len() == found {
        units
            .iter()
            .zip(&pieces.cuts)
            .map(|(unit, cut)| likeness(scores, path, &sounds[unit.clone()], *cut))
            .collect()
    } else {
        vec![0.0; units.len()]
    };
    for (count, &p) in pieces.counts.iter().enumerate().skip(1).filter(|(_, p)| **p > 0.0) {
        if count == units.len() {
            // Each piece by itself is short, and a child may say it loosely: only a clear mismatch counts as a change.
            let worst = right.iter().copied().fold(1.0, f32::min);
            heard.add(count, Slip::None, p * worst);
            heard.add_unlike(count, p * (1.0 - worst));
        } else {
            heard.add_unlike(count, p);
        }
    }
    if units.len() == found {
        let (cuts, evidence) = spread(&units, &pieces.cuts, &right);
        heard.place(sounds, &cuts, &evidence, at);
        let doubtful = (0..found)
            .filter(|i| right[*i] < 0.5)
            .min_by(|a, b| right[*a].total_cmp(&right[*b]));
        heard.line = doubtful.map(|i| format!("Listen to piece {} of {found}: is it the sound you expect?", i + 1));
    } else {
        heard.line = Some(format!(
            "{found} pieces with gaps between them were heard; {} were expected.",
            units.len()
        ));
        heard = heard.with_named_pieces(scores, path, pieces, at);
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

/// Rows of a piece with a little of what is around it.
fn piece_scores(scores: &Scores, cut: (usize, usize)) -> Scores {
    let around = cut.0.saturating_sub(4)..(cut.1 + 4).min(scores.rows.len());
    Scores {
        rows: scores.rows[around].to_vec(),
    }
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

/// Probability that a piece is the expected sound rather than any single other that is not near it.
fn likeness(scores: &Scores, path: &PathWeights, unit: &[Sound], cut: (usize, usize)) -> f32 {
    let piece = piece_scores(scores, cut);
    let lattice = Lattice::new(&piece, path, Weighing::default());
    let own = score_alone(&lattice, unit);
    let far = |s: &Sound| !unit.contains(s) && !unit.iter().any(|u| near(*u, *s));
    let other = Sound::all()
        .filter(far)
        .map(|s| score_alone(&lattice, &[s]))
        .fold(f32::MIN, f32::max);
    // The best of some thirty others has had thirty chances: it must win by their number.
    1.0 / (1.0 + (other - own - 30f32.ln()).exp())
}

impl Heard {
    /// Names each piece by the sound it is likest.
    fn with_named_pieces(
        mut self,
        scores: &Scores,
        path: &PathWeights,
        pieces: &Pieces,
        at: impl Fn(usize) -> f32,
    ) -> Heard {
        let mut named = (Vec::new(), Vec::new());
        for &cut in &pieces.cuts {
            let piece = piece_scores(scores, cut);
            let lattice = Lattice::new(&piece, path, Weighing::default());
            let all: Vec<(Sound, f32)> = Sound::all().map(|s| (s, score_alone(&lattice, &[s]))).collect();
            let top = all
                .iter()
                .copied()
                .fold((Sound::AH, f32::MIN), |m, x| if x.1 > m.1 { x } else { m });
            let sum: f32 = all.iter().map(|x| (x.1 - top.1).exp()).sum();
            named.0.push(top.0);
            named.1.push(1.0 / sum);
        }
        self.place(&named.0, &pieces.cuts, &named.1, at);
        self
    }
}
