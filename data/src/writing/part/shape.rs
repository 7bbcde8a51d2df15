//! Prefix, base and ending of a word, told by its letters and its sounds together.

use crate::Sound;
use crate::lexicon::{self, Pronunciation};
use crate::parts::{Join, Sum};

/// Endings, the longer before those that end like them.
const ENDINGS: [&str; 16] = [
    "-ness", "-less", "-ment", "-able", "-fully", "-ful", "-ly", "-ing", "-est", "-ers", "-er", "-ed", "-ies", "-es",
    "-s", "-y",
];
/// Prefixes.
const PREFIXES: [&str; 12] = [
    "under-", "over-", "inter-", "dis-", "mis-", "non-", "pre-", "sub-", "un-", "re-", "in-", "im-",
];
/// A base has to be this common on the Zipf scale; what is rarer is mostly a name or chance (*hap* in *happy*).
const KNOWN_ZIPF: f32 = 3.0;
/// Words that look and sound like a base with an ending and are none (the list is ours, from the common words).
const ALIKE: [&str; 51] = [
    "letter", "butter", "latter", "corner", "number", "under", "other", "ladder", "matter", "summer", "dinner",
    "hammer", "pepper", "better", "banner", "batter", "rubber", "copper", "fiddler", "planet", "bully", "puppy",
    "belly", "tally", "news", "forest", "was", "his", "has", "happy", "story", "penny", "buddy", "daddy", "petty",
    "bitter", "letters", "matters", "need", "feed", "seed", "weed", "bleed", "speed", "breed", "indeed", "succeed",
    "proceed", "exceed", "baby", "injury",
];

/// How a word is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WordStructure {
    pub prefix: Option<&'static str>,
    /// First sound of the base, and the sound after its last.
    pub base: (usize, usize),
    /// The word before its ending, written by itself: *make* of *making*.
    pub stem: String,
    pub ending: Option<&'static str>,
    /// What the spelling does before the ending.
    pub join: Join,
}

impl WordStructure {
    /// The shape of `word` said as `said`; `None` where it has neither prefix nor ending.
    pub fn of(word: &str, said: &Pronunciation) -> Option<WordStructure> {
        if ALIKE.contains(&word) {
            return None;
        }
        let sounds = said.sounds();
        let ended = ENDINGS.iter().find_map(|form| ended(word, sounds, form));
        let (stem, ending, join, end) = match ended {
            Some((stem, form, join, end)) => (stem, Some(form), join, end),
            None => (word.to_owned(), None, Join::Plain, sounds.len()),
        };
        let front = PREFIXES.iter().find_map(|form| {
            let base = stem.strip_prefix(form.trim_end_matches('-'))?;
            let count = base_sounds(base, |said| ends_with(&sounds[..end], said))?;
            Some((*form, end - count))
        });
        let (prefix, first) = front.map_or((None, 0), |(form, first)| (Some(form), first));
        (prefix.is_some() || ending.is_some()).then_some(WordStructure {
            prefix,
            base: (first, end),
            stem,
            ending,
            join,
        })
    }
}

type EndedStem = (String, &'static str, Join, usize);

/// The stem, the ending, how they join and how many sounds the stem has, if `word` is a stem with this ending.
fn ended(word: &str, sounds: &[Sound], form: &'static str) -> Option<EndedStem> {
    // -ies is -es after y.
    let ending = if form == "-ies" {
        "es"
    } else {
        form.trim_start_matches('-')
    };
    let left = word.strip_suffix(ending)?;
    let mut stems = Vec::new();
    let bytes = left.as_bytes();
    if let [.., a, b] = bytes
        && a == b
    {
        stems.push(left[..left.len() - 1].to_owned());
    }
    if let Some(start) = left.strip_suffix('i') {
        stems.push(format!("{start}y"));
    }
    stems.extend([left.to_owned(), format!("{left}e")]);
    stems.into_iter().find_map(|stem| {
        let sum = Sum::of(&format!("{stem}+{ending}"), word)?;
        let join = sum.joins[0];
        // Too many words end in y by chance (party, army); a letter doubled or an e dropped tells an ending.
        if form == "-y" && join == Join::Plain {
            return None;
        }
        let count = base_sounds(&stem, |said| starts_with(sounds, said) && said.len() < sounds.len())?;
        let shown = if form == "-ies" { "-es" } else { form };
        fits_ending(ending, &sounds[count..]).then_some((stem, shown, join, count))
    })
}

/// Whether these sounds are what the endings of one sound or two say; longer endings are told by their letters.
fn fits_ending(ending: &str, sounds: &[Sound]) -> bool {
    let one = |allowed: &[Sound]| matches!(sounds, [sound] if allowed.contains(sound));
    let weak = |last: Sound| matches!(sounds, [Sound::IH | Sound::AH, sound] if *sound == last);
    match ending {
        "ed" => one(&[Sound::D, Sound::T]) || weak(Sound::D),
        "s" => one(&[Sound::S, Sound::Z]),
        "es" => one(&[Sound::S, Sound::Z]) || weak(Sound::Z),
        "ing" => weak(Sound::NG),
        "er" => one(&[Sound::ER]),
        "ly" => matches!(sounds, [Sound::L, Sound::IY] | [Sound::IY]),
        "y" => one(&[Sound::IY]),
        _ => sounds.len() > 1,
    }
}

/// How many sounds `base` has in the way of saying it that passes `fits`, if it is a word of some use.
fn base_sounds(base: &str, fits: impl Fn(&[Sound]) -> bool) -> Option<usize> {
    let entry = lexicon::look_up(base).filter(|e| base.len() > 1 && e.zipf() >= KNOWN_ZIPF)?;
    let said = entry.variants().find(|said| fits(said.sounds()))?;
    Some(said.sounds().len())
}

/// Whether the two sounds are the same but for the weak vowels that the dictionary mixes.
fn alike(a: Sound, b: Sound) -> bool {
    let weak = |s: Sound| matches!(s, Sound::AH | Sound::IH | Sound::IY);
    a == b || (weak(a) && weak(b))
}

fn starts_with(sounds: &[Sound], base: &[Sound]) -> bool {
    sounds.len() >= base.len() && sounds.iter().zip(base).all(|(a, b)| alike(*a, *b))
}

fn ends_with(sounds: &[Sound], base: &[Sound]) -> bool {
    sounds.len() > base.len()
        && sounds[sounds.len() - base.len()..]
            .iter()
            .zip(base)
            .all(|(a, b)| alike(*a, *b))
}
