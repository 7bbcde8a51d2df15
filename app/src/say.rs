//! Sounds in writing: IPA and plain letters.

use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;
use soundbead_data::{inventory, lexicon};

use crate::page::Page;

/// The sounds in IPA, without slashes.
fn ipa(said: &Pronunciation) -> String {
    entries(said).map(|e| e.ipa.as_str()).collect()
}

/// The sounds in plain letters with hyphens between.
fn plain(said: &Pronunciation) -> String {
    entries(said)
        .map(|e| e.respelling.as_str())
        .collect::<Vec<_>>()
        .join("-")
}

/// IPA between slashes, then plain letters; the letters alone where IPA cannot be shown.
pub fn both(page: &Page, said: &Pronunciation) -> String {
    if page.unicode {
        format!("/{}/   {}", ipa(said), plain(said))
    } else {
        plain(said)
    }
}

/// A sound's IPA between slashes; nothing where it cannot be shown.
pub fn slashed(page: &Page, entry: &inventory::Entry) -> String {
    if page.unicode {
        format!("/{}/", entry.ipa)
    } else {
        String::new()
    }
}

/// Each sound's entry, the weak form of AH and ER where the sound has no stress.
fn entries(said: &Pronunciation) -> impl Iterator<Item = &'static inventory::Entry> {
    said.sounds().iter().zip(said.stress()).map(|(sound, stress)| {
        let weak = (*stress == 0 && sound.is_vowel())
            .then(|| inventory::find(&format!("{sound}0")))
            .flatten();
        weak.unwrap_or_else(|| inventory::of(*sound))
    })
}

/// The sounds with the word's own stress where the dictionary has them; every vowel strong where it has not.
pub fn with_stress(word: Option<&str>, sounds: &[Sound]) -> Pronunciation {
    let known = word.and_then(lexicon::look_up);
    let variant = known.and_then(|entry| entry.variants().find(|v| v.sounds() == sounds));
    variant.unwrap_or_else(|| Pronunciation::new(sounds.to_vec(), &vec![1; sounds.len()]))
}
