//! What a misspelling shows, in plain sentences.

use soundbead_data::Sound;
use soundbead_data::inventory;
use soundbead_data::writing::{BrokenPart, Finding, SpellingAnalysis, WrittenSound};

/// What fails in a misspelling: for each thing its kind, by which the same is known in other words, and a sentence. Parts of the word
/// go before single sounds.
pub fn flaws(reading: &SpellingAnalysis) -> Vec<(String, String)> {
    let there = sounds_there(reading);
    let parts = reading
        .parts
        .iter()
        .filter_map(|part| Some((part.to_string(), of_part(part, reading)?)));
    let sounds = reading.sounds.iter().filter_map(of_sound);
    let added = reading.added.iter().map(|added| {
        let letters = &added.wrote;
        (
            format!("added {letters}"),
            format!("{letters} stands for no sound of the word"),
        )
    });
    let all = parts.chain(sounds).chain(added);
    all.map(|(kind, says)| (kind, format!("{there}; {says}."))).collect()
}

/// How much of the word is there: the good first.
fn sounds_there(reading: &SpellingAnalysis) -> String {
    match (reading.represented(), reading.of()) {
        (there, of) if there == of => "Every sound is there".to_owned(),
        (there, of) => format!("{there} of {of} sounds are there"),
    }
}

/// What a broken part of the word shows; none for the base, of which its sounds say more.
fn of_part(part: &BrokenPart, reading: &SpellingAnalysis) -> Option<String> {
    Some(match part {
        BrokenPart::Base => return None,
        BrokenPart::Ending(form) => format!("the ending {form} is not written with its own letters"),
        BrokenPart::Prefix(form) => format!("the prefix {form} is not written with its own letters"),
        BrokenPart::Doubling if reading.wrote.len() < reading.word.len() => {
            "the last letter is doubled before this ending".to_owned()
        }
        BrokenPart::Doubling => "the last letter is not doubled before this ending".to_owned(),
        BrokenPart::DropsE if reading.wrote.len() > reading.word.len() => {
            "the silent e goes before this ending".to_owned()
        }
        BrokenPart::DropsE => "the silent e matters before this ending".to_owned(),
        BrokenPart::YToI => "whether y becomes i before this ending".to_owned(),
        BrokenPart::Homophone => format!("{} is another word that is said the same", reading.wrote),
        BrokenPart::AfterShortVowel(letters) => format!("after a short vowel this sound is spelled {letters}"),
        BrokenPart::Silent(letters) => format!("a letter of {letters} is silent and has to be known"),
        BrokenPart::Irregular(letters) => {
            format!("{letters} spells this sound in few words and has to be known by heart")
        }
        BrokenPart::Cluster => "one of two consonants side by side was left out".to_owned(),
        BrokenPart::Apart => "one word was written as two".to_owned(),
    })
}

/// What was written for one sound shows; none where it has the word's own letters.
fn of_sound(written: &WrittenSound) -> Option<(String, String)> {
    let (sound, wrote, own) = (signs(written.sound), &written.wrote, &written.letters);
    let name = written.finding.name();
    let says = match written.finding {
        Finding::Kept => return None,
        Finding::Omitted => format!("nothing was written for the sound {sound}"),
        Finding::SpelledOtherwise { fits_here: true } => {
            format!("the sound {sound} is written {wrote}, as in other words in such a place; here it is {own}")
        }
        Finding::SpelledOtherwise { fits_here: false } => {
            format!(
                "the sound {sound} is written {wrote}, as in other words, but not in such a place; here it is {own}"
            )
        }
        Finding::NearSound => format!("{wrote} is written for {sound}, a sound for which it is often taken"),
        Finding::OtherSound => format!("{wrote} is written for {sound}, and spells another sound"),
        Finding::Swapped => format!("{wrote} has the right letters in another order; here it is {own}"),
    };
    Some((format!("{name} {sound} {own}"), says))
}

/// A sound between slashes.
fn signs(sound: Sound) -> String {
    format!("/{}/", inventory::of(sound).ipa)
}
