//! What becomes of the sounds of a base inside a longer word, letter by letter.

use std::fmt;

use super::sum::{Join, Sum};
use super::table::all;
use crate::Sound;
use crate::lexicon::{self, Pronunciation};
use crate::{inventory, spelling};

/// What a letter of the base does in the word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shift {
    /// Silent in the base, heard in the word: the g of *sign* in *signal*.
    Heard(String),
    /// Heard in the base, silent in the word.
    Silent(String),
    /// These letters say another sound: the t of *act* in *action*.
    Says(String, Sound, Sound),
}

impl fmt::Display for Shift {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Shift::Heard(letters) => write!(f, "the silent {letters} is heard"),
            Shift::Silent(letters) => write!(f, "the {letters} falls silent"),
            Shift::Says(letters, was, is) if was.is_vowel() && is.is_vowel() => {
                write!(f, "the {letters} changes its sound")
            }
            Shift::Says(letters, _, is) => write!(f, "the {letters} is said {}", plain(*is)),
        }
    }
}

/// A sound in plain letters, as the inventory respells it.
fn plain(sound: Sound) -> String {
    inventory::of(sound).respelling.clone()
}

/// How a base sounds inside the word, against the base by itself.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct HeardBase {
    /// What its letters do otherwise, in order.
    pub shifts: Vec<Shift>,
    /// Whether another of its syllables bears the main stress, or none does.
    pub stress_moves: bool,
}

impl fmt::Display for HeardBase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut said: Vec<String> = self.shifts.iter().map(ToString::to_string).collect();
        said.dedup();
        if self.stress_moves {
            said.push("the stress moves".to_owned());
        }
        match (said.split_last(), said.len()) {
            (None, _) => f.write_str("no sound changes"),
            (Some((only, _)), 1) => f.write_str(only),
            (Some((last, before)), _) => write!(f, "{}, and {last}", before.join(", ")),
        }
    }
}

impl Sum {
    /// What happens to the letters where parts meet, then to the sounds of the base, each in a few words.
    pub fn changes(&self) -> Vec<String> {
        let joins = self.joins.iter().filter(|j| **j != Join::Plain);
        let heard = self.heard().map(|h| h.to_string());
        joins.map(ToString::to_string).chain(heard).collect()
    }

    /// How the longest part that is a word sounds inside the sum; `None` where none is one, or where its letters cannot be
    /// tied to its sounds.
    pub fn heard(&self) -> Option<HeardBase> {
        let affix = |part: &str| {
            all()
                .iter()
                .any(|p| p.form.contains('-') && p.forms().any(|form| form == part))
        };
        let words = self.parts.iter().enumerate();
        let words = words.filter(|(_, p)| !affix(p) && lexicon::look_up(p).is_some());
        let (number, base) = words.max_by_key(|(number, p)| (p.len(), std::cmp::Reverse(*number)))?;
        let (start, kept) = (self.starts[number], self.kept(number));
        let alone: Vec<_> = lexicon::look_up(base)?.variants().collect();
        let inside: Vec<_> = lexicon::look_up(&self.word)?.variants().collect();
        let pairs = alone.iter().flat_map(|a| {
            let compared = |i| heard((base, a), (&self.word, i), start, kept);
            inside.iter().filter_map(compared)
        });
        pairs.min_by_key(|h| (h.shifts.len(), h.stress_moves))
    }

    /// How many letters of part `number` are left in the word, as they are: what became another letter tells nothing of its sound.
    fn kept(&self, number: usize) -> usize {
        let part = &self.parts[number];
        let inside = self.word[self.starts[number]..].bytes();
        match self.joins.get(number) {
            None | Some(Join::Plain | Join::Doubles | Join::AddsK) => part.len(),
            Some(_) => part.bytes().zip(inside).take_while(|(a, b)| a == b).count(),
        }
    }
}

/// The letters of a word with the sounds that they make: by letter, the box that it stands in.
struct Lettered {
    /// For each box the places of its letters in the word.
    places: Vec<Vec<usize>>,
    /// For each box its sounds.
    sounds: Vec<Vec<Sound>>,
    /// For each box whether it bears the main stress.
    main: Vec<bool>,
}

impl Lettered {
    fn new(word: &str, said: &Pronunciation) -> Option<Lettered> {
        let boxes = spelling::boxes(word, said.sounds())?;
        let places = spelling::places(&boxes);
        Some(Lettered {
            places,
            sounds: boxes.iter().map(|b| said.sounds()[b.sounds.clone()].to_vec()).collect(),
            main: boxes
                .iter()
                .map(|b| said.stress()[b.sounds.clone()].contains(&1))
                .collect(),
        })
    }

    /// The boxes that touch any of these places.
    fn over(&self, places: &[usize]) -> Vec<usize> {
        let touches = |b: &usize| self.places[*b].iter().any(|p| places.contains(p));
        (0..self.places.len()).filter(touches).collect()
    }
}

/// The base alone against its letters in the word, which begin at `start` and of which `kept` are left; `None` where letters
/// cannot be tied to sounds.
pub(super) fn heard(
    (base, alone): (&str, &Pronunciation),
    (word, inside): (&str, &Pronunciation),
    start: usize,
    kept: usize,
) -> Option<HeardBase> {
    let (a, b) = (Lettered::new(base, alone)?, Lettered::new(word, inside)?);
    let letters: Vec<char> = base.chars().collect();
    let mut found = HeardBase::default();
    let (mut was_main, mut is_main) = (false, false);
    let vowels = alone.sounds().iter().filter(|s| s.is_vowel()).count();
    for (number, places) in a.places.iter().enumerate() {
        let left: Vec<usize> = places.iter().filter(|p| **p < kept).map(|p| p + start).collect();
        let over = b.over(&left);
        was_main = was_main || a.main[number];
        is_main = is_main || (a.main[number] && over.iter().any(|&o| b.main[o]));
        // A final letter that goes is a change of the spelling, told elsewhere.
        let Some(&first) = over.first() else { continue };
        shift(&letters, places, &a.sounds[number], &b, &over, first, start)
            .into_iter()
            .for_each(|s| found.shifts.push(s));
    }
    // A base of one syllable has nowhere to move its stress to.
    found.stress_moves = vowels > 1 && was_main && !is_main;
    Some(found)
}

/// What one box of the base has become.
fn shift(
    letters: &[char],
    places: &[usize],
    was: &[Sound],
    word: &Lettered,
    over: &[usize],
    first: usize,
    start: usize,
) -> Option<Shift> {
    let text = |places: &[usize]| places.iter().filter_map(|&p| letters.get(p)).collect::<String>();
    if over.len() > 1 && was.len() == 1 && !was[0].is_vowel() && places.len() > 1 {
        // The letters that now make sounds of their own.
        let own: Vec<usize> = over
            .iter()
            .filter(|&&o| word.sounds[o] != was)
            .flat_map(|&o| word.places[o].iter().filter_map(|p| p.checked_sub(start)))
            .filter(|p| places.contains(p))
            .collect();
        return (!own.is_empty() && own.len() < places.len()).then(|| Shift::Heard(text(&own)));
    }
    let is = &word.sounds[first];
    let (one, other) = (*was.first()?, *is.first()?);
    if was.len() != is.len() || one == other || weak_alike(one, other) {
        return None;
    }
    Some(Shift::Says(text(places), one, other))
}

/// Vowels so near that a lesson does not tell them apart where they are weak.
fn weak_alike(a: Sound, b: Sound) -> bool {
    let weak = |s: Sound| [Sound::AH, Sound::IH].contains(&s);
    (weak(a) && weak(b)) || ([a, b].contains(&Sound::AA) && [a, b].contains(&Sound::AO))
}
