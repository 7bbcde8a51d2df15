//! What a misspelling shows, in plain sentences with plain letters for the sounds: one wording for the window, the report and the
//! command line. What is there comes first, and no word of it calls a child wrong.
//!
//! ```
//! use soundbead::wording::misspelling;
//! use soundbead_data::word::{self, Overrides};
//! use soundbead_data::writing;
//!
//! let hill = word::find("hill", &Overrides::default())?;
//! let reading = writing::read(&hill, "hil")?;
//! assert!(misspelling::line(&reading).starts_with("Every sound is there."));
//! assert_eq!(misspelling::short(&reading), "l: l for ll");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use soundbead_data::Sound;
use soundbead_data::inventory;
use soundbead_data::writing::{AddedLetters, BrokenPart, Finding, SpellingAnalysis, WrittenSound};

/// One thing that a misspelling shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flaw {
    /// By which the same is known in other words.
    pub kind: String,
    /// A sentence, after one on how much of the word is there.
    pub says: String,
    /// The sentence alone.
    pub alone: String,
}

/// All that a misspelling shows, a sentence each: what of the word is there, then each sound, then the word's build.
pub fn line(reading: &SpellingAnalysis) -> String {
    if reading.right() {
        return "The word's own letters.".into();
    }
    let sounds = reading.sounds.iter().filter_map(of_sound);
    let added = reading.added.iter().map(of_added);
    // That one of two consonants is missing was said at its sound.
    let parts = reading.parts.iter().filter(|part| **part != BrokenPart::Cluster);
    let parts = parts.filter_map(|part| of_part(part, reading));
    let flaws: Vec<String> = sounds.chain(added).chain(parts).collect();
    match flaws.is_empty() {
        true => format!("{} It is written in another way.", sounds_there(reading)),
        false => format!("{} {}", sounds_there(reading), flaws.join(" ")),
    }
}

/// Each thing that a misspelling shows by itself, with how much of the word is there. Parts of the word go before single sounds.
pub fn flaws(reading: &SpellingAnalysis) -> Vec<Flaw> {
    let there = sounds_there(reading);
    let parts = reading
        .parts
        .iter()
        .filter_map(|part| Some((part.to_string(), of_part(part, reading)?)));
    let sounds = reading.sounds.iter().filter_map(|written| {
        let kind = format!("{} {} {}", written.finding, written.sound, written.letters);
        Some((kind, of_sound(written)?))
    });
    let added = reading
        .added
        .iter()
        .map(|added| (format!("added {}", added.wrote), of_added(added)));
    let all = parts.chain(sounds).chain(added);
    all.map(|(kind, alone)| Flaw {
        kind,
        says: format!("{there} {alone}"),
        alone,
    })
    .collect()
}

/// In the fewest signs, for a row of a list: `j: ge for dge; n left out`.
pub fn short(reading: &SpellingAnalysis) -> String {
    if reading.right() {
        return "right".into();
    }
    let strayed = reading.sounds.iter().filter(|w| w.finding != Finding::Kept);
    let sounds = strayed.map(|w| match w.finding {
        Finding::Omitted => format!("{} left out", plain(w.sound)),
        _ => format!("{}: {} for {}", plain(w.sound), w.wrote, shown(&w.letters)),
    });
    let added = reading.added.iter().map(|a| format!("{} added", a.wrote));
    let all: Vec<String> = sounds.chain(added).collect();
    match all.is_empty() {
        true => "written in another way".into(),
        false => all.join("; "),
    }
}

/// What stands for a sound, after *is written*: `ge, as in other words, but not in such a place`.
pub fn letters(written: &WrittenSound) -> String {
    let wrote = shown(&written.wrote);
    match written.finding {
        Finding::Kept => "its own letters".into(),
        Finding::Omitted => "left out".into(),
        Finding::SpelledOtherwise { fits_here: true } => format!("{wrote}, as in other words in such a place"),
        Finding::SpelledOtherwise { fits_here: false } => {
            format!("{wrote}, as in other words, but not in such a place")
        }
        Finding::NearSound => format!("{wrote}, which spells a sound close to it"),
        Finding::OtherSound => format!("{wrote}, which spells another sound"),
        Finding::Swapped => format!("{wrote}: its letters in another order"),
    }
}

/// What is looked for in writing: a finding at a sound, or letters that stand for none.
pub const LOOKED_FOR: [(Option<Finding>, &str); 7] = [
    (Some(Finding::Kept), "its own letters"),
    (Some(Finding::Omitted), "a sound left out"),
    (
        Some(Finding::SpelledOtherwise { fits_here: false }),
        "letters as in other words",
    ),
    (Some(Finding::NearSound), "letters of a close sound"),
    (Some(Finding::OtherSound), "letters of another sound"),
    (Some(Finding::Swapped), "letters in another order"),
    (None, "letters for no sound"),
];

/// How much of the word is there.
pub fn sounds_there(reading: &SpellingAnalysis) -> String {
    match (reading.represented(), reading.of()) {
        (there, of) if there == of => "Every sound is there.".to_owned(),
        (there, of) => format!("{there} of {of} sounds are there."),
    }
}

/// What a broken part of the word shows, a sentence; none for the base, of which its sounds say more.
pub fn of_part(part: &BrokenPart, reading: &SpellingAnalysis) -> Option<String> {
    Some(match part {
        BrokenPart::Base => return None,
        BrokenPart::Ending(form) => format!("The ending {form} is not written with its own letters."),
        BrokenPart::Prefix(form) => format!("The prefix {form} is not written with its own letters."),
        BrokenPart::Doubling if strayed(reading, |w| doubled(&w.letters)) => {
            "The last letter is doubled before this ending.".into()
        }
        BrokenPart::Doubling => "The last letter is not doubled before this ending.".into(),
        BrokenPart::DropsE if strayed(reading, |w| doubled(&w.wrote)) => {
            "The silent e goes before this ending, and the letter before it stays single.".into()
        }
        BrokenPart::DropsE => "The silent e goes before this ending.".into(),
        BrokenPart::YToI => "The y becomes i before this ending.".into(),
        BrokenPart::Homophone => format!("{} is another word that sounds the same.", reading.wrote),
        BrokenPart::AfterShortVowel(letters) => format!("After a short vowel this sound is spelled {letters}."),
        BrokenPart::Silent(letters) => format!("A letter of {letters} is silent and has to be known."),
        BrokenPart::Irregular(letters) => {
            format!(
                "{} spells this sound in few words and has to be known by heart.",
                shown(letters)
            )
        }
        BrokenPart::Cluster => "One of two consonants side by side was left out.".into(),
        BrokenPart::Apart => "It is written as two words.".into(),
    })
}

/// Whether some sound without its own letters is such.
fn strayed(reading: &SpellingAnalysis, such: impl Fn(&WrittenSound) -> bool) -> bool {
    reading.sounds.iter().any(|w| w.finding != Finding::Kept && such(w))
}

fn doubled(letters: &str) -> bool {
    matches!(letters.as_bytes(), [a, b] if a == b)
}

/// A sound that was not written with the word's own letters.
fn of_sound(written: &WrittenSound) -> Option<String> {
    let head = format!("The {} sound ({})", plain(written.sound), shown(&written.letters));
    Some(match written.finding {
        Finding::Kept => return None,
        Finding::Omitted => format!("{head} was left out."),
        Finding::NearSound => format!("{head} is written {}: listen for the two together.", letters(written)),
        _ => format!("{head} is written {}.", letters(written)),
    })
}

fn of_added(added: &AddedLetters) -> String {
    format!("{} stands for no sound of the word.", added.wrote)
}

/// A sound in plain letters.
fn plain(sound: Sound) -> &'static str {
    inventory::of(sound).shown()
}

/// A split vowel as parents know it: `a-e`.
fn shown(letters: &str) -> String {
    letters.replace('_', "-")
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::word::{self, Overrides};
    use soundbead_data::writing;

    fn read(word: &str, wrote: &str) -> SpellingAnalysis {
        writing::read(&word::find(word, &Overrides::default()).unwrap(), wrote).unwrap()
    }

    #[test]
    fn what_is_there_comes_first_in_plain_letters_and_nothing_is_called_wrong() {
        for (word, wrote, there, says) in [
            (
                "bridge",
                "brige",
                "Every sound is there.",
                "The j sound (dge) is written ge, as in other words, but not in such a place. After a short vowel",
            ),
            (
                "land",
                "lad",
                "3 of 4 sounds are there.",
                "The n sound (n) was left out.",
            ),
            ("cake", "cak", "Every sound is there.", "(a-e)"),
            (
                "pig",
                "peg",
                "Every sound is there.",
                "which spells a sound close to it",
            ),
            (
                "friend",
                "freind",
                "Every sound is there.",
                "its letters in another order",
            ),
            (
                "pig",
                "pixg",
                "Every sound is there.",
                "x stands for no sound of the word.",
            ),
            ("duck", "Duck", "", "The word's own letters."),
        ] {
            let line = line(&read(word, wrote));
            assert!(line.starts_with(there) && line.contains(says), "{wrote}: {line}");
            assert!(
                !line.to_lowercase().contains("wrong") && !line.contains(['/', '_', '\n']),
                "{line}"
            );
        }
    }

    /// Whether the letter doubles is told of the word, however much else was written or left out.
    #[test]
    fn what_happens_at_a_join_is_told_of_the_word() {
        for (word, wrote, says) in [
            ("hopping", "hoping", "is doubled before this ending"),
            ("hoping", "hopping", "stays single"),
            ("making", "makeing", "The silent e goes before this ending."),
            ("jumping", "jummping", ""),
            ("babies", "babys", "y becomes i"),
        ] {
            let line = line(&read(word, wrote));
            assert!(line.contains(says), "{wrote}: {line}");
        }
        assert!(!line(&read("hopping", "hoping")).contains("not doubled"));
    }

    #[test]
    fn a_row_says_it_in_few_signs() {
        for (word, wrote, says) in [
            ("bridge", "brige", "j: ge for dge"),
            ("land", "lad", "n left out"),
            ("pig", "pixg", "x added"),
            ("pig", "pig", "right"),
        ] {
            assert_eq!(short(&read(word, wrote)), says);
        }
    }
}
