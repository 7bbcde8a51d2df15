//! A word of a list that is being practised, as the words of a chain are: what else was likely said is known.
//!
//! Asked about one word, the ear seldom dares to say that another was said, for that may have been anything. Where the others are
//! known, two words at a time are compared, which it does far better.

use std::iter::once;

use soundbead_data::Rules;

use super::listen::Evidence;
use super::{Ear, EarError, heard};
use crate::audio::Recording;
use crate::judgement::{Fit, Judgement, Speaking, Target, Verdict};

/// From which probability on another word of the list contradicts the target. Chosen on 1,373 right words of 52 training speakers that
/// the networks had not heard, each in a list with up to three real words one sound away: asked about one of those, 69.7 % are
/// contradicted; asked about the word itself, 1.2 %, and 0.9 % without a list.
const CONTRADICTS: f32 = 0.99;
/// From which probability on another word of the list keeps the target from being affirmed.
const DOUBTFUL: f32 = 0.5;

impl Ear {
    /// [`Ear::judge`] for a word of a list that is being practised: the word that was said is likely one of them. `list` may hold the
    /// target. Sounds said apart are judged without it.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn judge_among(
        &mut self,
        recording: &Recording,
        target: &Target,
        list: &[Target],
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Judgement, EarError> {
        let evidence = self.listen(recording, speaking)?;
        self.judge_evidence_among(&evidence, target, list, speaking, rules)
    }

    /// [`Ear::judge_among`] for what has been listened to already.
    ///
    /// # Errors
    /// As [`Ear::judge`].
    pub fn judge_evidence_among(
        &self,
        evidence: &Evidence,
        target: &Target,
        list: &[Target],
        speaking: Speaking,
        rules: &Rules,
    ) -> Result<Judgement, EarError> {
        let mut judged = self.judge_evidence(evidence, Some(target), speaking, rules)?;
        if speaking == Speaking::Whole
            && let Some((other, p)) = self.likeliest_other(evidence, target, list)
            && p >= DOUBTFUL
        {
            weigh_in(&mut judged, count_of(other, rules), p);
        }
        Ok(judged)
    }

    /// The likeliest other word of the list, and how probable it is beside the target.
    fn likeliest_other<'a>(
        &self,
        evidence: &Evidence,
        target: &Target,
        list: &'a [Target],
    ) -> Option<(&'a Target, f32)> {
        let is_target = |other: &Target| other.variants.iter().any(|v| target.variants.contains(v));
        let others: Vec<&Target> = list.iter().filter(|t| !is_target(t)).collect();
        let choices: Vec<_> = once(target)
            .chain(others.iter().copied())
            .map(|t| t.variants.clone())
            .collect();
        let told = self.compare_evidence(evidence, &choices).ok()?;
        let (mine, rest) = told.split_first()?;
        let beside_mine = others.into_iter().zip(rest).map(|(other, p)| (other, p / (p + mine)));
        beside_mine.max_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// How many sounds a word has under the rules.
fn count_of(word: &Target, rules: &Rules) -> usize {
    let letters = word.letters.first().map_or(&[][..], Vec::as_slice);
    word.variants
        .first()
        .map_or(0, |sounds| rules.count(sounds, &heard::borrowed(letters)))
}

/// Gives probability `p` to another word of `count` sounds, and the rest to what was judged.
fn weigh_in(judged: &mut Judgement, count: usize, p: f32) {
    let expected = judged.expected.unwrap_or(count);
    let (verdict, relation) = match count.cmp(&expected) {
        std::cmp::Ordering::Less => (Verdict::Fewer, [p, 0.0, 0.0]),
        std::cmp::Ordering::Greater => (Verdict::More, [0.0, p, 0.0]),
        std::cmp::Ordering::Equal => (Verdict::Changed, [0.0, 0.0, p]),
    };
    if let Some(fit) = &mut judged.fit {
        let rest = 1.0 - p;
        *fit = Fit {
            same: rest * fit.same,
            fewer: rest * fit.fewer + relation[0],
            more: rest * fit.more + relation[1],
            changed: rest * fit.changed + relation[2],
        };
    }
    add_count(judged, count, p);
    if p >= CONTRADICTS && matches!(judged.verdict, Some(Verdict::Same | Verdict::Unsure)) {
        judged.verdict = Some(verdict);
    } else if judged.verdict == Some(Verdict::Same) {
        judged.verdict = Some(Verdict::Unsure);
    }
    let line = || "Listen again: was it this word, or another of the list?".to_owned();
    judged.said.get_or_insert_with(line);
}

/// The probabilities of counts with `p` for `count`, and the likeliest.
fn add_count(judged: &mut Judgement, count: usize, p: f32) {
    let counts = &mut judged.count_probabilities;
    counts.iter_mut().for_each(|(_, share)| *share *= 1.0 - p);
    match counts.binary_search_by_key(&count, |(n, _)| *n) {
        Ok(at) => counts[at].1 += p,
        Err(at) => counts.insert(at, (count, p)),
    }
    let likeliest = counts.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    judged.heard = likeliest.map_or(count, |(n, _)| *n);
}
