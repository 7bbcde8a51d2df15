//! What an attempt may be.

use soundbead_dsp::judgement::Judgement;

use super::super::bounds::{CheckResult, few, short};
use super::{Attempt, Edits};

/// Whether an attempt can be kept, with what the ear found in it.
pub fn attempt(a: &Attempt, judgement: Option<&Judgement>) -> CheckResult {
    if a.word.trim().is_empty() || a.sounds.is_empty() {
        return Err("it has no word, or no sounds".into());
    }
    short("the word", &a.word)?;
    short("the word before", a.before.as_deref().unwrap_or_default())?;
    short("the model's name", &a.model)?;
    few("sounds", a.sounds.len())?;
    few("expected sounds", a.expected.into())?;
    judgement.map_or(Ok(()), found)?;
    edits(&a.edits)
}

fn found(judgement: &Judgement) -> CheckResult {
    short(
        "the line on where to listen",
        judgement.said.as_deref().unwrap_or_default(),
    )?;
    few("heard sounds", judgement.heard)?;
    few("sounds that were asked for", judgement.expected_sounds.len())?;
    few("counts", judgement.count_probabilities.len())?;
    few("placed sounds", judgement.sounds.len())
}

/// Whether what people add to an attempt can be kept.
pub fn edits(edits: &Edits) -> CheckResult {
    for letters in [&edits.letters, &edits.after.letters] {
        few("letters", letters.len())?;
        letters.iter().try_for_each(|l| short("letters", l))?;
    }
    for count in [edits.child, edits.after.child] {
        few("counters", count.unwrap_or(0).into())?;
    }
    for pointed in [&edits.pointed, &edits.after.pointed] {
        few("the counter pointed at", pointed.as_ref().map_or(0, |p| p.at.into()))?;
    }
    few("answers that were shown", edits.after.shown.len())?;
    few("rulings", edits.rulings.len().max(edits.taken_back.len()))?;
    let told = edits.rulings.iter().map(|r| r.sounds.len());
    few("sounds of the ruling", told.max().unwrap_or(0))
}
