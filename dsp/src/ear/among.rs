//! A word of a list that is being practised, as the words of a chain are: what else was likely said is known.
//!
//! Asked about one word, the ear seldom dares to say that another was said, for that may have been anything. Where the others are
//! known, two words at a time are compared, which it does far better.

use std::cmp::Ordering;
use std::iter::once;

use soundbead_data::Rules;

use super::listen::Evidence;
use super::{Ear, EarError, heard};
use crate::audio::Recording;
use crate::judgement::{Fit, Judgement, Speaking, Target, Verdict};

/// From which probability on another word of the list contradicts the target by itself. This and the next two were chosen on 1,373 right
/// words of 52 training speakers that the networks had not heard, each in ten lists with up to three real words one sound away, so that
/// at most one right word of a child in 200 is contradicted: 0.5 % of the children's are and 0.9 % of the adults'; asked about one of
/// the others, 71 and 67 %.
const CONTRADICTS: f32 = 0.99;
/// From which probability on it does so where the word asked about is unlikely beside all readings, too.
const CONTRADICTS_TOO: f32 = 0.9;
/// From which probability on any other reading contradicts the target, whatever the list says: more than without a list, for a word that
/// was said is likely one of it.
const CONTRADICTS_UNLISTED: f32 = 0.9;
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
        let heard = self.gather(evidence, Some(target), speaking, rules)?;
        let unlike = heard.unlike();
        let mut judged = self.settle(heard, evidence, speaking);
        if speaking == Speaking::Whole
            && let Some((other, p)) = self.likeliest_other(evidence, target, list)
        {
            let count = count_of(other, rules);
            let other = relation(&judged, count);
            if p >= DOUBTFUL {
                weigh_in(&mut judged, count, p);
            }
            let open = unlike >= self.settings.bounds(speaking).contradict;
            decide(&mut judged, other, contradicts(unlike, open, p), p);
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

/// Whether the target is contradicted, where `unlike` is the probability of any other reading and `open` says that it would be enough
/// without a list; `p` is the probability of the likeliest other word of the list, beside the target.
fn contradicts(unlike: f32, open: bool, p: f32) -> bool {
    p >= CONTRADICTS || (open && p >= CONTRADICTS_TOO) || unlike >= CONTRADICTS_UNLISTED
}

/// How many sounds a word has under the rules.
fn count_of(word: &Target, rules: &Rules) -> usize {
    let letters = word.letters.first().map_or(&[][..], Vec::as_slice);
    word.variants
        .first()
        .map_or(0, |sounds| rules.count(sounds, &heard::borrowed(letters)))
}

/// How a word of `count` sounds differs from the target.
fn relation(judged: &Judgement, count: usize) -> Verdict {
    match count.cmp(&judged.expected.unwrap_or(count)) {
        Ordering::Less => Verdict::Fewer,
        Ordering::Greater => Verdict::More,
        Ordering::Equal => Verdict::Changed,
    }
}

/// Gives probability `p` to another word of `count` sounds, and the rest to what was judged.
fn weigh_in(judged: &mut Judgement, count: usize, p: f32) {
    let share = match relation(judged, count) {
        Verdict::Fewer => [p, 0.0, 0.0],
        Verdict::More => [0.0, p, 0.0],
        _ => [0.0, 0.0, p],
    };
    if let Some(fit) = &mut judged.fit {
        let rest = 1.0 - p;
        *fit = Fit {
            same: rest * fit.same,
            fewer: rest * fit.fewer + share[0],
            more: rest * fit.more + share[1],
            changed: rest * fit.changed + share[2],
        };
    }
    add_count(judged, count, p);
}

/// The verdict, where the likeliest other word of the list would be `other` and has the probability `p`.
fn decide(judged: &mut Judgement, other: Verdict, contradicts: bool, p: f32) {
    let told = match judged.verdict {
        Some(Verdict::Same) if p < DOUBTFUL => return,
        Some(Verdict::Same | Verdict::Unsure) if contradicts && p >= DOUBTFUL => other,
        Some(contradicted) if contradicts => contradicted,
        _ => Verdict::Unsure,
    };
    let agrees = judged
        .expected
        .is_none_or(|expected| told.agrees(judged.heard, expected));
    judged.verdict = Some(if agrees { told } else { Verdict::Unsure });
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_a_list_a_word_is_contradicted_only_where_two_agree_or_one_is_sure() {
        for (unlike, open, p, wanted) in [
            (0.1, false, 0.995, true),
            (0.5, false, 0.95, false),
            (0.85, true, 0.95, true),
            (0.85, true, 0.6, false),
            (0.85, true, 0.01, false),
            (0.95, true, 0.01, true),
        ] {
            assert_eq!(contradicts(unlike, open, p), wanted, "{unlike} {open} {p}");
        }
    }

    /// Asked about leaf: three sounds, and what was told of them.
    fn leaf(verdict: Verdict, heard: usize) -> Judgement {
        let written = serde_json::json!({
            "format": 1, "model": null, "speaking": "whole", "expected": 3, "expected_sounds": ["L", "IY", "F"], "heard": heard,
            "count_probabilities": [[heard, 1.0]], "verdict": verdict, "fit": null, "sounds": [], "said": null,
            "quality": { "level_dbfs": -20.0, "snr_db": null, "clipped": false, "speech_s": 0.5, "warnings": [] },
        });
        serde_json::from_value(written).expect("a judgement")
    }

    #[test]
    fn a_list_tells_nothing_that_does_not_go_with_the_count() {
        for (was, heard, other, p, wanted) in [
            (Verdict::Unsure, 2, Verdict::Fewer, 0.995, Verdict::Fewer),
            (Verdict::Same, 2, Verdict::Fewer, 0.995, Verdict::Fewer),
            // Another word of the list has moved the count away from what was told without one.
            (Verdict::Changed, 2, Verdict::Fewer, 0.7, Verdict::Unsure),
            (Verdict::Unsure, 3, Verdict::More, 0.995, Verdict::Unsure),
            // No word of the list is likely, and nothing was told without one.
            (Verdict::Unsure, 2, Verdict::Fewer, 0.2, Verdict::Unsure),
        ] {
            let mut judged = leaf(was, heard);
            decide(&mut judged, other, true, p);
            assert_eq!(judged.verdict, Some(wanted), "{was:?} {heard} {other:?} {p}");
        }
    }
}
