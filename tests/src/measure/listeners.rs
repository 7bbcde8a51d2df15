//! The program beside five trained listeners: rows measured on what they marked (`read_dev_experts.jsonl`).
//!
//! A word is *right* where all five call every sound right and hear nothing added; it is *slipped* where three or more call a sound
//! wrong or hear one added. Words are cut at the list's times with 25 ms on each side and laid on near silence.

use std::collections::BTreeMap;
use std::iter::once;
use std::path::Path;

use serde::Deserialize;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{Recording, SourceRecording};
use soundbead_dsp::ear::{Ear, Evidence};
use soundbead_dsp::judgement::{Judgement, Placed, Speaking, Target, Verdict};

use super::made;
use super::speech::{self, ReadWord, asked, parse};
use super::spread::spread_by;
use super::stored::{Measurement, Rows};

/// Samples kept on each side of the list's times (25 ms).
const AROUND: usize = 400;
/// Listeners who marked each word.
const LISTENERS: f64 = 5.0;
/// How far the noise lies under words said sound by sound, in dB.
const NOISE_DB: f64 = 20.0;
/// Times that speakers are drawn anew for an interval (Efron 1979, Ann. Stat. 7, 1-26).
const DRAWS: usize = 200;

/// What the listeners marked in one word.
#[derive(Clone, Debug, Deserialize)]
struct Marks {
    /// Of each sound, how many of five call it right.
    right: Vec<u8>,
    accented: Vec<u8>,
    wrong: Vec<u8>,
    added: Vec<AddedMark>,
    /// Whether their transcription could be laid on the word's sounds.
    tied: bool,
}

#[derive(Clone, Debug, Deserialize)]
struct AddedMark {
    experts: u8,
}

impl Marks {
    fn added(&self) -> u8 {
        self.added.iter().map(|a| a.experts).max().unwrap_or(0)
    }

    fn is_right(&self) -> bool {
        self.tied && self.right.iter().all(|r| *r == 5) && self.added() == 0
    }

    fn is_slipped(&self) -> bool {
        self.tied && (self.wrong.iter().any(|w| *w >= 3) || self.added() >= 3)
    }

    /// The mean mark of each sound, from 0 (wrong) by one half (accented) to 1 (right), in the order of the word.
    fn means(&self) -> Vec<f64> {
        let each = self.right.iter().zip(&self.accented);
        each.map(|(r, a)| (f64::from(*r) + 0.5 * f64::from(*a)) / LISTENERS)
            .collect()
    }

    /// For each sound and listener, the own mark and the mean of the other four's. How many of five gave each mark is enough to know.
    fn one_and_others(&self) -> Vec<(f32, f64)> {
        let others = LISTENERS - 1.0;
        let sounds = self.right.iter().zip(&self.accented).zip(&self.wrong);
        let of_sound = |((right, accented), wrong): ((&u8, &u8), &u8)| {
            let sum = f64::from(*right) + 0.5 * f64::from(*accented);
            let who = [(1.0f32, *right), (0.5, *accented), (0.0, *wrong)];
            who.into_iter()
                .flat_map(move |(own, many)| (0..many).map(move |_| (own, (sum - f64::from(own)) / others)))
        };
        sounds.flat_map(of_sound).collect()
    }
}

/// What came of one word.
struct ListenedWord {
    speaker: String,
    child: bool,
    marks: Marks,
    /// Whether there is silence on both sides: only such words count as whole ones.
    apart: bool,
    /// For each sound, how likely a listener calls it right.
    right: Vec<f32>,
    same: Option<f32>,
    verdict: Verdict,
    /// Asked about each real word beside it.
    others: Vec<Verdict>,
    /// In a list with the real words beside it: asked about itself, and about each of those.
    listed: Verdict,
    listed_others: Vec<Verdict>,
    /// Told from each real word beside it: its kind, and whether the said word was preferred.
    pairs: Vec<(String, bool)>,
    /// Counted without a target, less the sounds that there are.
    blind: Option<usize>,
    /// The same word drawn out, and sound by sound in noise 20 dB down.
    drawn: MadeVerdicts,
    pieces: MadeVerdicts,
}

/// What is said of a word made from the one that was read.
#[derive(Default)]
struct MadeVerdicts {
    /// Asked about itself; none where it could not be made.
    own: Option<Verdict>,
    /// Asked about each real word beside it.
    others: Vec<Verdict>,
}

/// Measures and prints the rows.
///
/// # Errors
/// When the speech or the marks cannot be read.
pub fn run(table: &mut Measurement, ear: impl Fn() -> Ear + Sync, speech: &Path) -> Result<(), String> {
    let words = speech::words(&speech.join("read_dev_words.jsonl"))?;
    let path = speech.join("read_dev_experts.jsonl");
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    let marks: Result<Vec<Marks>, _> = text.lines().map(serde_json::from_str).collect();
    let marks = marks.map_err(|e| format!("{}: {e}", path.display()))?;
    let tied: Vec<(ReadWord, Marks)> = words.into_iter().zip(marks).filter(|(_, m)| m.tied).collect();
    let source = speech::source(&speech.join("read_dev.ogg"))?;
    let outcomes = spread_by(&tied, ear, |ear, (word, marks)| outcome(ear, &source, word, marks));
    for (who, of) in [("children", Some(true)), ("adults", Some(false)), ("all", None)] {
        let these: Vec<&ListenedWord> = outcomes
            .iter()
            .filter(|o| of.is_none_or(|child| o.child == child))
            .collect();
        println!("{who}, beside five listeners: {} words", these.len());
        rows(&mut table.of_whom(who), &these);
    }
    Ok(())
}

fn outcome(ear: &mut Ear, source: &SourceRecording, word: &ReadWord, marks: &Marks) -> ListenedWord {
    let mut out = ListenedWord {
        speaker: word.speaker.clone(),
        child: word.is_child(),
        marks: marks.clone(),
        apart: word.is_apart(),
        right: Vec::new(),
        same: None,
        verdict: Verdict::Unsure,
        others: Vec::new(),
        listed: Verdict::Unsure,
        listed_others: Vec::new(),
        pairs: Vec::new(),
        blind: None,
        drawn: MadeVerdicts::default(),
        pieces: MadeVerdicts::default(),
    };
    let heard = speech::bare(source, word.start.saturating_sub(AROUND), word.end + AROUND)
        .and_then(|recording| Some((ear.listen(&recording, Speaking::Whole).ok()?, recording)));
    // A word in which no speech is found stays in every row, as unsure.
    let Some((evidence, recording)) = heard else { return out };
    let sounds = word.sounds();
    if out.apart && marks.is_right() {
        beside(ear, &evidence, word, &sounds, &mut out);
    }
    if let Some(judged) = judged(ear, &evidence, Some(&sounds)) {
        out.right = judged.sounds.iter().map(|s| s.sure()).collect();
        out.same = judged.fit.map(|f| f.same);
        out.verdict = judged.verdict.unwrap_or(Verdict::Unsure);
        if out.apart && (marks.is_right() || marks.is_slipped()) {
            made_so(ear, &recording, &judged.sounds, word, &mut out);
        }
    }
    out
}

/// The word drawn out, and sound by sound, asked about as itself and as what stands beside it.
fn made_so(ear: &mut Ear, recording: &Recording, placed: &[Placed], word: &ReadWord, out: &mut ListenedWord) {
    let seed = word.start as u64;
    let drawn = made::stretched(recording, placed, seed);
    out.drawn = made_verdicts(ear, drawn.as_ref(), Speaking::Stretched, word);
    let apart = made::apart(recording, placed, NOISE_DB, seed);
    out.pieces = made_verdicts(ear, apart.as_ref().map(|a| &a.recording), Speaking::Separate, word);
}

fn made_verdicts(ear: &mut Ear, made: Option<&Recording>, speaking: Speaking, word: &ReadWord) -> MadeVerdicts {
    let Some(made) = made else {
        return MadeVerdicts::default();
    };
    let evidence = ear.listen(made, speaking).ok();
    let asked_about = |sounds: Vec<Sound>| {
        let judged = ear.judge_evidence(evidence.as_ref()?, Some(&asked(&sounds)), speaking, &Rules::default());
        judged.ok()?.verdict
    };
    let verdict = |sounds| asked_about(sounds).unwrap_or(Verdict::Unsure);
    MadeVerdicts {
        own: Some(verdict(word.sounds())),
        others: word.neighbours.values().map(|n| verdict(parse(&n.sounds))).collect(),
    }
}

fn judged(ear: &Ear, evidence: &Evidence, sounds: Option<&[Sound]>) -> Option<Judgement> {
    let target = sounds.map(asked);
    ear.judge_evidence(evidence, target.as_ref(), Speaking::Whole, &Rules::default())
        .ok()
}

/// What a right word is told from.
fn beside(ear: &Ear, evidence: &Evidence, word: &ReadWord, sounds: &[Sound], out: &mut ListenedWord) {
    for (kind, other) in &word.neighbours {
        let other = parse(&other.sounds);
        let verdict = judged(ear, evidence, Some(&other)).and_then(|j| j.verdict);
        out.others.push(verdict.unwrap_or(Verdict::Unsure));
        let choices = [vec![sounds.to_vec()], vec![other]];
        let told = ear.compare_evidence(evidence, &choices).unwrap_or(vec![0.5; 2]);
        out.pairs.push((kind.clone(), told[0] > told[1]));
    }
    listed(ear, evidence, word, sounds, out);
    out.blind = judged(ear, evidence, None).map(|j| j.heard.abs_diff(sounds.len()));
}

/// The same in a list with the real words beside it.
fn listed(ear: &Ear, evidence: &Evidence, word: &ReadWord, sounds: &[Sound], out: &mut ListenedWord) {
    let beside = word.neighbours.values().map(|n| parse(&n.sounds));
    let list: Vec<Target> = once(sounds.to_vec()).chain(beside).map(|s| asked(&s)).collect();
    let among = |target: &Target| {
        let judged = ear.judge_evidence_among(evidence, target, &list, Speaking::Whole, &Rules::default());
        judged.ok().and_then(|j| j.verdict).unwrap_or(Verdict::Unsure)
    };
    let mut each = list.iter().map(among);
    out.listed = each.next().unwrap_or(Verdict::Unsure);
    out.listed_others = each.collect();
}

fn rows(table: &mut Rows<'_>, these: &[&ListenedWord]) {
    sound_rows(table, these);
    let whole = |of: fn(&Marks) -> bool| -> Vec<&ListenedWord> {
        these.iter().copied().filter(|o| o.apart && of(&o.marks)).collect()
    };
    let (right, slipped) = (whole(Marks::is_right), whole(Marks::is_slipped));
    let verdicts = |of: &[&ListenedWord]| -> Vec<Verdict> { of.iter().map(|o| o.verdict).collect() };
    verdict_rows(table, "right words", &verdicts(&right));
    verdict_rows(table, "slipped words", &verdicts(&slipped));
    let others: Vec<Verdict> = right.iter().flat_map(|o| &o.others).copied().collect();
    verdict_rows(table, "right words asked about as a real word beside", &others);
    let listed: Vec<Verdict> = right.iter().map(|o| o.listed).collect();
    verdict_rows(table, "right words in a list", &listed);
    let others: Vec<Verdict> = right.iter().flat_map(|o| &o.listed_others).copied().collect();
    verdict_rows(table, "right words in a list, asked about as a word beside", &others);
    made_rows(table, "drawn out", &right, &slipped, |o| &o.drawn);
    made_rows(table, "sound by sound", &right, &slipped, |o| &o.pieces);
    told_apart(table, &right, &slipped);
    for kind in ["fewer", "more", "changed"] {
        let told: Vec<bool> = right
            .iter()
            .flat_map(|o| &o.pairs)
            .filter(|p| p.0 == kind)
            .map(|p| p.1)
            .collect();
        table.hits(&format!("right words preferred to a real word with one {kind}"), &told);
    }
    let within = |most: usize| {
        right
            .iter()
            .map(|o| o.blind.is_some_and(|off| off <= most))
            .collect::<Vec<_>>()
    };
    table.hits("right words, blind count exact", &within(0));
    table.hits("right words, blind count within one", &within(1));
}

fn made_rows(
    table: &mut Rows<'_>,
    way: &str,
    right: &[&ListenedWord],
    slipped: &[&ListenedWord],
    of: fn(&ListenedWord) -> &MadeVerdicts,
) {
    let own = |these: &[&ListenedWord]| -> Vec<Verdict> { these.iter().filter_map(|o| of(o).own).collect() };
    verdict_rows(table, &format!("right words {way}"), &own(right));
    verdict_rows(table, &format!("slipped words {way}"), &own(slipped));
    let others: Vec<Verdict> = right.iter().flat_map(|o| &of(o).others).copied().collect();
    verdict_rows(
        table,
        &format!("right words {way}, asked about as a real word beside"),
        &others,
    );
}

fn verdict_rows(table: &mut Rows<'_>, what: &str, verdicts: &[Verdict]) {
    let affirmed: Vec<bool> = verdicts.iter().map(|v| *v == Verdict::Same).collect();
    let against = |v: &Verdict| !matches!(v, Verdict::Same | Verdict::Unsure);
    table.hits(&format!("{what} affirmed"), &affirmed);
    table.hits(
        &format!("{what} contradicted"),
        &verdicts.iter().map(against).collect::<Vec<_>>(),
    );
}

/// How the listeners' marks of single sounds are told.
fn sound_rows(table: &mut Rows<'_>, these: &[&ListenedWord]) {
    let pairs = |of: &[&ListenedWord]| -> Vec<(f32, f64)> {
        let each = of.iter().flat_map(|o| o.right.iter().copied().zip(o.marks.means()));
        each.collect()
    };
    let wrong_from_right = |pairs: &[(f32, f64)]| {
        let pick = |of: &dyn Fn(f64) -> bool| -> Vec<f32> { pairs.iter().filter(|p| of(p.1)).map(|p| p.0).collect() };
        // A mean mark under a quarter, and of three quarters and more, of the whole: under 0.5 and from 1.5 of 2.
        area(&pick(&|m| m < 0.25), &pick(&|m| m >= 0.75))
    };
    table.drawn("each sound, correlation with the listeners' mean", these, |of| {
        correlation(&pairs(of))
    });
    table.drawn("each sound, one listener against the other four", these, |of| {
        correlation(&of.iter().flat_map(|o| o.marks.one_and_others()).collect::<Vec<_>>())
    });
    table.drawn("each sound, wrong told from right, area", these, |of| {
        wrong_from_right(&pairs(of))
    });
    let sounds = || {
        these
            .iter()
            .flat_map(|o| o.right.iter().zip(o.marks.right.iter().zip(&o.marks.wrong)))
    };
    let listeners = sounds().flat_map(|(p, (right, _))| (0..5u8).map(move |k| (*p, k < *right)));
    table.calibration(
        "calibration error, a listener calls the sound right",
        listeners.collect(),
    );
    let flagged = |accented: bool| -> Vec<bool> {
        let marks = these
            .iter()
            .flat_map(|o| o.right.iter().zip(o.marks.accented.iter().zip(&o.marks.wrong)));
        let of = marks.filter(|(_, (a, w))| **w == 0 && (**a > 0) == accented);
        of.map(|(p, _)| *p < 0.5).collect()
    };
    table.hits("clean sounds held likelier wrong than right", &flagged(false));
    table.hits(
        "sounds accented but not wrong, held likelier wrong than right",
        &flagged(true),
    );
    let named: Vec<bool> = these.iter().filter(|o| o.apart).filter_map(|o| named(o)).collect();
    table.hits("slipped words, the sound named is one that was marked", &named);
}

/// Whether the sound that is least likely right is one that three or more call wrong; none where no sound is.
fn named(o: &ListenedWord) -> Option<bool> {
    let marked = |at: usize| o.marks.wrong[at] >= 3;
    let least = (0..o.right.len()).min_by(|a, b| o.right[*a].total_cmp(&o.right[*b]))?;
    (0..o.marks.wrong.len()).any(marked).then(|| marked(least))
}

/// How right words are told from slipped ones by the probability of "same".
fn told_apart(table: &mut Rows<'_>, right: &[&ListenedWord], slipped: &[&ListenedWord]) {
    let both: Vec<&ListenedWord> = right.iter().chain(slipped).copied().collect();
    let same = |of: &[&ListenedWord], slipped: bool| -> Vec<f32> {
        let of = of.iter().filter(|o| o.marks.is_slipped() == slipped);
        of.filter_map(|o| o.same).collect()
    };
    table.drawn("right words told from slipped, area", &both, |of| {
        area(&same(of, true), &same(of, false))
    });
    answered(table, same(&both, false), &same(&both, true));
    for flagged in [0.04, 0.01] {
        let name = format!(
            "slipped words caught where {:.0} % of right ones are flagged",
            100.0 * flagged
        );
        table.drawn(&name, &both, |of| caught(same(of, false), &same(of, true), flagged));
    }
}

/// How many slipped words would be affirmed with so many of the right ones.
fn answered(table: &mut Rows<'_>, mut right: Vec<f32>, slipped: &[f32]) {
    right.sort_by(|a, b| b.total_cmp(a));
    for affirmed in [0.5, 0.8, 0.95] {
        let last = ((affirmed * right.len() as f64).ceil() as usize).max(1) - 1;
        let bound = right.get(last).copied().unwrap_or(f32::MAX);
        let passed = slipped.iter().filter(|p| **p >= bound).count();
        let name = format!("slipped words affirmed, were {:.0} % of right ones", 100.0 * affirmed);
        table.row(&name, passed, slipped.len());
    }
}

/// The share of `slipped` under the quantile `flagged` of `right` (linear between neighbours).
fn caught(mut right: Vec<f32>, slipped: &[f32], flagged: f64) -> f64 {
    if right.is_empty() || slipped.is_empty() {
        return f64::NAN;
    }
    right.sort_by(f32::total_cmp);
    let at = flagged * (right.len() - 1) as f64;
    let (low, part) = (at as usize, at.fract());
    let high = right[(low + 1).min(right.len() - 1)];
    let bound = f64::from(right[low]) * (1.0 - part) + f64::from(high) * part;
    slipped.iter().filter(|p| f64::from(**p) < bound).count() as f64 / slipped.len() as f64
}

/// How often one of `high` lies above one of `low`, equals counted half: the area under the curve (Hanley, McNeil 1982,
/// Radiology 143, 29-36).
pub fn area(low: &[f32], high: &[f32]) -> f64 {
    let mut all: Vec<(f32, bool)> = low
        .iter()
        .map(|v| (*v, false))
        .chain(high.iter().map(|v| (*v, true)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut under, mut wins) = (0.0, 0.0);
    for equals in all.chunk_by(|a, b| a.0 == b.0) {
        let highs = equals.iter().filter(|e| e.1).count() as f64;
        let lows = equals.len() as f64 - highs;
        wins += highs * (under + lows / 2.0);
        under += lows;
    }
    wins / (low.len() * high.len()) as f64
}

/// Pearson's correlation.
fn correlation(pairs: &[(f32, f64)]) -> f64 {
    let n = pairs.len() as f64;
    let (mx, my) = (
        pairs.iter().map(|p| f64::from(p.0)).sum::<f64>() / n,
        pairs.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let sum = |f: &dyn Fn(f64, f64) -> f64| pairs.iter().map(|p| f(f64::from(p.0) - mx, p.1 - my)).sum::<f64>();
    sum(&|x, y| x * y) / (sum(&|x, _| x * x) * sum(&|_, y| y * y)).sqrt()
}

impl Rows<'_> {
    /// Prints and keeps a figure with the interval that drawing the speakers anew gives.
    fn drawn(&mut self, name: &str, these: &[&ListenedWord], of: impl Fn(&[&ListenedWord]) -> f64) {
        let mut speakers: BTreeMap<&str, Vec<&ListenedWord>> = BTreeMap::new();
        for o in these {
            speakers.entry(&o.speaker).or_default().push(o);
        }
        let speakers: Vec<Vec<&ListenedWord>> = speakers.into_values().collect();
        // The generator of Numerical Recipes, 2nd ed., section 7.1: the same draws every time.
        let mut seed = 1u32;
        let mut pick = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            ((u64::from(seed) * speakers.len() as u64) >> 32) as usize
        };
        let mut draw = || -> Vec<&ListenedWord> {
            let picked: Vec<usize> = speakers.iter().map(|_| pick()).collect();
            picked.into_iter().flat_map(|i| speakers[i].iter().copied()).collect()
        };
        let mut found: Vec<f64> = (0..DRAWS).map(|_| of(&draw())).filter(|v| v.is_finite()).collect();
        found.sort_by(f64::total_cmp);
        let at = |share: f64| {
            found
                .get((share * found.len() as f64) as usize)
                .copied()
                .unwrap_or(f64::NAN)
        };
        self.between(name, of(these), [at(0.025), at(0.975)]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_area_counts_pairs_and_halves_equals() {
        assert_eq!(area(&[0.1, 0.2], &[0.3, 0.4]), 1.0);
        assert_eq!(area(&[0.3], &[0.3]), 0.5);
        // Of four pairs one is won, one lost and two are equal.
        assert_eq!(area(&[0.2, 0.5], &[0.2, 0.5]), 0.5);
        assert_eq!(area(&[0.9], &[0.1, 0.2]), 0.0);
    }

    #[test]
    fn the_share_caught_is_that_under_the_quantile_of_right_ones() {
        let right: Vec<f32> = (0..=100).map(|i| i as f32 / 100.0).collect();
        assert_eq!(caught(right, &[0.01, 0.03, 0.05, 0.9], 0.04), 0.5);
    }

    #[test]
    fn marks_make_a_word_right_slipped_or_neither() {
        let marks = |wrong: u8, added: u8| Marks {
            right: vec![5, 5 - wrong],
            accented: vec![0, 0],
            wrong: vec![0, wrong],
            added: vec![AddedMark { experts: added }],
            tied: true,
        };
        assert!(marks(0, 0).is_right() && !marks(0, 0).is_slipped());
        assert!(!marks(2, 0).is_right() && !marks(2, 0).is_slipped());
        assert!(marks(3, 0).is_slipped() && marks(0, 3).is_slipped());
        assert_eq!(marks(3, 0).means(), [1.0, 0.4]);
    }

    #[test]
    fn each_listener_stands_against_the_mean_of_the_other_four() {
        let marks = Marks {
            right: vec![3],
            accented: vec![1],
            wrong: vec![1],
            added: Vec::new(),
            tied: true,
        };
        let right = (1.0, 0.625); // of the others two call it right, one accented, one wrong
        assert_eq!(marks.one_and_others(), [right, right, right, (0.5, 0.75), (0.0, 0.875)]);
    }
}
