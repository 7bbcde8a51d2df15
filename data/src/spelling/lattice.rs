//! All ways of dividing a word among its sounds, and the likeliest of them.
//!
//! Public for the program that learns the weights and for those that measure; everyone else wants
//! [`boxes`](super::boxes).

use std::collections::HashMap;
use std::fmt;
use std::hash::{BuildHasherDefault, Hasher};

use crate::Sound;

/// Added to the log-likelihood of a split vowel, so that m|a_e|k style beats f|a|ce where both are possible.
const SPLIT_BONUS: f32 = 4.0;
/// Added for a final -ed that says T or D: more than [`SPLIT_BONUS`], for s|m|i|l|ed.
const ED_BONUS: f32 = 7.0;
/// Taken off for a silent e before a vowel letter, as in *someone*: rather c|ei than ce|i.
const FINAL_BEFORE_VOWEL: f32 = 8.0;
/// Taken off for a silent e before r inside a word: a|v|er|a|ge, not a|ve|r|a|ge.
const FINAL_BEFORE_R: f32 = 4.0;
/// Taken off where two of the same letter fall into two boxes: c|a|ll|ed, not c|al|l|ed.
const PARTED_DOUBLE: f32 = 5.0;
/// Taken off for n over AH N and its like: o|p|e|n|ed, not o_e|p|n|ed.
const LONE_SYLLABIC: f32 = 6.0;
/// Consonant spellings of more than one letter that may stand inside a split vowel (bathe, ache, cologne, vogue has gue).
const INSIDE_SPLIT: [&[u8]; 4] = [b"th", b"ch", b"ph", b"gn"];
/// Longest spelling in letters.
const LONGEST: usize = 5;

/// Where in the word a spelling stands; its likelihood differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpellingPlace {
    /// Begins the word.
    Start,
    /// Neither.
    Middle,
    /// Ends the word, or stands before its final s.
    End,
}

/// What a spelling asks of its surroundings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Only {
    /// Nothing.
    Anywhere,
    /// A silent e that ends the word or a part of a compound, so mostly not before a vowel letter.
    Final,
    /// The next sound is R.
    BeforeR,
    /// The letter before is a consonant.
    AfterConsonant,
    /// It begins the word.
    Initial,
}

/// One spelling of one sound (or of sounds that share a box).
#[derive(Clone, Debug, PartialEq)]
pub struct Grapheme {
    /// The letters; for a split vowel its first letter and e.
    pub letters: String,
    /// Whether one consonant box stands between the two letters.
    pub split: bool,
    /// The sounds spelled, one or two.
    pub sounds: Vec<Sound>,
    /// Where it may stand.
    pub only: Only,
    /// Log-likelihood (natural, joint over all spellings and places) at [`SpellingPlace::Start`], `Middle`, `End`.
    pub log: [f32; 3],
}

/// A line of a spelling table that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InventoryError {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong.
    pub what: String,
}

impl fmt::Display for InventoryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "spelling table, line {}: {}", self.line, self.what)
    }
}

impl std::error::Error for InventoryError {}

/// A word's letters, small ASCII, and the letters before which a part of it begins (none where the parts are not asked for).
#[derive(Clone, Copy, Debug)]
pub struct WordLetters<'w> {
    /// a to z.
    pub text: &'w [u8],
    /// Numbers of letters, from 0.
    pub seams: &'w [usize],
}

/// One step through a word: a unit, or a split vowel with the consonant inside it.
#[derive(Clone, Copy, Debug)]
pub struct LatticeEdge {
    /// The unit and its place.
    pub unit: (usize, SpellingPlace),
    /// The consonant inside a split vowel.
    pub inside: Option<(usize, SpellingPlace)>,
    /// Letters and sounds used up once it is taken.
    pub to: (usize, usize),
    /// Log-likelihood, preferences included.
    pub log: f32,
}

/// The spellings of English.
#[derive(Clone, Debug)]
pub struct Inventory {
    units: Vec<Grapheme>,
    /// Unit numbers by letters; split vowels are under their first letter.
    by_letters: HashMap<u64, Vec<usize>, BuildHasherDefault<Spread>>,
}

/// A spelling as a number. Those that the inventory looks up have at most [`LONGEST`] letters; of longer ones only the last
/// eight would tell, which no spelling has.
fn packed(letters: &[u8]) -> u64 {
    letters.iter().fold(0, |sum, &letter| sum << 8 | u64::from(letter))
}

/// Spreads a packed spelling over the bits: it is looked up a hundred times for each word, and the standard hash, made to
/// withstand chosen keys, took most of the time.
#[derive(Clone, Copy, Debug, Default)]
struct Spread(u64);

impl Hasher for Spread {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        bytes
            .iter()
            .for_each(|&byte| self.write_u64(self.0 << 8 | u64::from(byte)));
    }

    fn write_u64(&mut self, number: u64) {
        let mixed = number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        self.0 = mixed ^ (mixed >> 32);
    }
}

impl Inventory {
    /// Makes an inventory of these units.
    pub fn new(units: Vec<Grapheme>) -> Self {
        let mut by_letters: HashMap<u64, Vec<usize>, _> = HashMap::default();
        for (number, unit) in units.iter().enumerate() {
            let key = if unit.split { &unit.letters[..1] } else { &unit.letters };
            by_letters.entry(packed(key.as_bytes())).or_default().push(number);
        }
        Inventory { units, by_letters }
    }

    /// Reads a learned table: letters, sounds, where (`any`, `final`, `before-r` ...), three hundredths of a nat; tabs between.
    ///
    /// # Errors
    /// The first line that is not of this form.
    pub fn from_learned(text: &str) -> Result<Self, InventoryError> {
        let lines = text
            .lines()
            .enumerate()
            .filter(|(_, l)| !l.is_empty() && !l.starts_with('#'));
        let units = lines.map(|(i, line)| read_line(line).map_err(|what| InventoryError { line: i + 1, what }));
        Ok(Self::new(units.collect::<Result<_, _>>()?))
    }

    /// All units; their places in this list are the numbers of [`LatticeEdge`].
    pub fn units(&self) -> &[Grapheme] {
        &self.units
    }

    /// Unit `number`.
    ///
    /// # Panics
    /// When there is no such unit.
    pub fn unit(&self, number: usize) -> &Grapheme {
        &self.units[number]
    }

    /// Every step that can be taken after `from` = (letters, sounds) used up. `letters` are small ASCII.
    pub fn edges(
        &self,
        letters: WordLetters,
        sounds: &[Sound],
        from: (usize, usize),
        mut give: impl FnMut(LatticeEdge),
    ) {
        let WordLetters { text: letters, seams } = letters;
        for len in 1..=LONGEST.min(letters.len().saturating_sub(from.0)) {
            let Some(numbers) = self.by_letters.get(&packed(&letters[from.0..from.0 + len])) else {
                continue;
            };
            for &number in numbers {
                let unit = &self.units[number];
                if !fits(unit, letters, sounds, from, len) {
                    continue;
                }
                let to = (from.0 + len, from.1 + unit.sounds.len());
                if unit.split {
                    self.split_edges(
                        WordLetters { text: letters, seams },
                        sounds,
                        (number, from.0),
                        to,
                        &mut give,
                    );
                } else if !crosses(seams, from.0, to.0) {
                    let place = place(letters, seams, from.0, to.0);
                    let ends = seams.contains(&to.0);
                    let log = unit.log[place as usize] + preference(unit, if ends { &[] } else { &letters[to.0..] });
                    give(LatticeEdge {
                        unit: (number, place),
                        inside: None,
                        to,
                        log,
                    });
                }
            }
        }
    }

    /// Steps over a split vowel whose first letter is behind `to`, one for each consonant box that fits inside.
    fn split_edges(
        &self,
        letters: WordLetters,
        sounds: &[Sound],
        (vowel, start): (usize, usize),
        to: (usize, usize),
        give: &mut impl FnMut(LatticeEdge),
    ) {
        let WordLetters { text: letters, seams } = letters;
        for len in 1..=2 {
            let (e, after) = (to.0 + len, to.0 + len + 1);
            let ends = seams.contains(&after) || !letters.get(after).is_some_and(is_vowel_letter);
            let splits = letters.get(e) == Some(&b'e') && ends && !crosses(seams, start, after);
            let inside = letters.get(to.0..e).unwrap_or_default();
            if !splits || is_vowel_letter(&inside[0]) || (len == 2 && !INSIDE_SPLIT.contains(&inside)) {
                continue;
            }
            let place = place(letters, seams, start, after);
            for &number in self.by_letters.get(&packed(inside)).into_iter().flatten() {
                let unit = &self.units[number];
                if sounds[to.1..].starts_with(&unit.sounds) {
                    let log =
                        self.units[vowel].log[place as usize] + unit.log[SpellingPlace::Middle as usize] + SPLIT_BONUS;
                    let to = (after, to.1 + unit.sounds.len());
                    give(LatticeEdge {
                        unit: (vowel, place),
                        inside: Some((number, SpellingPlace::Middle)),
                        to,
                        log,
                    });
                }
            }
        }
    }

    /// The units of the likeliest division, or `None` when there is none. No unit lies across one of `seams`, the letters
    /// before which a part of the word begins.
    pub fn best_path(&self, letters: &[u8], sounds: &[Sound], seams: &[usize]) -> Option<Vec<usize>> {
        self.best(letters, sounds, seams).map(|(path, _)| path)
    }

    /// As [`Inventory::best_path`], with the log-likelihood of the division, preferences included.
    pub fn best(&self, letters: &[u8], sounds: &[Sound], seams: &[usize]) -> Option<(Vec<usize>, f32)> {
        let width = sounds.len() + 1;
        let mut best: Vec<Option<(f32, usize, LatticeEdge)>> = vec![None; (letters.len() + 1) * width];
        for i in 0..letters.len() {
            for j in 0..sounds.len() {
                let so_far = match best[i * width + j] {
                    Some((log, ..)) => log,
                    None if (i, j) == (0, 0) => 0.0,
                    None => continue,
                };
                self.edges(WordLetters { text: letters, seams }, sounds, (i, j), |edge| {
                    let cell = &mut best[edge.to.0 * width + edge.to.1];
                    let log = so_far + edge.log;
                    if cell.is_none_or(|(other, ..)| log > other) {
                        *cell = Some((log, i * width + j, edge));
                    }
                });
            }
        }
        let mut path = Vec::new();
        let mut at = letters.len() * width + sounds.len();
        let log = best[at].map(|(log, ..)| log);
        while at > 0 {
            let (_, from, edge) = best[at]?;
            path.extend(edge.inside.map(|(number, _)| number));
            path.push(edge.unit.0);
            at = from;
        }
        path.reverse();
        log.filter(|_| !path.is_empty()).map(|log| (path, log))
    }
}

/// Whether `unit`, `len` letters long, spells the sounds that come after `from` and may stand there.
fn fits(unit: &Grapheme, letters: &[u8], sounds: &[Sound], from: (usize, usize), len: usize) -> bool {
    let rest = &sounds[from.1..];
    let after = from.0 + len;
    let allowed = match unit.only {
        Only::Anywhere | Only::Final => true,
        Only::BeforeR => rest.get(unit.sounds.len()) == Some(&Sound::R),
        Only::AfterConsonant => from.0 > 0 && !is_vowel_letter(&letters[from.0 - 1]),
        Only::Initial => from.0 == 0,
    };
    // The ed of an ending comes after a consonant letter, y or w; in cried and freed the vowel box keeps the e.
    let is_ed = unit.letters == "ed" && !unit.split;
    let ed_allowed = after == letters.len() && from.0 > 0 && !b"aeiou".contains(&letters[from.0.saturating_sub(1)]);
    allowed && rest.starts_with(&unit.sounds) && (!is_ed || ed_allowed)
}

/// What practice adds to the learned log-likelihood of an unsplit unit that ends before the letters `after`.
fn preference(unit: &Grapheme, after: &[u8]) -> f32 {
    let next = after.first();
    let mut sum = 0.0;
    if unit.letters == "ed" && next.is_none() {
        sum += ED_BONUS;
    }
    if unit.only == Only::Final && next.is_some_and(is_vowel_letter) {
        sum -= FINAL_BEFORE_VOWEL;
    }
    if unit.only == Only::Final && next == Some(&b'r') {
        sum -= FINAL_BEFORE_R;
    }
    if next == unit.letters.as_bytes().last() {
        sum -= PARTED_DOUBLE;
    }
    // A lone consonant letter for vowel and consonant (n in didn't): only when nothing else is left.
    if unit.letters.len() == 1 && unit.sounds.len() == 2 && unit.sounds[0].is_vowel() && !unit.sounds[1].is_vowel() {
        sum -= if is_vowel_letter(&unit.letters.as_bytes()[0]) {
            0.0
        } else {
            LONE_SYLLABIC
        };
    }
    sum
}

fn is_vowel_letter(letter: &u8) -> bool {
    b"aeiouy".contains(letter)
}

/// Where a spelling over letters `from..to` stands; the end of a part is an end.
fn place(letters: &[u8], seams: &[usize], from: usize, to: usize) -> SpellingPlace {
    match (from, &letters[to..]) {
        (0, _) => SpellingPlace::Start,
        (_, [] | [b's']) => SpellingPlace::End,
        _ if seams.contains(&to) => SpellingPlace::End,
        _ => SpellingPlace::Middle,
    }
}

/// Whether a part begins inside letters `from..to`.
fn crosses(seams: &[usize], from: usize, to: usize) -> bool {
    seams.iter().any(|&seam| from < seam && seam < to)
}

/// One line of a learned table.
fn read_line(line: &str) -> Result<Grapheme, String> {
    let fields: Vec<&str> = line.split('\t').collect();
    let [letters, sounds, only, logs] = fields[..] else {
        return Err(format!(
            "{} fields, expected letters, sounds, where, weights",
            fields.len()
        ));
    };
    let sounds = sounds
        .split(' ')
        .map(|s| s.parse::<Sound>().map_err(|e| e.to_string()))
        .collect::<Result<Vec<_>, _>>()?;
    let only = match only {
        "any" => Only::Anywhere,
        "final" => Only::Final,
        "before-r" => Only::BeforeR,
        "after-consonant" => Only::AfterConsonant,
        "initial" => Only::Initial,
        other => {
            return Err(format!(
                "`{other}`, expected any, final, before-r, after-consonant or initial"
            ));
        }
    };
    let mut log = [0.0; 3];
    let mut numbers = logs.split(' ');
    for slot in &mut log {
        let number = numbers.next().and_then(|n| n.parse::<f32>().ok());
        *slot = -number.ok_or_else(|| format!("`{logs}`, expected three numbers"))? / 100.0;
    }
    let split = letters.contains('_');
    Ok(Grapheme {
        letters: letters.replace('_', ""),
        split,
        sounds,
        only,
        log,
    })
}
