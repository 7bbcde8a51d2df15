//! What is said to a parent and a child about what was heard. Plain, and never a bare "wrong".

use soundbead_data::chain::{Change, ChangeKind, Place, Unit};
use soundbead_data::inventory;
use soundbead_dsp::judgement::{Judgement, Verdict};

use super::LessonWord;
use super::task::TaskStanding;
use super::work::WordWork;
use crate::{say, wording};

/// How sure the recording's count is, in words.
pub fn sure(judgement: &Judgement) -> &'static str {
    let share = judgement
        .count_probabilities
        .iter()
        .find(|(n, _)| *n == judgement.heard)
        .map_or(0.0, |(_, p)| *p);
    match share {
        // A count alone may be surer than what it means: then the verdict's doubt is the recording's.
        _ if judgement.verdict == Some(Verdict::Unsure) => "not settled",
        p if p >= 0.95 => "sure",
        p if p >= 0.8 => "fairly sure",
        _ => "not sure",
    }
}

/// The next likeliest counts, where any is worth telling.
pub fn others(judgement: &Judgement) -> Option<String> {
    let mut rest: Vec<_> = judgement
        .count_probabilities
        .iter()
        .filter(|(n, p)| *n != judgement.heard && *p >= 0.05)
        .collect();
    rest.sort_by(|a, b| b.1.total_cmp(&a.1));
    let each: Vec<String> = rest.iter().take(2).map(|(n, _)| n.to_string()).collect();
    (!each.is_empty()).then(|| format!("perhaps {}", each.join(" or ")))
}

/// What the recording seems to be, as a line to the parent.
pub fn verdict(judgement: &Judgement) -> &'static str {
    wording::verdict(judgement.verdict.unwrap_or(Verdict::Unsure)).to_parent
}

/// What to listen for, unless all is well.
pub fn listen_for(judgement: &Judgement) -> Option<&str> {
    judgement
        .said
        .as_deref()
        .filter(|_| judgement.verdict != Some(Verdict::Same))
}

/// What is said where another whole word was clearly said.
pub fn sounded_like(other: &str) -> String {
    format!("That sounded like {other}.")
}

/// What is said to the child beside the recording: a hint before the count is settled, praise for what was done after.
/// Nothing tells how many sounds the word has before it was shown.
pub fn to_the_child(word: &LessonWord, work: &WordWork) -> String {
    let said_it = work
        .ruling
        .map(|(verdict, _)| verdict)
        .or(work.latest.as_ref().and_then(|l| l.judgement()?.verdict))
        == Some(Verdict::Same);
    match (work.count.standing(), work.count.right_at_once(), said_it) {
        (TaskStanding::Open, ..) => "Put on a bead for each sound you hear.".into(),
        (TaskStanding::Hint, ..) if work.count.last() != Some(&work.beads) => {
            "Say it slowly with these beads. Then check them.".into()
        }
        (TaskStanding::Hint, ..) => hint(word, work.beads).into(),
        (TaskStanding::Right, true, true) => "Your beads and your voice agree.".into(),
        (TaskStanding::Right, true, false) if work.latest.is_none() => {
            "Your beads fit the word. Say it once, and point at a bead for each sound.".into()
        }
        (TaskStanding::Right, true, false) => "Your beads fit the word. Now listen to yourself once more.".into(),
        (TaskStanding::Right, false, _) => "You listened again, and found it.".into(),
        (TaskStanding::Shown, ..) => {
            let many = say::many(word.count(), "sound");
            format!("This word has {many}. Say it slowly, and point at one bead for each.")
        }
    }
}

/// Where to listen once more, without saying how many sounds there are.
fn hint(word: &LessonWord, beads: usize) -> &'static str {
    let consonant = |unit: Option<&Unit>| unit.is_some_and(|u| u.sounds().all(|s| !s.is_vowel()));
    let units = &word.units;
    let at_start = consonant(units.first()) && consonant(units.get(1));
    let at_end = consonant(units.last()) && consonant(units.len().checked_sub(2).and_then(|i| units.get(i)));
    match (beads < word.count(), at_start, at_end) {
        (true, true, _) => "Say it slowly once more. Is a sound hiding near the start?",
        (true, _, true) => "Say it slowly once more. Is a sound hiding near the end?",
        (true, false, false) => "Say it slowly once more. Is a sound hiding?",
        (false, ..) => "Say it slowly once more. Count what you hear, not the letters.",
    }
}

/// A counted sound in plain letters.
pub fn plain(unit: Unit) -> String {
    let sounds: Vec<_> = unit.sounds().collect();
    match inventory::of_unit(&sounds).filter(|_| sounds.len() > 1) {
        Some(entry) => entry.letters().to_owned(),
        None => sounds.iter().map(|s| inventory::of(*s).letters()).collect(),
    }
}

/// Where a change is: first, middle or last.
pub fn place(place: Place) -> &'static str {
    match place {
        Place::Initial => "first",
        Place::Medial => "middle",
        Place::Final => "last",
    }
}

/// Where something changed, without the sounds: they would give the letters away that are written next.
pub fn changed_where(change: &Change) -> String {
    let place = place(change.place);
    match change.kind {
        ChangeKind::Swap => format!("The {place} sound changed."),
        ChangeKind::Add => format!("A sound was added, {}.", at_the(change.place)),
        ChangeKind::Drop => format!("The {place} sound was dropped."),
    }
}

/// What changed, told.
pub fn changed(change: &Change) -> String {
    let where_ = place(change.place);
    let sound = |unit: Option<Unit>| unit.map(plain).unwrap_or_default();
    match change.kind {
        ChangeKind::Swap => {
            format!(
                "The {where_} sound changed: {} became {}.",
                sound(change.from),
                sound(change.to)
            )
        }
        ChangeKind::Add => format!("A sound was added, {}: {}.", at_the(change.place), sound(change.to)),
        ChangeKind::Drop => format!("The {where_} sound was dropped: {} is gone.", sound(change.from)),
    }
}

fn at_the(place: Place) -> &'static str {
    match place {
        Place::Initial => "at the start",
        Place::Medial => "in the middle",
        Place::Final => "at the end",
    }
}

/// What the child is asked.
pub fn which(change: &Change) -> &'static str {
    match change.kind {
        ChangeKind::Swap => "Which sound changed? Touch its bead.",
        ChangeKind::Add => "A sound is new. Touch its bead on the lower string.",
        ChangeKind::Drop => "A sound is gone. Touch its bead on the upper string.",
    }
}

/// What is said after a first try at it.
pub const WHICH_HINT: &str = "Say both words once more, slowly. Listen to the beginning, the middle and the end.";

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::{Rules, word::Overrides};

    fn said(from: &str, to: &str) -> String {
        let find = |text: &str| LessonWord::find(text, &Overrides::default(), &Rules::default()).unwrap();
        changed(&find(from).change(&find(to)).unwrap())
    }

    /// Common practice, no source: lessons call the places first, middle and last.
    #[test]
    fn a_change_is_told_by_place_and_sounds() {
        assert_eq!(said("pig", "peg"), "The middle sound changed: ih became eh.");
        assert_eq!(said("mud", "mug"), "The last sound changed: d became g.");
        assert_eq!(said("back", "black"), "A sound was added, in the middle: l.");
        assert_eq!(said("black", "lack"), "The first sound was dropped: b is gone.");
        assert_eq!(said("ten", "tent"), "A sound was added, at the end: t.");
    }
}
