//! The pronouncing dictionary: how 126 thousand English words are said, and how often they are used.
//!
//! The words and pronunciations are those of the open CMU Pronouncing Dictionary, the frequencies those of
//! the `wordfreq` word list; `data/build-lexicon/build.py` makes the two tables, whose licences lie beside
//! them in `data/tables`. The dictionary holds many names of people and places. They are kept; a low
//! [`Entry::zipf`] (below about 2) is how to tell them, and rare words, from words a child meets.
//!
//! The tables are part of the program and are read where they lie: nothing is parsed, copied or allocated
//! at start. A look-up halves its way through one offset for every sixteen words and reads at most sixteen.
//!
//! ```
//! let chess = soundbead_data::lexicon::look_up("Chess").unwrap();
//! assert_eq!(chess.variants().next().unwrap().to_string(), "CH EH1 S");
//! assert!(chess.zipf() > 3.0);
//! ```

use std::fmt;

use crate::Sound;

static WORDS: &[u8] = include_bytes!("../tables/lexicon.bin");
static ZIPF: &[u8] = include_bytes!("../tables/zipf.bin");

/// Name and version of the layout, then number of words, number of blocks, bytes of the body (`u32`, little end first).
const HEADER: usize = 20;
const MAGIC: &[u8; 8] = b"SBLX\x00\x01\x00\x00";
/// Words to one offset of the index.
const BLOCK: usize = 16;
/// Steps of the frequency byte to one unit of the Zipf scale.
const ZIPF_STEP: f32 = 32.0;
/// Longest spelling that can be asked for, in bytes.
pub(crate) const LONGEST: usize = 60;

/// The entry for `word`, or `None` when the dictionary does not have it.
///
/// Capital letters are read as small ones; an apostrophe (`'` or the curly one) is kept, since `well` and `we'll` differ.
pub fn look_up(word: &str) -> Option<Entry<'static>> {
    Lexicon::builtin().look_up(word)
}

/// All entries, in byte order of their spellings.
pub fn words() -> impl Iterator<Item = Entry<'static>> {
    Lexicon::builtin().words()
}

/// One way of saying a word: its sounds in order, each with its stress.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Default)]
pub struct Pronunciation {
    sounds: Vec<Sound>,
    stress: Vec<u8>,
}

impl Pronunciation {
    /// These sounds of `word` with the dictionary's stress where it has them so, else with main stress on every vowel.
    pub fn of(word: &str, sounds: &[Sound]) -> Self {
        let known = look_up(word).and_then(|entry| entry.variants().find(|v| v.sounds() == sounds));
        known.unwrap_or_else(|| Pronunciation::new(sounds.to_vec(), &vec![1; sounds.len()]))
    }

    /// Pairs each sound with its stress: 1 main, 2 second, 0 none. Consonants always get 0; missing stresses are 0.
    pub fn new(sounds: Vec<Sound>, stress: &[u8]) -> Self {
        let marks = sounds.iter().enumerate();
        let stress = marks
            .map(|(i, s)| {
                if s.is_vowel() {
                    stress.get(i).map_or(0, |&m| m.min(2))
                } else {
                    0
                }
            })
            .collect();
        Pronunciation { sounds, stress }
    }

    /// The sounds in order.
    pub fn sounds(&self) -> &[Sound] {
        &self.sounds
    }

    /// One mark for each sound: 1 main stress, 2 second stress, 0 none (every consonant is 0).
    pub fn stress(&self) -> &[u8] {
        &self.stress
    }
}

impl fmt::Display for Pronunciation {
    /// ARPAbet with stress on the vowels, such as `P IH1 G`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, (sound, stress)) in self.sounds.iter().zip(&self.stress).enumerate() {
            let gap = if i == 0 { "" } else { " " };
            match sound.is_vowel() {
                true => write!(f, "{gap}{sound}{stress}")?,
                false => write!(f, "{gap}{sound}")?,
            }
        }
        Ok(())
    }
}

/// The bytes are not a word table; the text says which part is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TableError(&'static str);

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "not a word table: {}; make it again with data/build-lexicon/build.py",
            self.0
        )
    }
}

impl std::error::Error for TableError {}

/// A word table in memory, borrowed from the bytes it lies in.
#[derive(Clone, Copy)]
pub struct Lexicon<'a> {
    count: usize,
    offsets: &'a [u8],
    body: &'a [u8],
    zipf: &'a [u8],
}

impl Lexicon<'static> {
    /// The dictionary that comes with the program.
    pub fn builtin() -> Self {
        Self::open(WORDS, ZIPF).expect("the tables that are compiled in are checked by this crate's tests")
    }
}

impl<'a> Lexicon<'a> {
    /// Takes the bytes of a word table and of its frequencies (one byte a word).
    ///
    /// Only the sizes are checked, in constant time. Bytes damaged further in give missing or odd words, never a panic.
    ///
    /// # Errors
    /// When the header, the index or the number of frequencies does not fit the bytes.
    pub fn open(words: &'a [u8], zipf: &'a [u8]) -> Result<Self, TableError> {
        let (header, rest) = words
            .split_at_checked(HEADER)
            .ok_or(TableError("it is shorter than its header"))?;
        if &header[..8] != MAGIC {
            return Err(TableError("it does not begin with the name and version of the layout"));
        }
        let number = |at: usize| read_u32(header, at).unwrap_or(0);
        let (count, blocks, body_len) = (number(8), number(12), number(16));
        if blocks != count.div_ceil(BLOCK) {
            return Err(TableError("its index does not fit its number of words"));
        }
        let (offsets, body) = rest
            .split_at_checked(blocks * 4)
            .ok_or(TableError("its index is cut short"))?;
        if body.len() != body_len {
            return Err(TableError("its words are cut short"));
        }
        if zipf.len() != count {
            return Err(TableError("it has not one frequency for each word"));
        }
        Ok(Lexicon {
            count,
            offsets,
            body,
            zipf,
        })
    }

    /// How many spellings there are.
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// The entry for `word`; see [`look_up`].
    pub fn look_up(&self, word: &str) -> Option<Entry<'a>> {
        let mut buffer = [0; LONGEST];
        let wanted = fold(word, &mut buffer)?;
        let (mut low, mut high) = (0, self.offsets.len() / 4);
        while low < high {
            let middle = low.midpoint(high);
            match self.block(middle)?.spelling().as_bytes() <= wanted {
                true => low = middle + 1,
                false => high = middle,
            }
        }
        self.words_from(low.checked_sub(1)?)
            .take(BLOCK)
            .find(|entry| entry.spelling.as_bytes() == wanted)
    }

    /// All entries in byte order of their spellings.
    pub fn words(&self) -> impl Iterator<Item = Entry<'a>> + use<'a> {
        self.words_from(0)
    }

    /// The first word of block `index`.
    fn block(&self, index: usize) -> Option<Entry<'a>> {
        self.entry_at(index * BLOCK, read_u32(self.offsets, index * 4)?)
            .map(|(entry, _)| entry)
    }

    /// The words from the first of block `index` on, to the end or to the first that cannot be read.
    fn words_from(&self, index: usize) -> impl Iterator<Item = Entry<'a>> + use<'a> {
        let (table, mut number) = (*self, index * BLOCK);
        let mut at = read_u32(self.offsets, index * 4);
        std::iter::from_fn(move || {
            let (entry, next) = table.entry_at(number, at?)?;
            (number, at) = (number + 1, Some(next));
            Some(entry)
        })
    }

    /// The entry that begins at byte `at` of the body, and the place of the next.
    fn entry_at(&self, number: usize, at: usize) -> Option<(Entry<'a>, usize)> {
        let zipf = *self.zipf.get(number)?;
        let (spelling, after) = self.piece(at)?;
        let spelling = std::str::from_utf8(spelling).ok()?;
        let variants = *self.body.get(after)?;
        let mut end = after + 1;
        for _ in 0..variants {
            end = self.piece(end)?.1;
        }
        Some((
            Entry {
                spelling,
                variants: &self.body[after + 1..end],
                zipf,
            },
            end,
        ))
    }

    /// The bytes after the length byte at `at`, and the place after them.
    fn piece(&self, at: usize) -> Option<(&'a [u8], usize)> {
        let len = usize::from(*self.body.get(at)?);
        Some((self.body.get(at + 1..at + 1 + len)?, at + 1 + len))
    }
}

/// One word of the dictionary, borrowed from the table.
#[derive(Clone, Copy)]
pub struct Entry<'a> {
    spelling: &'a str,
    variants: &'a [u8],
    zipf: u8,
}

impl<'a> Entry<'a> {
    /// The spelling, in small letters.
    pub fn spelling(&self) -> &'a str {
        self.spelling
    }

    /// Every way of saying it that the dictionary gives, in its own order (the first is not always the commonest).
    pub fn variants(&self) -> impl Iterator<Item = Pronunciation> + use<'a> {
        let mut rest = self.variants;
        std::iter::from_fn(move || {
            let (len, after) = rest.split_first()?;
            let (said, next) = after.split_at_checked(usize::from(*len))?;
            rest = next;
            Some(decode(said))
        })
    }

    /// How common the word is on the Zipf scale: the power of ten of its uses in a thousand million words.
    ///
    /// 7 to 8 for `the`, about 4 for `pig`, 3 and less for words seldom met; 0 when the list has no such word. Steps of 1/32.
    pub fn zipf(&self) -> f32 {
        f32::from(self.zipf) / ZIPF_STEP
    }
}

impl fmt::Debug for Entry<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.spelling)?;
        self.variants().try_for_each(|said| write!(f, " [{said}]"))
    }
}

/// Sounds from bytes: index in the low six bits, stress in the high two. A byte that is no sound is left out.
fn decode(bytes: &[u8]) -> Pronunciation {
    let pairs = bytes
        .iter()
        .filter_map(|b| Some((Sound::from_index(usize::from(b & 63))?, b >> 6)));
    let (sounds, stress): (Vec<_>, Vec<_>) = pairs.unzip();
    Pronunciation::new(sounds, &stress)
}

/// `word` in small letters with plain apostrophes, or `None` when it is too long or has a sign no entry has.
fn fold<'b>(word: &str, buffer: &'b mut [u8; LONGEST]) -> Option<&'b [u8]> {
    let mut len = 0;
    for c in word.chars() {
        let byte = match c {
            '\u{2019}' | '\u{02bc}' => b'\'',
            c if c.is_ascii() => c.to_ascii_lowercase() as u8,
            _ => return None,
        };
        *buffer.get_mut(len)? = byte;
        len += 1;
    }
    Some(&buffer[..len])
}

fn read_u32(bytes: &[u8], at: usize) -> Option<usize> {
    let four = bytes.get(at..at + 4)?.try_into().ok()?;
    usize::try_from(u32::from_le_bytes(four)).ok()
}

#[cfg(test)]
mod tests;
