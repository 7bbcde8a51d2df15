//! What is said to a parent and a child about what was heard. Plain, and never a bare "wrong".

use soundbead_data::chain::{Change, Kind, Place, Unit};
use soundbead_data::inventory;
use soundbead_dsp::judgement::{Judgement, Verdict};

use super::Word;
use super::work::Work;
use crate::wording;

/// How sure the recording's count is, in words.
pub fn sure(judgement: &Judgement) -> String {
    let share = judgement
        .count_probabilities
        .iter()
        .find(|(n, _)| *n == judgement.heard)
        .map_or(0.0, |(_, p)| *p);
    let word = match share {
        // A count alone may be surer than what it means: then the verdict's doubt is the recording's.
        _ if judgement.verdict == Some(Verdict::Unsure) => "not settled",
        p if p >= 0.95 => "sure",
        p if p >= 0.8 => "fairly sure",
        _ => "not sure",
    };
    format!("{word}, {}", wording::per_cent(share))
}

/// The next likeliest counts, where any is worth telling.
pub fn others(judgement: &Judgement) -> Option<String> {
    let mut rest: Vec<_> = judgement
        .count_probabilities
        .iter()
        .filter(|(n, p)| *n != judgement.heard && *p >= 0.05)
        .collect();
    rest.sort_by(|a, b| b.1.total_cmp(&a.1));
    let each: Vec<String> = rest
        .iter()
        .take(2)
        .map(|(n, p)| format!("{n}: {}", wording::per_cent(*p)))
        .collect();
    (!each.is_empty()).then(|| format!("or {}", each.join(", ")))
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

/// What the three counts have to say to each other, to the child. Nothing is said of it before the recording.
pub fn to_the_child(word: &Word, work: &Work) -> String {
    let (wanted, beads) = (word.count(), work.beads);
    let agrees = work
        .ruling
        .map(|(verdict, _)| verdict)
        .or(work.latest.as_ref().and_then(|l| l.judgement()?.verdict))
        == Some(Verdict::Same);
    match (beads == wanted, agrees) {
        (true, true) => "Your beads and your voice agree.".into(),
        (true, false) => "Your beads fit the word. Now listen to yourself once more.".into(),
        (false, true) => "You said it. Say it slowly, and touch one bead for each sound.".into(),
        (false, false) => "Listen together: touch one bead for each sound you hear.".into(),
    }
}

/// A counted sound in plain letters.
pub fn plain(unit: Unit) -> String {
    let sounds: Vec<_> = unit.sounds().collect();
    match inventory::of_unit(&sounds).filter(|_| sounds.len() > 1) {
        Some(entry) => entry.respelling.clone(),
        None => sounds.iter().map(|s| inventory::of(*s).respelling.as_str()).collect(),
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

/// What changed, told.
pub fn changed(change: &Change) -> String {
    let where_ = place(change.place);
    let sound = |unit: Option<Unit>| unit.map(plain).unwrap_or_default();
    match change.kind {
        Kind::Swap => {
            format!(
                "The {where_} sound changed: {} became {}.",
                sound(change.from),
                sound(change.to)
            )
        }
        Kind::Add => format!("A sound was added, {}: {}.", at_the(change.place), sound(change.to)),
        Kind::Drop => format!("The {where_} sound was dropped: {} is gone.", sound(change.from)),
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
        Kind::Swap => "Which sound changed? Touch its bead.",
        Kind::Add => "A sound is new. Touch its bead on the lower string.",
        Kind::Drop => "A sound is gone. Touch its bead on the upper string.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::{Rules, word::Overrides};

    fn said(from: &str, to: &str) -> String {
        let find = |text: &str| Word::find(text, &Overrides::default(), &Rules::default()).unwrap();
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
