//! Key words, each with the letters that spell the sound marked.

use egui::text::{LayoutJob, TextFormat};
use egui::{Stroke, Ui};
use soundbead_data::inventory::{SoundEntry, Stress};
use soundbead_data::{lexicon, spelling};

use crate::ui::parts;
use crate::ui::theme::{self, palette};

/// The words by the place of the sound in them.
pub fn show(ui: &mut Ui, entry: &SoundEntry) {
    let places = [
        ("starts", &entry.words.initial),
        ("inside", &entry.words.medial),
        ("ends", &entry.words.final_),
    ];
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 22.0;
        for (place, word) in places {
            let Some(word) = word else { continue };
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                parts::note(ui, place);
                ui.label(marked(ui, entry, word));
            });
        }
    });
}

/// The word with the sound's letters bold and underlined.
fn marked(ui: &Ui, entry: &SoundEntry, word: &str) -> LayoutJob {
    let p = palette(ui);
    let on = TextFormat {
        font_id: theme::bold_font(20.0),
        color: p.lead,
        underline: Stroke::new(2.0, p.lead),
        ..TextFormat::default()
    };
    let off = TextFormat::simple(theme::font(20.0), p.ink);
    let marks = letters_of(entry, word);
    let mut job = LayoutJob::default();
    for (i, c) in word.char_indices() {
        let format = if marks.get(i) == Some(&true) { &on } else { &off };
        job.append(c.encode_utf8(&mut [0; 4]), 0.0, format.clone());
    }
    job
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
    use soundbead_data::inventory;

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
