//! Key words of sounds: which word stands for a sound, and which of its letters spell it.

use soundbead_data::chain::Unit;
use soundbead_data::inventory::{Features, SoundEntry, Stress};
use soundbead_data::{Sound, inventory, lexicon, spelling};

/// Short vowels by the letter that names them.
pub const SHORT: [(&str, Sound); 5] = [
    ("a", Sound::AE),
    ("e", Sound::EH),
    ("i", Sound::IH),
    ("o", Sound::AA),
    ("u", Sound::AH),
];
/// Long vowels by the letter that names them.
pub const LONG: [(&str, Sound); 5] = [
    ("a", Sound::EY),
    ("e", Sound::IY),
    ("i", Sound::AY),
    ("o", Sound::OW),
    ("u", Sound::UW),
];

/// What a sound is called in plain words: `short e`, `long a`, or its plain letters.
pub fn called(sound: Sound) -> String {
    let of = |named: [(&str, Sound); 5]| {
        let found = named.iter().find(|(_, s)| *s == sound);
        found.map(|(letter, _)| letter.to_string())
    };
    match (of(SHORT), of(LONG)) {
        (Some(letter), _) => format!("short {letter}"),
        (_, Some(letter)) => format!("long {letter}"),
        _ => inventory::of(sound).shown().to_owned(),
    }
}

/// The plainest word with the sound: a consonant at its start, a vowel inside, where it can stand there.
pub fn key_word(entry: &SoundEntry) -> &str {
    let words = &entry.words;
    let all = match entry.features {
        Features::Vowel(_) => [&words.medial, &words.final_, &words.initial],
        Features::Consonant(_) => [&words.initial, &words.final_, &words.medial],
    };
    all.into_iter().find_map(|w| w.as_deref()).unwrap_or("")
}

/// The word in pieces, each with whether it spells the sound.
pub fn pieces(entry: &SoundEntry, word: &str) -> Vec<(String, bool)> {
    let marks = letters_of(entry, word);
    let mut pieces: Vec<(String, bool)> = Vec::new();
    for (at, letter) in word.char_indices() {
        let own = marks.get(at) == Some(&true);
        match pieces.last_mut() {
            Some((text, same)) if *same == own => text.push(letter),
            _ => pieces.push((letter.to_string(), own)),
        }
    }
    pieces
}

/// A counted sound for people: its plain letters with its key word, `sh (ship)`.
pub fn unit_name(unit: Unit) -> String {
    let sounds: Vec<Sound> = unit.sounds().collect();
    match inventory::of_unit(&sounds) {
        Some(entry) => format!("{} ({})", entry.letters(), key_word(entry)),
        None => sounds
            .iter()
            .map(|s| inventory::of(*s).letters())
            .collect::<Vec<_>>()
            .join("-"),
    }
}

/// For each letter whether it spells the sound; empty where that is not known.
pub fn letters_of(entry: &SoundEntry, word: &str) -> Vec<bool> {
    let wanted = entry.arpabet.sounds();
    let weak = entry.arpabet.stress().map(|s| s == Stress::Weak);
    let Some(known) = lexicon::look_up(word) else {
        return Vec::new();
    };
    for said in known.variants() {
        let fits = |at: usize| weak.is_none_or(|weak| (said.stress()[at] == 0) == weak);
        let at = said.sounds().windows(wanted.len()).enumerate();
        let Some(at) = at.filter(|(i, w)| *w == wanted && fits(*i)).map(|(i, _)| i).next() else {
            continue;
        };
        let Some(boxes) = spelling::boxes(word, said.sounds()) else {
            continue;
        };
        return mark(word, &boxes, at..at + wanted.len());
    }
    Vec::new()
}

/// Goes along the word with its boxes; the e of a split vowel belongs to its vowel.
fn mark(word: &str, boxes: &[spelling::LetterBox], sounds: std::ops::Range<usize>) -> Vec<bool> {
    let mut marks = vec![false; word.len()];
    let (mut at, mut owed) = (0, None::<(bool, usize)>);
    for one in boxes {
        let on = one.sounds.start < sounds.end && sounds.start < one.sounds.end;
        let (own, split) = match one.letters.split_once('_') {
            Some((own, rest)) => (own.len(), rest.len()),
            None => (one.letters.len(), 0),
        };
        let end = (at + own).min(marks.len());
        marks[at..end].fill(on);
        at = end;
        // The split e comes after the consonant that follows.
        if let Some((on, len)) = owed.take() {
            let end = (at + len).min(marks.len());
            marks[at..end].fill(on);
            at = end;
        }
        if split > 0 {
            owed = Some((on, split));
        }
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(arpabet: &str, word: &str) -> String {
        let entry = inventory::find(arpabet).expect("in the inventory");
        let marks = letters_of(entry, word);
        let on = word.char_indices().filter(|(i, _)| marks.get(*i) == Some(&true));
        on.map(|(_, c)| c).collect()
    }

    /// Common practice, no source: which letters spell which sound.
    #[test]
    fn the_letters_that_spell_the_sound_are_marked() {
        for (arpabet, word, letters) in [
            ("IY", "feet", "ee"),
            ("EY", "cake", "ae"),
            ("AA R", "farm", "ar"),
            ("CH", "teacher", "ch"),
            ("AH0", "sofa", "a"),
            ("ER0", "water", "er"),
            ("K", "chicken", "ck"),
            ("DH", "smooth", "th"),
        ] {
            assert_eq!(marked(arpabet, word), letters, "{word}");
        }
    }

    /// Every key word of the inventory shows where its sound is.
    #[test]
    fn every_key_word_is_marked() {
        for entry in inventory::all() {
            let words = [&entry.words.initial, &entry.words.medial, &entry.words.final_];
            for word in words.into_iter().flatten() {
                assert!(letters_of(entry, word).contains(&true), "{} in {word}", entry.ipa);
            }
        }
    }
}
