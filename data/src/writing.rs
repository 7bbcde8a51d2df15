//! What a misspelling shows: the written letters tied to the sounds of the word, and a finding for each sound.
//!
//! ```
//! use soundbead_data::word::{self, Overrides};
//! use soundbead_data::writing::{self, Finding};
//!
//! let bridge = word::find("bridge", &Overrides::default())?;
//! let read = writing::read(&bridge, "brige")?;
//! let last = read.sounds.last().unwrap();
//! assert_eq!((last.letters.as_str(), last.wrote.as_str()), ("dge", "ge"));
//! assert_eq!(last.finding, Finding::SpelledOtherwise { fits_here: false });
//! assert_eq!((read.represented(), read.of()), (4, 4));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! The tie is the likeliest way in which someone who hears the word would come to these letters ([`tie`](self)): how often
//! writers slip in each way is learned from real misspellings, how often each sound is spelled with each letters from
//! the dictionary, by place. All ways of saying the word are tried and the likeliest wins. Less than a tenth of a
//! millisecond a pair; a word written right takes far less.
//!
//! What the findings mean, where teachers could differ:
//! - A letter doubled or undoubled, a silent letter left out or put in, is `spelled_otherwise` at the sound it stands with.
//! - A weak vowel may be spelled with the letters of any weak vowel; of a loud one the letters must be found in common words.
//! - Letters whose own sound is a near one are `near_sound`, unless common words spell the sound so in such a place:
//!   the u of *good* written *gud* is spelled otherwise (*put*), the e of *pig* written *peg* is near.
//! - `swapped` goes before `spelled_otherwise` (*feild*, *littel*).

use std::fmt;

use crate::Sound;
use crate::lexicon::{self, Entry, Pronunciation};
use crate::word::{self, Word, WordError};

pub mod figures;
mod meant;
mod near;
mod own;
mod part;
mod passage;
pub mod place;
mod reader;
pub mod slip;
mod tie;

pub use meant::{FEATURES, MeantCandidate, MeantWeights, MeantWord, WEIGHTS, candidates, meant};
pub use near::near;
pub use part::BrokenPart;
pub(crate) use part::shape;
pub use passage::{Passage, WordPair, passage, read_passage};

use own::{OwnBox, OwnBoxes};
use tie::{StepFinding, Tie, TieInput, TieStep};

/// What was written for one sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Finding {
    /// The word's own letters.
    Kept,
    /// Nothing was written for it.
    Omitted,
    /// Letters that spell this sound in other words.
    SpelledOtherwise {
        /// Whether common words spell it so in such a place.
        fits_here: bool,
    },
    /// Letters of a sound that is often taken for it.
    NearSound,
    /// Letters of another sound.
    OtherSound,
    /// The word's own letters in another order.
    Swapped,
}

impl Finding {
    /// `kept`, `omitted`, `spelled_otherwise`, `near_sound`, `other_sound` or `swapped`.
    pub fn name(self) -> &'static str {
        match self {
            Finding::Kept => "kept",
            Finding::Omitted => "omitted",
            Finding::SpelledOtherwise { .. } => "spelled_otherwise",
            Finding::NearSound => "near_sound",
            Finding::OtherSound => "other_sound",
            Finding::Swapped => "swapped",
        }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// One sound of the word and what was written for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenSound {
    /// The sound.
    pub sound: Sound,
    /// The word's own letters for it, `a_e` for a split vowel; letters over two sounds stand at both.
    pub letters: String,
    /// The letters that were written for it; empty when it was left out.
    pub wrote: String,
    /// What that shows.
    pub finding: Finding,
}

/// Letters that stand for no sound of the word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AddedLetters {
    /// The letters.
    pub wrote: String,
    /// After how many of the word's sounds they stand; 0 at the start.
    pub after: usize,
}

/// A misspelling, read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpellingAnalysis {
    /// The word that was meant.
    pub word: String,
    /// What was written, made ready like a word: small letters, no space around.
    /// One space inside where it was written as two words.
    pub wrote: String,
    /// The way of saying the word that fits best.
    pub said: Pronunciation,
    /// One entry for each of its sounds, in order.
    pub sounds: Vec<WrittenSound>,
    /// Letters that spell no sound of it, from the left.
    pub added: Vec<AddedLetters>,
    /// Whether a reader would say the word from what was written.
    pub readable: bool,
    /// Which parts of the word were broken, without repeats.
    pub parts: Vec<BrokenPart>,
}

impl SpellingAnalysis {
    /// How many sounds of the word what was written stands for: all but those left out and those of another sound.
    pub fn represented(&self) -> usize {
        let lost = |w: &&WrittenSound| matches!(w.finding, Finding::Omitted | Finding::OtherSound);
        self.of() - self.sounds.iter().filter(lost).count()
    }

    /// How many sounds the word has.
    pub fn of(&self) -> usize {
        self.sounds.len()
    }

    /// Whether every sound of `range` has the word's own letters, with nothing added among them.
    pub fn kept_at(&self, range: std::ops::Range<usize>) -> bool {
        let among = |a: &AddedLetters| a.after > range.start && a.after <= range.end && !range.is_empty();
        self.sounds[range.clone()].iter().all(|w| w.finding == Finding::Kept) && !self.added.iter().any(among)
    }

    /// Whether every sound has the word's own letters and nothing was added.
    pub fn right(&self) -> bool {
        self.added.is_empty() && !self.wrote.contains(' ') && self.sounds.iter().all(|w| w.finding == Finding::Kept)
    }
}

/// Why what was written cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrittenError {
    /// It is no word of letters.
    Text(WordError),
    /// The word has no sounds to hold it against.
    NoSounds(String),
}

impl fmt::Display for WrittenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WrittenError::Text(WordError::Empty) => {
                write!(
                    f,
                    "nothing was written; give the letters that the child wrote, such as brige"
                )
            }
            WrittenError::Text(error) => write!(f, "what was written: {error}"),
            WrittenError::NoSounds(word) => write!(
                f,
                "no sounds are known for `{word}`; give them with `soundbead word {word} --set \"...\"`"
            ),
        }
    }
}

impl std::error::Error for WrittenError {}

/// Reads what was written for `word`.
///
/// Capitals and accents are read as plain small letters; apostrophes and hyphens stand for no sound and are passed over. One
/// space (or `_`) is allowed, where a word was written as two.
///
/// # Errors
/// When what was written is not one word of English letters, or the word has no sounds.
pub fn read(word: &Word, written: &str) -> Result<SpellingAnalysis, WrittenError> {
    let wrote = made_ready(written).map_err(WrittenError::Text)?;
    if let Some(right) = as_it_is(word, &wrote) {
        return Ok(right);
    }
    tied(word, wrote)
}

/// The word itself: nothing is likelier than that each sound has its own letters, said in the first way. None for anything else, and
/// where the letters cannot be tied to the sounds.
fn as_it_is(word: &Word, wrote: &str) -> Option<SpellingAnalysis> {
    let said = word.variants.first().filter(|_| wrote == word.spelling)?;
    let own = OwnBoxes::of(&word.spelling, said)?;
    let sound = |(at, sound): (usize, &Sound)| {
        let letters = own.holding(at).map_or(String::new(), |b| b.shown.clone());
        WrittenSound {
            sound: *sound,
            wrote: letters.clone(),
            letters,
            finding: Finding::Kept,
        }
    };
    let mut reading = SpellingAnalysis {
        word: word.spelling.clone(),
        wrote: wrote.to_owned(),
        said: said.clone(),
        sounds: said.sounds().iter().enumerate().map(sound).collect(),
        added: Vec::new(),
        readable: false,
        parts: Vec::new(),
    };
    reading.parts = part::broken(&reading);
    reading.readable = reader::readable(&reading);
    Some(reading)
}

/// The likeliest tie of what was written, over all ways of saying the word.
fn tied(word: &Word, wrote: String) -> Result<SpellingAnalysis, WrittenError> {
    let letters: Vec<u8> = wrote.bytes().filter(u8::is_ascii_lowercase).collect();
    let ties = word.variants.iter().enumerate().map(|(number, said)| {
        let (own, forced) = own_letters(&word.spelling, said);
        let same_said = homophone(&wrote, word, said);
        let tie = TieInput {
            letters: &letters,
            said,
            own: &own,
            homophone: same_said,
        }
        .best();
        let cost = tie.cost + against_variant(word, number, (forced, &tie), same_said);
        (cost, said, own, tie)
    });
    let best = ties.min_by(|a, b| a.0.total_cmp(&b.0));
    let (_, said, own, tie) = best.ok_or_else(|| WrittenError::NoSounds(word.spelling.clone()))?;
    Ok(assemble(word, wrote, &letters, (said, &own, &tie)))
}

/// What was written, made ready: one word, or a word written as two with a space or `_` between (*a way*).
fn made_ready(written: &str) -> Result<String, WordError> {
    let breaks = |c: char| c == ' ' || c == '_';
    match written.trim().split_once(breaks) {
        Some((first, second)) if !second.contains(breaks) => {
            Ok(format!("{} {}", word::normal(first)?, word::normal(second)?))
        }
        _ => word::normal(written),
    }
}

/// Nats by which a way of speaking must fit better: one whose letters cannot be tied to its sounds, which says little, ...
const FORCED: f32 = 6.0;
/// ... one that is not the dictionary's first, ...
const NOT_FIRST: f32 = 0.8;
/// ... one without a consonant that the first has: the letter is there to be heard (the d of *sandwich*), ...
const FEWER: f32 = 1.5;
/// ... and one of which a vowel was left out, or one of two like sounds: who leaves it out may well say the word without it (*famly*).
const LEFT_OUT: f32 = 1.5;

/// ... and one with a consonant that the first has not, where it would be left out: who does not write the l of *calm*
/// says it in the usual way.
const MORE_LEFT_OUT: f32 = 1.5;

/// Nats for a way in which what was written is another word (*close* for *clothes*): it was written as it is said.
const SAME_SAID: f32 = 2.0;

/// What speaks against way of speaking `number`, in nats; `homophone`: what was written is another word that is said in this very way.
fn against_variant(word: &Word, number: usize, (forced, tie): (bool, &Tie), homophone: bool) -> f32 {
    let (said, first) = (&word.variants[number], &word.variants[0]);
    let unheard = |at: usize| may_go_unheard(said.sounds(), at);
    let omitted = |step: &&TieStep| step.found == StepFinding::Omitted;
    let lost = |step: TieStep| unheard(step.sounds.0);
    let left_out = || tie.steps.iter().filter(omitted).copied();
    let consonant = |step: TieStep| !said.sounds()[step.sounds.0].is_vowel();
    let counts = [
        (forced, FORCED),
        (number > 0 && !homophone, NOT_FIRST),
        (consonants(said) < consonants(first) && !homophone, FEWER),
        (
            consonants(said) > consonants(first) && left_out().any(consonant),
            MORE_LEFT_OUT,
        ),
        (left_out().any(lost), LEFT_OUT),
        (homophone, -SAME_SAID),
    ];
    counts.iter().filter(|(is, _)| *is).map(|(_, nats)| nats).sum()
}

/// Whether a sound may be left out by who says the word: a vowel, one of two like sounds, or the k on the way from ng to th.
fn may_go_unheard(sounds: &[Sound], at: usize) -> bool {
    let beside = at > 0 && sounds[at - 1] == sounds[at] || sounds.get(at + 1) == Some(&sounds[at]);
    sounds[at].is_vowel() || beside || is_passing(sounds, at)
}

/// Whether the sound at `at` is the k of *length*: no letter writes it.
fn is_passing(sounds: &[Sound], at: usize) -> bool {
    let around = at.checked_sub(1).and_then(|from| sounds.get(from..at + 2));
    around == Some(&[Sound::NG, Sound::K, Sound::TH])
}

/// How many consonants it has; the same twice in a row is one, and one that no letter writes is none.
fn consonants(said: &Pronunciation) -> usize {
    let all = said.sounds();
    let mut sounds: Vec<Sound> = (0..all.len())
        .filter(|&at| !is_passing(all, at))
        .map(|at| all[at])
        .collect();
    sounds.dedup();
    sounds.iter().filter(|s| !s.is_vowel()).count()
}

/// Whether what was written is another common word that is said like this one.
fn homophone(wrote: &str, word: &Word, said: &Pronunciation) -> bool {
    let same = |entry: &Entry| entry.variants().any(|other| other.sounds() == said.sounds());
    *wrote != word.spelling && lexicon::look_up(wrote).is_some_and(|e| reader::known_word(&e) && same(&e))
}

/// The word's own letters, sound by sound, and whether they had to be laid on by force (*colonel*, *mr*).
fn own_letters(word: &str, said: &Pronunciation) -> (OwnBoxes, bool) {
    if let Some(own) = OwnBoxes::of(word, said) {
        return (own, false);
    }
    let letters: Vec<u8> = word.bytes().filter(u8::is_ascii_lowercase).collect();
    let none = OwnBoxes::default();
    let tie = TieInput {
        letters: &letters,
        said,
        own: &none,
        homophone: false,
    }
    .best();
    (
        OwnBoxes {
            boxes: forced_boxes(&letters, &tie),
        },
        true,
    )
}

/// Boxes from a tie of the word's own letters: what was given to a sound is its box, and what was added joins the box before.
fn forced_boxes(letters: &[u8], tie: &Tie) -> Vec<OwnBox> {
    let mut boxes: Vec<OwnBox> = Vec::new();
    let mut waiting = Vec::new();
    for step in &tie.steps {
        let mut own = step_letters(letters, step);
        if step.found == StepFinding::Added {
            match boxes.last_mut() {
                Some(last) => last.append(&own),
                None => waiting.append(&mut own),
            }
            continue;
        }
        boxes.push(OwnBox::forced(
            [std::mem::take(&mut waiting), own].concat(),
            step.sounds,
        ));
        if let Some(inside) = step.inside {
            let (at, len) = inside.letters;
            boxes.push(OwnBox::forced(letters[at..at + len].to_vec(), inside.sounds));
        }
    }
    boxes
}

/// The letters of a step, both of a split vowel.
fn step_letters(letters: &[u8], step: &TieStep) -> Vec<u8> {
    let (at, len) = step.letters;
    let mut own = letters[at..at + len].to_vec();
    if step.inside.is_some() {
        own.extend(b"_e");
    }
    own
}

/// What a tie says, sound by sound.
fn assemble(
    word: &Word,
    wrote: String,
    letters: &[u8],
    (said, own, tie): (&Pronunciation, &OwnBoxes, &Tie),
) -> SpellingAnalysis {
    let mut reading = SpellingAnalysis {
        word: word.spelling.clone(),
        wrote,
        said: said.clone(),
        sounds: Vec::with_capacity(said.sounds().len()),
        added: Vec::new(),
        readable: false,
        parts: Vec::new(),
    };
    for step in &tie.steps {
        match step.found {
            StepFinding::Added => add(&mut reading, &step_letters(letters, step), step.sounds.0),
            StepFinding::Swapped(boxes) => swapped(&mut reading, own, letters, step, boxes),
            found => {
                let text = text(&step_letters(letters, step));
                push(&mut reading, own, step.sounds, (found, &text));
            }
        }
        if let Some(inside) = step.inside {
            let (at, len) = inside.letters;
            push(
                &mut reading,
                own,
                inside.sounds,
                (inside.found, &text(&letters[at..at + len])),
            );
        }
    }
    // The word itself is kept, however its letters were laid on its sounds.
    if reading.wrote == reading.word {
        reading.added.clear();
        reading.sounds.iter_mut().for_each(|w| {
            w.wrote.clone_from(&w.letters);
            w.finding = Finding::Kept;
        });
    }
    reading.parts = part::broken(&reading);
    reading.readable = reader::readable(&reading);
    reading
}

fn text(letters: &[u8]) -> String {
    letters.iter().map(|&l| char::from(l)).collect()
}

/// Adds letters that stand for no sound; neighbors are one.
fn add(reading: &mut SpellingAnalysis, letters: &[u8], after: usize) {
    match reading.added.last_mut().filter(|last| last.after == after) {
        Some(last) => last.wrote.push_str(&text(letters)),
        None => reading.added.push(AddedLetters {
            wrote: text(letters),
            after,
        }),
    }
}

/// Adds an entry for each of `count` sounds from `first` on.
fn push(
    reading: &mut SpellingAnalysis,
    own: &OwnBoxes,
    (first, count): (usize, usize),
    (found, wrote): (StepFinding, &str),
) {
    for at in first..first + count {
        let letters = own.holding(at).map_or(String::new(), |b| b.shown.clone());
        let bare = letters.replace(['\'', '-'], "");
        let finding = match found {
            _ if bare == wrote && !wrote.is_empty() && found != StepFinding::Swapped(1) => Finding::Kept,
            StepFinding::Kept => Finding::Kept,
            StepFinding::Spelled { fits } => Finding::SpelledOtherwise { fits_here: fits },
            StepFinding::Near => Finding::NearSound,
            StepFinding::Other | StepFinding::Added => Finding::OtherSound,
            StepFinding::Omitted => Finding::Omitted,
            StepFinding::Swapped(_) => Finding::Swapped,
        };
        let wrote = if finding == Finding::Kept {
            letters.clone()
        } else {
            wrote.to_owned()
        };
        reading.sounds.push(WrittenSound {
            sound: reading.said.sounds()[at],
            letters,
            wrote,
            finding,
        });
    }
}

/// Adds the entries of boxes whose letters stand in another order: a box whose letters stand where they should is kept.
fn swapped(reading: &mut SpellingAnalysis, own: &OwnBoxes, letters: &[u8], step: &TieStep, boxes: usize) {
    let right = own
        .run_of_letters(step.sounds.0, boxes)
        .expect("the step was made of this run");
    let (at, len) = step.letters;
    let wrote = &letters[at..at + len];
    let mut first = step.sounds.0;
    for number in 0..boxes {
        let held = own.starting(first).expect("boxes follow each other");
        let count = held.sounds.len();
        let found = match stands(&right, wrote, number) {
            true => StepFinding::Kept,
            false => StepFinding::Swapped(1),
        };
        push(reading, own, (first, count), (found, &picked(&right, wrote, number)));
        first += count;
    }
}

/// Whether box `number` of the run stands where it should.
fn stands(right: &own::BoxRun, wrote: &[u8], number: usize) -> bool {
    let places: Vec<usize> = (0..wrote.len()).filter(|&k| right.owner[k] == number).collect();
    if places.iter().all(|&k| wrote[k] == right.letters[k]) {
        return true;
    }
    // A lone letter among the torn letters of its neighbor (tiem, dose) has not moved; the neighbor has.
    let others = || (0..wrote.len()).filter(|&k| right.owner[k] != number);
    let rest: Vec<u8> = others().map(|k| right.letters[k]).collect();
    let torn = right.owner.iter().max() == Some(&1) && places.len() == 1 && rest.len() > 1;
    torn && wrote
        .iter()
        .position(|l| *l == right.letters[places[0]])
        .is_some_and(|k| rest == [&wrote[..k], &wrote[k + 1..]].concat())
}

/// The letters of box `number` in the order in which they were written.
fn picked(right: &own::BoxRun, wrote: &[u8], number: usize) -> String {
    let mut needed: Vec<u8> = (0..wrote.len())
        .filter(|&k| right.owner[k] == number)
        .map(|k| right.letters[k])
        .collect();
    let mut take = |letter: &u8| {
        let at = needed.iter().position(|l| l == letter)?;
        Some(char::from(needed.remove(at)))
    };
    wrote.iter().filter_map(&mut take).collect()
}

#[cfg(test)]
mod tests;
