//! Choices of spelling as a parent says them: the title of a lesson, and the same in short.

use soundbead_data::Sound;
use soundbead_data::course::Choice;

use crate::keyed::called;

/// What a lesson on a choice is called. It stands before ", as in" and a word, and before a colon.
pub fn choice_title(choice: Choice) -> &'static str {
    match choice {
        Choice::ShortVowel => "Short vowels",
        Choice::Digraph => "Two letters for one sound (sh, ch, th, wh, ng, ph)",
        Choice::StartCluster => "Consonants together at the start of a word",
        Choice::EndCluster => "Consonants together at the end of a word",
        Choice::LostNasal => "An m or n that is easy to leave out",
        Choice::DoubledEnd => "A double letter at the end (ff, ll, ss, zz)",
        Choice::KSpelling => "The k sound (ck, k or c)",
        Choice::ChSpelling => "The ch sound at the end (tch or ch)",
        Choice::JSpelling => "The j sound (ge, dge or j)",
        Choice::Irregular => "Spellings to learn by heart",
        Choice::SilentE => "Long vowels with a silent e",
        Choice::VowelTeam => "Long vowels in two letters or more",
        Choice::OtherVowel => "Vowels such as ou, oi, au and oo",
        Choice::RVowel => "Vowels before r",
        Choice::SilentLetter => "Consonants that are not heard",
        Choice::SEnding => "The ending -s or -es",
        Choice::EdEnding => "The ending -ed",
        Choice::DropsE => "Dropping the e before an ending",
        Choice::Doubling => "Doubling a letter before an ending",
        Choice::YToI => "Turning y into i before an ending",
        Choice::InnerDouble => "A double letter inside a word",
        Choice::Schwa => "Weak vowels, which do not tell their letter",
        Choice::Prefix => "Beginnings such as un- and re-",
        Choice::Tion => "The ending -tion and others like it",
    }
}

/// The same in a list, without a comma in it: `short e`, `ch`. `sound` is the one of a word at which the choice is made.
pub fn choice_in_short(choice: Choice, sound: Option<Sound>) -> String {
    let own = match (choice, sound) {
        (Choice::ShortVowel, Some(vowel)) => Some(called(vowel)),
        (Choice::Digraph, Some(Sound::DH)) => Some("th".into()),
        (Choice::Digraph, Some(Sound::W | Sound::HH)) => Some("wh".into()),
        (Choice::Digraph, Some(Sound::F)) => Some("ph".into()),
        (Choice::Digraph, Some(other)) => Some(called(other)),
        (Choice::VowelTeam, Some(vowel)) => Some(format!("{} in two letters", called(vowel))),
        (Choice::OtherVowel, Some(Sound::AW)) => Some("ou or ow".into()),
        (Choice::OtherVowel, Some(Sound::OY)) => Some("oi or oy".into()),
        (Choice::OtherVowel, Some(Sound::AO)) => Some("au or aw".into()),
        (Choice::OtherVowel, Some(Sound::UW | Sound::UH)) => Some("oo".into()),
        _ => None,
    };
    own.unwrap_or_else(|| without_sound(choice).into())
}

fn without_sound(choice: Choice) -> &'static str {
    match choice {
        Choice::ShortVowel => "short vowels",
        Choice::Digraph => "two letters for one sound",
        Choice::StartCluster => "consonants together at the start",
        Choice::EndCluster => "consonants together at the end",
        Choice::LostNasal => "m or n before a consonant",
        Choice::DoubledEnd => "a double letter at the end",
        Choice::KSpelling => "ck or k",
        Choice::ChSpelling => "tch or ch",
        Choice::JSpelling => "ge or dge",
        Choice::Irregular => "spellings to learn by heart",
        Choice::SilentE => "silent e",
        Choice::VowelTeam => "long vowels in two letters",
        Choice::OtherVowel => "vowels such as ou and oi",
        Choice::RVowel => "vowels before r",
        Choice::SilentLetter => "consonants that are not heard",
        Choice::SEnding => "-s or -es",
        Choice::EdEnding => "-ed",
        Choice::DropsE => "dropping the e",
        Choice::Doubling => "doubling a letter",
        Choice::YToI => "y into i",
        Choice::InnerDouble => "a double letter inside",
        Choice::Schwa => "weak vowels",
        Choice::Prefix => "un- and re-",
        Choice::Tion => "-tion",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// A parent has no words of the trade, and a title stands before a colon on the opening.
    #[test]
    fn a_lessons_name_needs_no_word_of_the_trade_and_has_no_colon() {
        let titles: BTreeSet<&str> = Choice::ALL.iter().map(|choice| choice_title(*choice)).collect();
        assert_eq!(titles.len(), Choice::ALL.len(), "each has its own");
        for title in titles {
            assert!(!title.contains(':'), "{title}");
            for trade in [
                "kin",
                "prefix",
                "digraph",
                "schwa",
                "known by heart",
                "nasal",
                "cluster",
            ] {
                assert!(!title.to_lowercase().contains(trade), "{title}");
            }
        }
    }

    #[test]
    fn in_a_list_every_choice_is_one_thing_with_any_sound_and_without() {
        for choice in Choice::ALL {
            for sound in std::iter::once(None).chain(Sound::all().map(Some)) {
                let short = choice_in_short(*choice, sound);
                assert!(!short.is_empty() && !short.contains(','), "{short}");
            }
        }
        assert_eq!(choice_in_short(Choice::ShortVowel, Some(Sound::EH)), "short e");
        assert_eq!(choice_in_short(Choice::Digraph, Some(Sound::CH)), "ch");
        assert_eq!(choice_in_short(Choice::Digraph, Some(Sound::TH)), "th");
    }
}
