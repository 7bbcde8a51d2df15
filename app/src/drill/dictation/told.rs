//! What a child's writing shows, told to the parent in plain words: what is there first, then what to look at. No word of it
//! calls a child wrong.

use soundbead_data::inventory;
use soundbead_data::word::{self, Overrides, Source};
use soundbead_data::writing::{self, BrokenPart, Finding, SpellingAnalysis, WrittenSound};

/// What is told of one word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToldWord {
    /// The word, as it is spelled.
    pub word: String,
    /// Whether it was written with the word's own letters throughout.
    pub right: bool,
    /// One line.
    pub line: String,
}

/// Reads what was written for a word.
pub fn told(asked: &str, wrote: &str, overrides: &Overrides) -> ToldWord {
    let word = asked.trim().to_lowercase();
    let plain = |line: String| ToldWord {
        word: word.clone(),
        right: false,
        line,
    };
    let Ok(found) = word::find(asked, overrides) else {
        return plain("This is no word that can be read; it is kept as it was written.".into());
    };
    if found.source == Source::Guess {
        return plain(format!(
            "\"{word}\" is not in the dictionary, so nothing is said of it. It is kept as it was written."
        ));
    }
    match writing::read(&found, wrote) {
        Ok(reading) => ToldWord {
            right: reading.right(),
            line: line(&reading),
            word,
        },
        Err(e) => plain(format!("It is kept as it was written, but cannot be read: {e}.")),
    }
}

/// One line on a reading.
pub fn line(reading: &SpellingAnalysis) -> String {
    if reading.right() {
        return "The word's own letters.".into();
    }
    let mut said: Vec<String> = Vec::new();
    if reading.represented() == reading.of() {
        said.push("Every sound is there.".into());
    }
    said.extend(reading.sounds.iter().filter_map(of_sound));
    said.extend(
        reading
            .added
            .iter()
            .map(|a| format!("\"{}\" stands for no sound of it.", a.wrote)),
    );
    said.extend(reading.parts.iter().filter_map(of_part));
    if said.is_empty() {
        said.push("It is written in another way.".into());
    }
    said.join(" ")
}

/// A sound that was not written with the word's own letters.
fn of_sound(w: &WrittenSound) -> Option<String> {
    let sound = &inventory::of(w.sound).respelling;
    let (own, wrote) = (w.letters.replace('_', "-"), &w.wrote);
    Some(match w.finding {
        Finding::Kept => return None,
        Finding::Omitted => format!("The {sound} sound ({own}) was left out."),
        Finding::SpelledOtherwise { fits_here: true } => {
            format!("{sound} is \"{wrote}\" here, as other words spell it; this word has \"{own}\".")
        }
        Finding::SpelledOtherwise { fits_here: false } => {
            format!("{sound} is \"{wrote}\" here; that spells it in other places. This word has \"{own}\".")
        }
        Finding::NearSound => {
            format!("{sound} (\"{own}\") became \"{wrote}\", a sound close to it: listen for the two together.")
        }
        Finding::OtherSound => format!("For {sound} (\"{own}\") stands \"{wrote}\"."),
        Finding::Swapped => format!("The letters of {sound} (\"{own}\") are there in another order: \"{wrote}\"."),
    })
}

/// What of the word's build is worth saying besides.
fn of_part(part: &BrokenPart) -> Option<String> {
    Some(match part {
        BrokenPart::Ending(form) => format!("Look at the ending {form}."),
        BrokenPart::Prefix(form) => format!("Look at the opening {form}."),
        BrokenPart::Doubling => "Does the last letter double before the ending?".into(),
        BrokenPart::DropsE => "Does the e go before the ending?".into(),
        BrokenPart::YToI => "Does the y become i before the ending?".into(),
        BrokenPart::Homophone => "It is another word that sounds the same.".into(),
        BrokenPart::AfterShortVowel(letters) => format!("After a short vowel: {letters}."),
        BrokenPart::Silent(letters) => format!("A silent letter in {letters}."),
        BrokenPart::Irregular(letters) => format!("{letters} is known by heart."),
        BrokenPart::Apart => "It is written as two words.".into(),
        BrokenPart::Base | BrokenPart::Cluster => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(word: &str, wrote: &str) -> ToldWord {
        told(word, wrote, &Overrides::default())
    }

    #[test]
    fn what_is_there_comes_first_and_no_word_says_wrong() {
        let brige = of("bridge", "brige");
        assert!(brige.line.starts_with("Every sound is there."), "{}", brige.line);
        assert!(brige.line.contains("dge") && !brige.right);
        let lad = of("land", "lad");
        assert!(lad.line.contains("n sound (n) was left out"), "{}", lad.line);
        assert!(!lad.line.contains("Every sound"));
        for told in [
            brige,
            lad,
            of("pig", "peg"),
            of("friend", "freind"),
            of("hopped", "hoped"),
        ] {
            assert!(
                !told.line.to_lowercase().contains("wrong") && !told.line.contains('\n'),
                "{}",
                told.line
            );
        }
        assert!(of("duck", "Duck").right);
    }

    #[test]
    fn what_cannot_be_read_is_said_and_kept() {
        for (word, wrote) in [("snorbled", "snorbeld"), ("duck", "7"), ("", "x")] {
            assert!(
                of(word, wrote).line.contains("kept as it was written"),
                "{word} {wrote}"
            );
        }
    }
}
