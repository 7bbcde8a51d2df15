//! Whether a listener would mark a slip in a word, fitted on what trained listeners marked; and what that and the decision in use, that no
//! other reading was said, give together on words asked about as what they are not.
//!
//! Neither network may have heard the speakers: for those that it learned from, the first takes slips for right. So a twin of it stands in
//! that has not heard them (`training/twin.py`).

use std::path::{Path, PathBuf};

use serde::Deserialize;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{Recording, SourceRecording};
use soundbead_dsp::ear::inside::{Decision, Measures, RightCalibration, log_odds};
use soundbead_dsp::ear::{Ear, Evidence};
use soundbead_dsp::judgement::{Speaking, Verdict};

use super::super::decision::{self, Sample, SampleKind};
use super::super::made;
use super::super::speech::{self, parse};
use super::super::spread::spread_by;
use super::blind::BlindCount;
use super::{Neighbours, ear};

/// One word in so many is asked about; slipped ones all are.
const ONE_IN: usize = 3;
/// Real words beside each, of each kind, and near readings.
const BESIDE: usize = 2;
const NEAR: usize = 3;
/// Sounds that readers put after a word, or that its other forms have there.
const AFTER: [&str; 5] = ["S", "Z", "T", "D", "N"];
/// How many times likelier a word is right than slipped; with the decision on readings beside it, about nine times to wrong in any way.
const RIGHT_TO_WRONG_EACH: f64 = 18.5;
/// Rounds of Newton's method for a line through log-odds.
const ROUNDS: usize = 20;

/// One word as `training/marked_words.py` writes it: cut as by a list's times.
#[derive(Clone, Deserialize)]
struct MarkedWord {
    speaker: String,
    sounds: Vec<String>,
    start: usize,
    end: usize,
    alone: bool,
    /// Of five listeners, how many call each sound right, and wrong.
    right: Vec<u8>,
    wrong: Vec<u8>,
    /// How many heard one and the same sound added, at most.
    added: u8,
}

impl MarkedWord {
    fn kind(&self) -> Option<SampleKind> {
        if self.right.iter().all(|r| *r == 5) && self.added == 0 {
            Some(SampleKind::Right)
        } else {
            (self.wrong.iter().any(|w| *w >= 3) || self.added >= 3).then_some(SampleKind::Slipped)
        }
    }

    fn is_among(&self) -> bool {
        self.alone || (self.start / 160).is_multiple_of(ONE_IN)
    }
}

/// What came of one word.
pub struct MarkedResult {
    /// For the decision.
    pub samples: Vec<Sample>,
    /// Of each sound the listener's share, and how many of five call it right.
    pub sounds: Vec<(f32, u8)>,
    /// Counted without a target.
    pub count: Option<BlindCount>,
    /// Counted with one.
    pub named: Vec<NamedCount>,
    /// Told from real words beside it, those with one sound fewer (0), changed (1), more (2): the said word counts as 0, the other as 1.
    pub choices: Vec<(usize, BlindCount)>,
    /// Asked about real words with one sound changed, whatever was marked; of sounds said one by one.
    pub changed: Vec<Sample>,
}

/// A count with a word named.
pub struct NamedCount {
    /// Whether the word that was said is named, by the dictionary's sounds; else a real word beside it.
    pub own: bool,
    /// How many sounds the named word has.
    pub asked: usize,
    /// What was told.
    pub told: BlindCount,
    /// The count and the verdict that stand in the answer.
    pub answer: (usize, Verdict),
}

impl MarkedResult {
    /// Whether all listeners call the word right.
    pub fn is_right(&self) -> bool {
        self.samples.first().is_some_and(|s| s.kind == SampleKind::Right)
    }
}

/// What was fitted.
pub struct Fitted {
    /// That nobody would mark a slip, by the sixth listener's measures.
    pub slips: Decision,
    /// See [`decision::choice`].
    pub choice: [f64; 3],
}

/// Listens to the words of each fold (words of speakers, and a network that has not heard them), said in one way or made to sound so,
/// and gives what was compared.
///
/// # Errors
/// When the marks or a network cannot be read.
pub fn listened(
    source: &SourceRecording,
    folds: &[(PathBuf, Option<PathBuf>)],
    way: Speaking,
) -> Result<Vec<MarkedResult>, String> {
    let each = folds
        .iter()
        .map(|(list, weights)| fold(source, list, weights.as_deref(), way));
    Ok(each.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

/// Fits the line for single sounds.
pub fn right(found: &[MarkedResult]) -> RightCalibration {
    line(&found.iter().flat_map(|f| f.sounds.iter().copied()).collect::<Vec<_>>())
}

/// What was compared earlier, a sample a line, with what was compared now.
///
/// # Errors
/// When a file cannot be read.
pub fn samples(found: &[MarkedResult], files: &[PathBuf]) -> Result<Vec<Sample>, String> {
    let mut all: Vec<Sample> = found.iter().flat_map(|f| f.samples.iter().cloned()).collect();
    for file in files {
        let text = std::fs::read_to_string(file).map_err(|e| format!("{}: {e}", file.display()))?;
        for line in text.lines() {
            all.push(serde_json::from_str(line).map_err(|e| format!("{}: {e}", file.display()))?);
        }
    }
    Ok(all)
}

/// Keeps samples in a file, one a line.
///
/// # Errors
/// When it cannot be written.
pub fn keep(samples: &[Sample], file: &Path) -> Result<(), String> {
    let lines: Result<Vec<String>, _> = samples.iter().map(serde_json::to_string).collect();
    let text = lines.map_err(|e| e.to_string())?.join("\n") + "\n";
    std::fs::write(file, text).map_err(|e| format!("{}: {e}", file.display()))
}

/// Fits whether nobody would mark a slip, and shows what that and `reading` (that no other reading was said) give together on speakers left
/// out of the fit.
pub fn decide(samples: &[Sample], reading: &Decision) -> Fitted {
    let both = |some: &[&Sample]| {
        let fitted = fit_slips(some);
        move |m: &Measures| reading.probability(m) * fitted.probability(m)
    };
    show(samples, &decision::crossed_with(samples, both));
    let told: Vec<[f64; 3]> = samples.iter().filter(|s| !s.made()).filter_map(|s| s.choice).collect();
    Fitted {
        slips: fit_slips(&samples.iter().collect::<Vec<_>>()),
        choice: decision::choice(&told),
    }
}

fn fit_slips(samples: &[&Sample]) -> Decision {
    let own = |s: &&&Sample| matches!(s.kind, SampleKind::Right | SampleKind::Slipped) && !s.made();
    let of_listener = |s: &&Sample| Sample {
        measures: of_the_listener(&s.measures),
        ..(*s).clone()
    };
    let marked: Vec<Sample> = samples.iter().filter(own).map(of_listener).collect();
    decision::fit_of(&marked.iter().collect::<Vec<_>>(), RIGHT_TO_WRONG_EACH)
}

fn fold(
    source: &SourceRecording,
    list: &Path,
    weights: Option<&Path>,
    way: Speaking,
) -> Result<Vec<MarkedResult>, String> {
    let named = |path: &Path, e: std::io::Error| format!("{}: {e}", path.display());
    let text = std::fs::read_to_string(list).map_err(|e| named(list, e))?;
    let words: Result<Vec<MarkedWord>, _> = text.lines().map(serde_json::from_str).collect();
    let mut words = words.map_err(|e| format!("{}: {e}", list.display()))?;
    words.retain(|w| w.is_among() || w.kind() == Some(SampleKind::Slipped));
    let bytes = weights.map(|p| std::fs::read(p).map_err(|e| named(p, e))).transpose()?;
    ear(bytes.as_deref()).map_err(|e| e.to_string())?;
    let neighbours = Neighbours::new();
    let ear = || ear(bytes.as_deref()).expect("the model was read before");
    let found = spread_by(&words, ear, |ear, word| found(ear, source, word, &neighbours, way));
    Ok(found.into_iter().flatten().collect())
}

/// The word as it was read, or drawn out, or sound by sound in noise 20 dB down: as it is heard, and that as a whole word.
fn heard(
    ear: &mut Ear,
    recording: &Recording,
    said: &[Sound],
    seed: u64,
    way: Speaking,
) -> Option<(Evidence, Option<Evidence>)> {
    let evidence = ear.listen(recording, Speaking::Whole).ok()?;
    if way == Speaking::Whole {
        return Some((evidence, None));
    }
    let target = speech::asked(said);
    let judged = ear.judge_evidence(&evidence, Some(&target), Speaking::Whole, &Rules::default());
    let placed = judged.ok()?.sounds;
    if way == Speaking::Stretched {
        let made = made::stretched(recording, &placed, seed)?;
        return Some((ear.listen(&made, way).ok()?, None));
    }
    let made = made::apart(recording, &placed, 20.0, seed)?;
    let mut apart = ear.listen(&made.recording, way).ok()?;
    let joined = apart.take_joined()?;
    Some((joined, Some(apart)))
}

/// How probable it is that there are as many pieces as `sounds`, and that the one least like its sound is like it.
fn pieces(ear: &Ear, apart: &Evidence, sounds: &[Sound]) -> Option<[f32; 2]> {
    let target = speech::asked(sounds);
    let judged = ear.judge_evidence(apart, Some(&target), Speaking::Separate, &Rules::default());
    let fit = judged.ok()?.fit?;
    let count = 1.0 - fit.fewer - fit.more;
    Some([count, fit.same / count.max(f32::MIN_POSITIVE)])
}

/// A word as it was heard, in the way that is asked about.
struct HeardWord<'a> {
    ear: &'a Ear,
    word: &'a MarkedWord,
    said: Vec<Sound>,
    way: Speaking,
    evidence: Evidence,
    /// Of sounds said one by one, which are joined in `evidence`.
    apart: Option<Evidence>,
}

fn found(
    ear: &mut Ear,
    source: &SourceRecording,
    word: &MarkedWord,
    neighbours: &Neighbours,
    way: Speaking,
) -> Option<MarkedResult> {
    let said = parse(&word.sounds);
    let recording = speech::bare(source, word.start, word.end)?;
    let (evidence, apart) = heard(ear, &recording, &said, word.start as u64, way)?;
    let heard = HeardWord {
        ear,
        word,
        said,
        way,
        evidence,
        apart,
    };
    let mut out = MarkedResult {
        samples: heard.samples(neighbours),
        sounds: Vec::new(),
        count: heard.counted(None).map(|c| c.0),
        named: Vec::new(),
        choices: Vec::new(),
        changed: Vec::new(),
    };
    if word.is_among() {
        let marks = ear.marks_of(&heard.evidence, &heard.said)?;
        out.sounds
            .extend(marks.iter().zip(&word.right).map(|(m, r)| (m.right, *r)));
        heard.told(neighbours, &mut out);
    }
    Some(out)
}

impl HeardWord<'_> {
    fn sample(&self, kind: SampleKind, sounds: &[Sound], among: usize, strange: &[Sound]) -> Option<Sample> {
        let choice = || choice(self.ear, &self.evidence, &self.said, sounds);
        Some(Sample {
            speaker: self.word.speaker.clone(),
            alone: self.word.alone,
            kind,
            among,
            choice: (kind == SampleKind::Word).then(choice).flatten(),
            pieces: self.apart.as_ref().and_then(|apart| pieces(self.ear, apart, sounds)),
            measures: self.ear.measures(&self.evidence, sounds, strange)?,
        })
    }

    /// For the decision: the word itself, and where it is right what was not said.
    fn samples(&self, neighbours: &Neighbours) -> Vec<Sample> {
        let said = &self.said;
        let Some(kind) = self.word.kind() else {
            return Vec::new();
        };
        let mut samples: Vec<Sample> = self.sample(kind, said, 1, &[]).into_iter().collect();
        if kind == SampleKind::Right && said.len() > 1 {
            let near = super::near::asked(said);
            let step = near.len().div_ceil(NEAR).max(1);
            let first = self.word.start / 160 % step;
            let near: Vec<_> = near.into_iter().skip(first).step_by(step).collect();
            let (beside, endings) = (neighbours.of(said, BESIDE), endings(said));
            let asked = [
                (SampleKind::Word, &beside),
                (SampleKind::Strange, &beside),
                (SampleKind::Near, &near),
                (SampleKind::Ending, &endings),
            ];
            for (kind, asked) in asked {
                let strange: &[Sound] = if kind == SampleKind::Word { &[] } else { said };
                samples.extend(asked.iter().filter_map(|s| self.sample(kind, s, asked.len(), strange)));
            }
        }
        samples
    }

    /// The count with a word named or without one, and what the answer says.
    fn counted(&self, named: Option<&[Sound]>) -> Option<(BlindCount, (usize, Verdict))> {
        let (evidence, target) = (self.apart.as_ref().unwrap_or(&self.evidence), named.map(speech::asked));
        let judged = self
            .ear
            .judge_evidence(evidence, target.as_ref(), self.way, &Rules::default())
            .ok()?;
        let told = self.as_count(self.said.len(), judged.count_probabilities);
        Some((told, (judged.heard, judged.verdict.unwrap_or(Verdict::Unsure))))
    }

    fn as_count(&self, count: usize, probabilities: Vec<(usize, f32)>) -> BlindCount {
        BlindCount {
            speaker: self.word.speaker.clone(),
            count,
            probabilities,
            alone: self.word.alone,
        }
    }

    /// What is told of it: counts with a word named, and which of two words it was.
    fn told(&self, neighbours: &Neighbours, out: &mut MarkedResult) {
        let named = |sounds: &[Sound]| {
            let (told, answer) = self.counted(Some(sounds))?;
            Some(NamedCount {
                own: sounds == self.said,
                asked: sounds.len(),
                told,
                answer,
            })
        };
        out.named.extend(named(&self.said));
        for other in neighbours.of(&self.said, 1) {
            if self.word.kind() == Some(SampleKind::Right) {
                out.named.extend(named(&other));
            }
            let kind = 1 + usize::from(other.len() > self.said.len()) - usize::from(other.len() < self.said.len());
            let choices = [vec![self.said.clone()], vec![other.clone()]];
            if self.apart.is_none()
                && let Ok(told) = self.ear.compare_evidence(&self.evidence, &choices)
            {
                out.choices
                    .push((kind, self.as_count(0, told.into_iter().enumerate().collect())));
            }
            if self.apart.is_some() && kind == 1 {
                out.changed.extend(self.sample(SampleKind::Word, &other, 1, &[]));
            }
        }
    }
}

/// How the said word differs from another, for [`decision::choice`]: as the lattice alone has it, and by what the listener says.
fn choice(ear: &Ear, evidence: &Evidence, said: &[Sound], other: &[Sound]) -> Option<[f64; 3]> {
    let told = |sounds: &[Sound]| ear.measures(evidence, sounds, &[]);
    let (said_so, other_so) = (told(said)?, told(other)?);
    let margin = ear.margin(evidence, said, other)?;
    let differ = |of: fn(&Measures) -> f32| f64::from(of(&said_so) - of(&other_so));
    Some([f64::from(margin), differ(|m| m.all_right), differ(|m| m.most_added)])
}

/// The word without its last sound, and with each of [`AFTER`] after it.
fn endings(said: &[Sound]) -> Vec<Vec<Sound>> {
    let after = AFTER.iter().filter_map(|name| name.parse::<Sound>().ok());
    let longer = after.filter(|s| said.last() != Some(s)).map(|s| [said, &[s]].concat());
    std::iter::once(said[..said.len() - 1].to_vec()).chain(longer).collect()
}

/// The measures of the sixth listener alone.
fn of_the_listener(m: &Measures) -> Measures {
    Measures {
        least_right: m.least_right,
        second_right: m.second_right,
        all_right: m.all_right,
        mean_right: m.mean_right,
        none_wrong: m.none_wrong,
        most_wrong: m.most_wrong,
        most_added: m.most_added,
        how_many: m.how_many,
        ..Measures::default()
    }
}

fn show(samples: &[Sample], crossed: &[f32]) {
    let pick = |of: &dyn Fn(&Sample) -> bool| -> Vec<f32> {
        let of = samples.iter().zip(crossed).filter(|(s, _)| of(s));
        of.map(|(_, p)| *p).collect()
    };
    type MarkedFilter<'a> = (&'a str, fn(&Sample) -> bool);
    let sets: [MarkedFilter; 3] = [
        ("said alone", |s| s.alone && !s.made()),
        ("said alone and in sentences", |s| !s.made()),
        ("made words", Sample::made),
    ];
    for (way, of) in sets {
        let right = pick(&|s| s.kind == SampleKind::Right && of(s));
        for (kind, what) in [
            (SampleKind::Slipped, "real slips"),
            (SampleKind::Word, "other words"),
            (SampleKind::Near, "near sounds, no word"),
            (SampleKind::Ending, "a last sound left out or put in"),
        ] {
            let wrong = pick(&|s| s.kind == kind && of(s));
            if wrong.is_empty() {
                continue;
            }
            println!(
                "{way}, {what}, area {:.3}; each speaker's probabilities from a fit to the others:",
                area(&wrong, &right)
            );
            decision::print_curve(&right, &wrong);
        }
    }
}

/// How often one of `high` lies above one of `low`: the area under the curve.
fn area(low: &[f32], high: &[f32]) -> f64 {
    super::super::listeners::area(low, high)
}

/// The line through the listener's log-odds that gives the marks the greatest likelihood.
fn line(sounds: &[(f32, u8)]) -> RightCalibration {
    let (mut slope, mut shift) = (1.0f64, 0.0f64);
    for _ in 0..ROUNDS {
        let (mut a, mut b) = ([[1e-6f64, 0.0], [0.0, 1e-6]], [0.0f64; 2]);
        for (share, right) in sounds {
            let x = [f64::from(log_odds(*share)), 1.0];
            let p = 1.0 / (1.0 + (-(slope * x[0] + shift)).exp());
            let (gap, weight) = (f64::from(*right) / 5.0 - p, p * (1.0 - p));
            for i in 0..2 {
                b[i] += gap * x[i];
                (0..2).for_each(|j| a[i][j] += weight * x[i] * x[j]);
            }
        }
        let whole = a[0][0] * a[1][1] - a[0][1] * a[1][0];
        slope += (b[0] * a[1][1] - b[1] * a[0][1]) / whole;
        shift += (a[0][0] * b[1] - a[1][0] * b[0]) / whole;
    }
    println!(
        "right: slope {slope:.3}, shift {shift:.3}, over {} sounds",
        sounds.len()
    );
    RightCalibration {
        slope: slope as f32,
        shift: shift as f32,
    }
}
