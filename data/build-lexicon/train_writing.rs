//! Counts how the dictionary spells each sound, by place: writes data/tables/writing.tsv.
//!
//!     cargo run --release -p soundbead-data --example train_writing
//!
//! Common words only (Zipf 3 and more, about 26,000 pronunciations): in rare names nearly every letter spells nearly every sound.
//! Each pronunciation that the sound boxes can divide gives one count to each of its boxes in its place.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use soundbead_data::lexicon::{self, Pronunciation};
use soundbead_data::spelling::{self, LetterBox};
use soundbead_data::writing::place::SoundContext;

/// Words seldomer than this teach nothing: 3 is once in a million words.
const ZIPF: f32 = 3.0;

type Counts = BTreeMap<(String, String), BTreeMap<SoundContext, u32>>;

fn main() {
    let mut counts = Counts::new();
    for entry in lexicon::words().filter(|e| e.zipf() >= ZIPF) {
        for said in entry.variants() {
            if let Some(boxes) = spelling::boxes(entry.spelling(), said.sounds()) {
                count(&said, &boxes, &mut counts);
            }
        }
    }
    let table = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables/writing.tsv");
    std::fs::write(table, write_table(&counts)).expect("writing.tsv");
}

/// Adds the boxes of one word.
fn count(said: &Pronunciation, boxes: &[LetterBox], counts: &mut Counts) {
    for (at, held) in boxes.iter().enumerate() {
        let split_before = at > 0 && boxes[at - 1].letters.contains('_');
        let next = if split_before {
            Some(b'e')
        } else {
            boxes
                .get(at + 1)
                .and_then(|b| b.letters.bytes().find(u8::is_ascii_lowercase))
        };
        let place = SoundContext::of(said, held.sounds.start, held.sounds.end, next);
        let letters = held.letters.replace(['\'', '-'], "");
        let sounds: Vec<&str> = said.sounds()[held.sounds.clone()].iter().map(|s| s.arpabet()).collect();
        let words = counts.entry((letters, sounds.join(" "))).or_default();
        *words.entry(place).or_default() += 1;
    }
}

fn write_table(counts: &Counts) -> String {
    let mut text = String::from(
        "# Made by data/build-lexicon/train_writing.rs from the dictionary; do not edit by hand.\n\
         # Letters, sounds, and in how many common words so, by place (data/src/writing/place.rs).\n",
    );
    for ((letters, sounds), words) in counts {
        let words: Vec<String> = words.iter().map(|(place, words)| format!("{place}:{words}")).collect();
        writeln!(text, "{letters}\t{sounds}\t{}", words.join(" ")).expect("writing to a string");
    }
    text
}
