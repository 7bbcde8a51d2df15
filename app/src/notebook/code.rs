//! Small closed sets as the database keeps them: as numbers, which are places in the sets' own lists, and as text.

use soundbead_data::Sound;
use soundbead_dsp::judgement::{Speaking, Verdict};

/// A verdict's number: its place in [`Verdict::ALL`].
pub fn of_verdict(verdict: Verdict) -> i64 {
    Verdict::ALL.iter().position(|v| *v == verdict).map_or(0, |i| i as i64)
}

/// The verdict of a number.
pub fn verdict(number: i64) -> Option<Verdict> {
    usize::try_from(number).ok().and_then(|i| Verdict::ALL.get(i)).copied()
}

/// A way of speaking's number: its place in [`Speaking::ALL`].
pub fn of_way(way: Speaking) -> i64 {
    Speaking::ALL
        .iter()
        .position(|(w, _)| *w == way)
        .map_or(0, |i| i as i64)
}

/// The way of speaking of a number.
pub fn way(number: i64) -> Option<Speaking> {
    let known = usize::try_from(number).ok().and_then(|i| Speaking::ALL.get(i));
    known.map(|(way, _)| *way)
}

/// Sounds as text: ARPAbet names with a space between.
pub fn of_sounds(sounds: &[Sound]) -> String {
    crate::answer::names(sounds).join(" ")
}

/// Sounds from text; an error is one line.
///
/// # Errors
/// One line when a name is no sound.
pub fn sounds(text: &str) -> Result<Vec<Sound>, String> {
    let names = text.split(' ').filter(|n| !n.is_empty());
    names.map(|n| n.parse::<Sound>().map_err(|e| e.to_string())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers are in families' notebooks.
    #[test]
    fn every_number_means_one_thing_for_ever() {
        let verdicts = [
            (0, Verdict::Same),
            (1, Verdict::Fewer),
            (2, Verdict::More),
            (3, Verdict::Changed),
            (4, Verdict::Unsure),
        ];
        assert!(
            verdicts
                .iter()
                .all(|(n, v)| verdict(*n) == Some(*v) && of_verdict(*v) == *n)
        );
        let ways = [(0, Speaking::Whole), (1, Speaking::Stretched), (2, Speaking::Separate)];
        assert!(ways.iter().all(|(n, w)| way(*n) == Some(*w) && of_way(*w) == *n));
        assert_eq!((verdict(5), way(-1), way(3)), (None, None, None));
    }
}
