//! How a word that the dictionary lacks is probably said: a guess, and always called one.
//!
//! Each letter spells nothing, one sound or two; a letter with what it spells is a chunk, and a word is a chain of
//! chunks. A back-off n-gram model over chunks, learned from the dictionary (`data/build-lexicon/train_guess.rs`),
//! scores the chains, and a beam search keeps the best. It is the joint-sequence method of Bisani and Ney (2008),
//! Speech Communication 50(5), 434-451, in a small form. Which vowel bears the main stress is told from the number of
//! syllables and the last letters.
//!
//! Measured on the 5 % of dictionary spellings never trained on (6,008 words, names among them; relatives such as
//! *jump* of a held-out *jumped* may have been trained on): 9.5 % of sounds wrong, 61 % of words wholly right, the stress
//! right in 90 % of those. Of the 771 that are common (Zipf 3.5 and more): 6.2 % and 75 %. The tests measure it anew.
//!
//! Words of one syllable are read by rule (`plain`), which costs one word in a hundred here, for words of the dictionary are less
//! regular than new ones; without it 63 % and 77 % were right.

use crate::Sound;
use crate::lexicon::{self, Pronunciation};
use crate::spelling::{self, LetterBox};

mod habit;
mod plain;
mod stress;
mod table;

use habit::vowel_of;
use table::ChunkTable;
pub use table::{CHUNKS_MAGIC, chunk_hash};

/// Chains kept at each letter; the last of them are weighed once more, so there are more than the chains alone need.
const BEAM: usize = 40;
/// Weight of the spelling's log-likelihood beside the chain's: on the held-out words of Zipf 2.5 and more, 0 gives 69.7 % of
/// words right, 0.2 70.1 %, 0.4 69.4 %.
const SPELLING_WEIGHT: f32 = 0.2;
/// Taken off, in nats, for each rule that [`breaks`] counts.
const BREAK: f32 = 5.0;
/// Chains that are tried with other vowels where all break a rule, and what such a change takes off.
const MENDED: usize = 5;
const MEND: f32 = 2.0;
/// Letters and Zipf value that each half of a compound must have, lest *carpet* be a car and a pet.
const PART_LETTERS: usize = 4;
const PART_ZIPF: f32 = 4.3;
/// Words that are mostly endings when they stand second, and are then said otherwise.
const ENDINGS: [&str; 10] = [
    "less", "able", "fully", "land", "ford", "ward", "ages", "ties", "ability", "ring",
];
/// Chunks a history may hold: one less than the order of the model.
pub const HISTORY: usize = 5;

/// The likeliest way of saying `word`, or `None` when it has no letter from a to z.
///
/// Small or capital letters; apostrophes and hyphens are passed over, except that `'s` and `s'` on a word of the
/// dictionary are said as S, Z or IH Z after it. Two common words written as one are said as the two. Takes well under a
/// millisecond.
pub fn guess(word: &str) -> Option<Pronunciation> {
    said_by(word, sounds)
}

/// The same by the chains of the dictionary, also where a rule reads the word: a slip leaves out the letter that a rule goes by
/// (*brige* is *bridge*).
pub(crate) fn guess_by_chains(word: &str) -> Option<Pronunciation> {
    said_by(word, by_chains)
}

/// A possessive or a compound as such; of any other word the letters as `read` says them, with their stress.
fn said_by(word: &str, read: fn(&[u8]) -> Option<Vec<Sound>>) -> Option<Pronunciation> {
    let word = word.to_lowercase().replace('\u{2019}', "'");
    if let Some(said) = possessive(&word).or_else(|| compound(&word)) {
        return Some(said);
    }
    let letters: Vec<u8> = word.bytes().filter(u8::is_ascii_lowercase).collect();
    let sounds = read(&letters)?;
    let stress = stress::guess(&letters, &sounds);
    Some(Pronunciation::new(sounds, &stress))
}

/// The dictionary's word before `'s` or `s'`, with the ending as English says it.
fn possessive(word: &str) -> Option<Pronunciation> {
    let owner = word
        .strip_suffix("'s")
        .or_else(|| word.strip_suffix("'").filter(|w| w.ends_with('s')))?;
    let said = lexicon::look_up(owner)?.variants().next()?;
    let (mut sounds, mut stress) = (said.sounds().to_vec(), said.stress().to_vec());
    let ending: &[&str] = match sounds.last()?.arpabet() {
        _ if !word.ends_with('s') => &[],
        "S" | "Z" | "SH" | "ZH" | "CH" | "JH" => &["IH", "Z"],
        "P" | "T" | "K" | "F" | "TH" => &["S"],
        _ => &["Z"],
    };
    sounds.extend(
        ending
            .iter()
            .map(|name| name.parse::<Sound>().expect("an ARPAbet name")),
    );
    stress.resize(sounds.len(), 0);
    Some(Pronunciation::new(sounds, &stress))
}

/// Two common words of the dictionary written as one (*nightlight*), the first with the main stress.
fn compound(word: &str) -> Option<Pronunciation> {
    let part = |text: &str| lexicon::look_up(text).filter(|e| text.len() >= PART_LETTERS && e.zipf() >= PART_ZIPF);
    let cuts = (1..word.len()).filter(|&cut| word.is_char_boundary(cut));
    let cuts = cuts.filter(|&cut| !ENDINGS.contains(&&word[cut..]));
    let pairs = cuts.filter_map(|cut| Some((part(&word[..cut])?, part(&word[cut..])?)));
    let (first, second) = pairs.max_by(|a, b| a.0.zipf().min(a.1.zipf()).total_cmp(&b.0.zipf().min(b.1.zipf())))?;
    let (first, second) = (first.variants().next()?, second.variants().next()?);
    let sounds = [first.sounds(), second.sounds()].concat();
    let weaker = second.stress().iter().map(|&mark| if mark == 1 { 2 } else { mark });
    let stress: Vec<u8> = first.stress().iter().copied().chain(weaker).collect();
    Some(Pronunciation::new(sounds, &stress))
}

/// A chain of chunks for the front of a word.
#[derive(Clone)]
struct ChunkChain {
    log: f32,
    /// The last chunks, newest last.
    history: Vec<u16>,
    sounds: Vec<Sound>,
}

/// The likeliest sounds for small letters a to z.
///
/// A word of one syllable, and one with an ending of English on it, is read by rule where its letters allow (`plain`).
fn sounds(letters: &[u8]) -> Option<Vec<Sound>> {
    let text = std::str::from_utf8(letters).ok()?;
    let said = plain::read(text).filter(|said| spelling::fit(text, said).is_some());
    said.or_else(|| by_chains(letters))
}

/// The likeliest sounds by the chains of letters and sounds in the dictionary.
///
/// Of what the beam ends with, a pronunciation without a vowel is dropped, and so is one that cannot be laid under the letters; the
/// rest are weighed by the chain and by how such letters spell such sounds. Only where nothing is left (*xqzt*) the likeliest
/// chain stands as it is.
fn by_chains(letters: &[u8]) -> Option<Vec<Sound>> {
    let text = std::str::from_utf8(letters).ok()?;
    let chains = chains(letters)?;
    let best = best_of(text, chains.iter().map(|chain| (chain.sounds.clone(), chain.log)));
    // Where even the best breaks a rule, what the rule wants was pruned: the likeliest chains are tried with other vowels.
    let best = match best {
        Some(best) if best.breaks > 0 => {
            let likely = chains.iter().take(MENDED).flat_map(|chain| {
                let others = habit::with_other_vowels(&chain.sounds).into_iter();
                others.map(|sounds| (sounds, chain.log - MEND))
            });
            let mended = best_of(text, likely).filter(|mended| mended.breaks < best.breaks);
            Some(mended.unwrap_or(best))
        }
        best => best,
    };
    let likeliest = || chains.iter().max_by(|a, b| a.log.total_cmp(&b.log));
    best.map(|best| best.sounds)
        .or_else(|| likeliest().map(|chain| chain.sounds.clone()))
}

/// Sounds that can be laid under the letters, weighed.
struct WeighedSounds {
    sounds: Vec<Sound>,
    breaks: usize,
    weight: f32,
}

/// The best of some rows of sounds, each with the log-likelihood of its chain: one with a vowel, laid under the letters.
fn best_of(text: &str, rows: impl Iterator<Item = (Vec<Sound>, f32)>) -> Option<WeighedSounds> {
    let weighed = rows.filter_map(|(sounds, log)| {
        let voiced = sounds.iter().any(|s| s.is_vowel());
        let fit = spelling::fit(text, &sounds).filter(|_| voiced)?;
        let breaks = breaks(text, &sounds);
        let weight = log + SPELLING_WEIGHT * fit - BREAK * breaks as f32;
        Some(WeighedSounds { sounds, breaks, weight })
    });
    weighed.max_by(|a, b| a.weight.total_cmp(&b.weight))
}

/// How many rules of English the sounds break under these letters (common practice, no source):
/// - the only vowel is no schwa, and a last y by itself no IY (*my*);
/// - one of e, i, u, y before r and a consonant, or a last r, is no short vowel and no moving one (*bird*), nor is a before a
///   last r (*car*, *care*);
/// - no word ends with D D, T D or T T (*need-ed*);
/// - and what [`breaks_letter`] says of single boxes.
fn breaks(text: &str, sounds: &[Sound]) -> usize {
    let boxes = spelling::boxes(text, sounds).unwrap_or_default();
    let alone = sounds.iter().filter(|s| s.is_vowel()).count() == 1;
    let broken = |b: &&LetterBox| {
        let at = vowel_of(b, sounds);
        let schwa = sounds[at] == Sound::AH && !b.letters.contains(['o', 'u']);
        let last_y = sounds[at] == Sound::IY && b.letters == "y" && at + 1 == sounds.len();
        let closed_r = sounds.get(at + 1) == Some(&Sound::R) && sounds.get(at + 2).is_none_or(|s| !s.is_vowel());
        let short = matches!(sounds[at].arpabet(), "IH" | "EH" | "AH" | "AE" | "UH" | "UW" | "AY");
        let short_r = matches!(b.letters.as_str(), "e" | "i" | "u" | "y") || sounds[at] == Sound::AE;
        (alone && (schwa || last_y)) || (closed_r && short && short_r)
    };
    let held = |b: &&LetterBox| sounds[b.sounds.clone()].iter().any(|s| s.is_vowel());
    let vowels = boxes.iter().filter(held).filter(broken).count();
    let single = (0..boxes.len())
        .filter(|&i| breaks_letter(&boxes, i, sounds, alone))
        .count();
    let habits = habit::broken(text, &boxes, sounds);
    let twice = matches!(sounds, [.., Sound::D, Sound::D] | [.., Sound::T, Sound::D | Sound::T]);
    vowels + single + habits + usize::from(twice)
}

/// Vowel letters that stand together as a team, and are no two vowels (common practice, no source).
const TEAMS: [&str; 13] = [
    "ai", "ay", "ee", "oa", "oi", "oy", "oo", "au", "aw", "ou", "ow", "ew", "ey",
];

/// Whether box `i` breaks a rule of single letters: c before e, i and y is soft; a last e is silent beside another vowel; the letters of a team are not said one by one;
/// in a word of one vowel (`alone`), a vowel letter that consonants close is short, and one with a silent e is long.
fn breaks_letter(boxes: &[LetterBox], i: usize, sounds: &[Sound], alone: bool) -> bool {
    let b = &boxes[i];
    let next = boxes.get(i + 1);
    let at = vowel_of(b, sounds);
    let said = sounds[at].arpabet();
    let soft = |b: &LetterBox| b.letters.starts_with(['e', 'i', 'y']);
    if b.letters == "c" && next.is_some_and(soft) {
        return !matches!(said, "S" | "SH");
    }
    let team = |b: &LetterBox, next: &LetterBox| {
        let both = format!("{}{}", b.letters, next.letters.trim_end_matches("_e"));
        TEAMS.contains(&both.as_str())
    };
    if sounds[at].is_vowel() && next.is_some_and(|next| sounds[vowel_of(next, sounds)].is_vowel() && team(b, next)) {
        return true;
    }
    // The last e of a word with another vowel is silent.
    let loud_e = b.letters == "e" && next.is_none() && sounds[at].is_vowel() && !alone;
    loud_e || alone && breaks_length(b, next, sounds, at)
}

/// Whether the one vowel of a word, at `at` in box `b`, has not the length that its letters tell. Before r, w, y and l and the like
/// other rules hold, and nothing is said.
fn breaks_length(b: &LetterBox, next: Option<&LetterBox>, sounds: &[Sound], at: usize) -> bool {
    let said = sounds[at].arpabet();
    let glide = at > 0 && sounds[at - 1] == Sound::Y;
    let r = sounds.get(at + 1) == Some(&Sound::R);
    // The silent e may stand with the consonant: glo-me.
    let last = next.is_some_and(|next| {
        next.sounds.end == sounds.len()
            && next.letters.len() == 2
            && next.letters.ends_with('e')
            && next.letters != "ve"
    });
    let letters = if last && b.letters.len() == 1 {
        format!("{}_e", b.letters)
    } else {
        b.letters.clone()
    };
    match letters.as_str() {
        _ if r => false,
        "a_e" => !matches!(said, "EY" | "AA"),
        "i_e" => said != "AY",
        "o_e" => said != "OW",
        // After the lips and the back of the tongue a y is heard before long u: cube, fume.
        "u_e" => said != "UW" || (!glide && at > 0 && takes_glide(sounds[at - 1], at)),
        "e" => next.is_some_and(|next| !next.letters.starts_with('w')) && said != "EH",
        _ => false,
    }
}

/// Whether long u has a y before it after this consonant, where that one begins the word: *cube*, *mute*, *fuse*, *huge*.
fn takes_glide(before: Sound, at: usize) -> bool {
    at == 1 && matches!(before.arpabet(), "B" | "K" | "F" | "HH" | "M" | "P" | "V")
}

/// The chains that the beam ends with, for small letters a to z; `None` when there is no letter or no sound.
fn chains(letters: &[u8]) -> Option<Vec<ChunkChain>> {
    if letters.is_empty() {
        return None;
    }
    let table = ChunkTable::builtin();
    let mut beam = vec![ChunkChain {
        log: 0.0,
        history: vec![ChunkTable::EDGE],
        sounds: Vec::new(),
    }];
    for &letter in letters {
        let mut next = Vec::with_capacity(beam.len() * 16);
        for chain in &beam {
            for chunk in table.chunks(letter) {
                let mut longer = chain.clone();
                longer.log += table.log(&chain.history, chunk.number);
                longer.sounds.extend_from_slice(&chunk.sounds);
                if longer.history.len() == HISTORY {
                    longer.history.remove(0);
                }
                longer.history.push(chunk.number);
                next.push(longer);
            }
        }
        next.sort_by(|a, b| b.log.total_cmp(&a.log));
        next.truncate(BEAM);
        beam = next;
    }
    for chain in &mut beam {
        chain.log += table.log(&chain.history, ChunkTable::EDGE);
    }
    beam.retain(|chain| !chain.sounds.is_empty());
    (!beam.is_empty()).then_some(beam)
}

#[cfg(test)]
mod tests;
