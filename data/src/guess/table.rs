//! The chunk model as it lies in `data/tables/guess.bin`.
//!
//! Name and version (8 bytes); number of chunks (`u16`); each chunk: letter, number of sounds, sound indices;
//! number of n-grams (`u32`); one running count (`u32`) for each of the 4096 values of the hash's top twelve bits;
//! then the n-grams in hash order, four bytes each: the next sixteen hash bits, minus the log-likelihood and the
//! back-off weight in sixteenths of a nat. Twenty-eight hash bits tell the n-grams apart: one look-up in about
//! three thousand finds a stranger, which costs a little quality and is counted in the measured figures.

use std::sync::OnceLock;

use crate::Sound;

/// Name and version of the layout.
pub const CHUNKS_MAGIC: &[u8; 8] = b"SBGS\x00\x01\x00\x00";
const BUCKETS: usize = 4096;
/// A sixteenth of a nat; the back-off byte is shifted so that weights above one can be written.
const STEP: f32 = 16.0;
const BACKOFF_SHIFT: f32 = 32.0;
/// Minus log-likelihood of what was never seen at all.
const UNSEEN: f32 = 16.0;

/// A letter and the sounds it spells (none, one or two).
pub(super) struct Chunk {
    pub number: u16,
    pub sounds: Vec<Sound>,
}

/// The chunk model, its n-grams borrowed from the bytes.
pub(super) struct ChunkTable<'a> {
    by_letter: Vec<Vec<Chunk>>,
    starts: Vec<usize>,
    grams: &'a [[u8; 4]],
}

/// The hash under which an n-gram of chunk numbers is kept (FNV-1a over their bytes, then mixed).
pub fn chunk_hash(gram: &[u16]) -> u32 {
    let bytes = gram.iter().flat_map(|c| c.to_le_bytes());
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    });
    let mixed = (hash ^ (hash >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    (mixed >> 32) as u32
}

impl ChunkTable<'static> {
    pub fn builtin() -> &'static ChunkTable<'static> {
        static TABLE: OnceLock<ChunkTable<'static>> = OnceLock::new();
        let bytes = include_bytes!("../../tables/guess.bin");
        TABLE.get_or_init(|| ChunkTable::read(bytes).expect("the table is checked by this crate's tests"))
    }
}

impl<'a> ChunkTable<'a> {
    /// The chunk that stands for both ends of a word.
    pub const EDGE: u16 = u16::MAX;

    /// Takes a table's bytes; `None` when they are not one.
    pub fn read(bytes: &'a [u8]) -> Option<Self> {
        let mut rest = bytes.strip_prefix(CHUNKS_MAGIC)?;
        let mut take = |len: usize| {
            let (front, back) = rest.split_at_checked(len)?;
            rest = back;
            Some(front)
        };
        let number = |bytes: &[u8]| bytes.iter().rev().fold(0, |n, &b| n << 8 | usize::from(b));
        let mut by_letter: Vec<Vec<Chunk>> = (0..26).map(|_| Vec::new()).collect();
        for chunk in 0..number(take(2)?) {
            let [letter, len] = take(2)?.try_into().ok()?;
            let sounds = take(usize::from(len))?
                .iter()
                .map(|&i| Sound::from_index(usize::from(i)));
            let slot = by_letter.get_mut(usize::from(letter.checked_sub(b'a')?))?;
            slot.push(Chunk {
                number: chunk as u16,
                sounds: sounds.collect::<Option<_>>()?,
            });
        }
        let grams = number(take(4)?);
        let starts: Vec<usize> = take(4 * (BUCKETS + 1))?.chunks_exact(4).map(number).collect();
        let (grams_read, left) = take(grams.checked_mul(4)?)?.as_chunks::<4>();
        let fits = left.is_empty() && rest.is_empty() && starts.is_sorted() && *starts.last()? == grams;
        fits.then_some(ChunkTable {
            by_letter,
            starts,
            grams: grams_read,
        })
    }

    /// What `letter` (a to z) can spell.
    pub fn chunks(&self, letter: u8) -> &[Chunk] {
        self.by_letter
            .get(usize::from(letter.wrapping_sub(b'a')))
            .map_or(&[], Vec::as_slice)
    }

    /// Log-likelihood of `next` after `history` (newest last), backing off to shorter histories.
    pub fn log(&self, history: &[u16], next: u16) -> f32 {
        let mut gram = history.to_vec();
        gram.push(next);
        let mut log = 0.0;
        for from in 0..gram.len() {
            if let Some([_, _, likelihood, _]) = self.find(&gram[from..]) {
                return log - f32::from(likelihood) / STEP;
            }
            if let Some([_, _, _, backoff]) = self.find(&gram[from..gram.len() - 1]) {
                log -= (f32::from(backoff) - BACKOFF_SHIFT) / STEP;
            }
        }
        log - UNSEEN
    }

    fn find(&self, gram: &[u16]) -> Option<[u8; 4]> {
        let hash = chunk_hash(gram);
        let bucket = (hash >> 20) as usize;
        let tag = ((hash >> 4) as u16).to_le_bytes();
        let grams = self
            .grams
            .get(*self.starts.get(bucket)?..*self.starts.get(bucket + 1)?)?;
        grams.iter().find(|g| g[..2] == tag).copied()
    }
}
