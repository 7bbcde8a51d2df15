//! Values of options, from text. Each error says what was found and what was wanted; the option is named by `slip`.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use jiff::civil::Date;
use soundbead_data::chain::{ChangeKind, Place, Unit};
use soundbead_data::course::Choice;
use soundbead_data::inventory::{self, Arpabet};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sort::Level;
use soundbead_data::sound::Sound;
use soundbead_data::writing::Finding;
use soundbead_dsp::formant::VoiceKind;
use soundbead_dsp::judgement::{Speaking, Verdict};

use crate::fault::{nearest, one_line};
use crate::notebook::{Author, WritingSource, export};
use crate::sheet::Paper;
use crate::typed;

// Names of their own, for `Vec` in a command's arguments would mean an option that is given many times.
pub type Sounds = Vec<Sound>;
pub type Units = Vec<Unit>;
pub type Places = Vec<Place>;
pub type Kinds = Vec<ChangeKind>;
pub type Contrasts = Vec<(Unit, Unit)>;
pub type SpellingValues = Vec<String>;
pub type WordValues = Vec<String>;
pub type Clusters = Vec<Vec<Unit>>;
/// From the fewest syllables to the most.
pub type Syllables = RangeInclusive<usize>;

/// One of a few names, in small or capital letters.
pub fn one_of<T>(names: &[&'static str]) -> impl TypedValueParser<Value = T> + use<T>
where
    T: FromStr<Err: Display> + Clone + Send + Sync + 'static,
{
    PossibleValuesParser::new(names.iter().copied())
        .try_map(|name| name.to_lowercase().parse::<T>().map_err(|e| e.to_string()))
}

pub fn speaking() -> impl TypedValueParser<Value = Speaking> {
    one_of(&Speaking::ALL.map(|(_, name)| name))
}

pub fn voice() -> impl TypedValueParser<Value = VoiceKind> {
    one_of(&["child", "woman", "man"])
}

pub fn verdict() -> impl TypedValueParser<Value = Verdict> {
    one_of(&["same", "fewer", "more", "changed", "unsure"])
}

pub fn author() -> impl TypedValueParser<Value = Author> {
    PossibleValuesParser::new(Author::ALL.iter().map(|a| a.name())).try_map(|name| {
        let known = Author::ALL.iter().copied().find(|a| a.name() == name.to_lowercase());
        known.ok_or_else(|| format!("`{name}` is nobody who writes"))
    })
}

pub fn form() -> impl TypedValueParser<Value = export::ExportForm> {
    PossibleValuesParser::new(["csv", "json"]).map(|name| match name.to_lowercase().as_str() {
        "csv" => export::ExportForm::Csv,
        _ => export::ExportForm::Json,
    })
}

/// What a first try may show, by the names that `soundbead wrote` gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindingName {
    /// A finding at a sound.
    At(Finding),
    /// Letters that stand for no sound.
    Added,
}

impl FindingName {
    /// The finding at a sound, if it is one.
    pub fn finding(self) -> Option<Finding> {
        match self {
            FindingName::At(finding) => Some(finding),
            FindingName::Added => None,
        }
    }
}

/// Every finding; whether the letters fit the place makes no difference here.
const FINDINGS: [Finding; 6] = [
    Finding::Kept,
    Finding::Omitted,
    Finding::SpelledOtherwise { fits_here: false },
    Finding::NearSound,
    Finding::OtherSound,
    Finding::Swapped,
];

pub fn finding() -> impl TypedValueParser<Value = FindingName> {
    let names = FINDINGS.iter().map(|f| f.name()).chain(["added"]);
    PossibleValuesParser::new(names).map(|name| {
        let named = FINDINGS.iter().find(|f| f.name() == name.to_lowercase());
        named.map_or(FindingName::Added, |finding| FindingName::At(*finding))
    })
}

pub fn writing_source() -> impl TypedValueParser<Value = WritingSource> {
    PossibleValuesParser::new(WritingSource::ALL.iter().map(|s| s.name())).try_map(|name| {
        let known = WritingSource::ALL
            .iter()
            .copied()
            .find(|s| s.name() == name.to_lowercase());
        known.ok_or_else(|| format!("`{name}` is nowhere that is written"))
    })
}

/// A choice of spelling, by its name.
///
/// # Errors
/// One line when there is no such choice, with the nearest.
pub fn choice(name: &str) -> Result<Choice, String> {
    let name = name.trim().to_lowercase();
    Choice::find(&name).ok_or_else(|| {
        let names = Choice::ALL.iter().map(|choice| choice.name());
        let hint = nearest(&name, names).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
        format!(
            "there is no choice `{}`{hint}; `soundbead course --json` names those of each word",
            one_line(&name)
        )
    })
}

pub fn paper() -> impl TypedValueParser<Value = Paper> {
    one_of(&["a4", "letter"])
}

/// A day such as 2026-11-25.
///
/// # Errors
/// One line when it is no day of the calendar.
pub fn day(text: &str) -> Result<Date, String> {
    text.parse()
        .map_err(|_| format!("`{text}` is not a day; write it as 2026-11-25"))
}

/// A whole number in `range`; `what` is what it counts.
///
/// # Errors
/// One line when it is no whole number, or lies outside the range.
pub fn number<T>(what: &'static str, range: RangeInclusive<T>) -> impl Fn(&str) -> Result<T, String> + Clone
where
    T: FromStr + PartialOrd + Display + Clone,
{
    move |text| {
        let number = text.trim().parse().ok().filter(|n| range.contains(n));
        number.ok_or_else(|| {
            format!(
                "found `{text}`, wanted {what} from {} to {}",
                range.start(),
                range.end()
            )
        })
    }
}

/// A seed: any whole number from 0 up.
///
/// # Errors
/// One line when it is no such number.
pub fn seed(text: &str) -> Result<u64, String> {
    text.parse()
        .map_err(|_| format!("found `{text}`, wanted a whole number from 0 up"))
}

/// Sounds, as `P IH G`, `p-ih-g` or `/pɪɡ/`.
///
/// # Errors
/// One line when something in it is no sound.
pub fn sounds(text: &str) -> Result<Sounds, String> {
    typed::sounds(text)
}

/// One sound, likewise.
///
/// # Errors
/// One line when it is not one sound.
pub fn sound(text: &str) -> Result<Sound, String> {
    match typed::sounds(text)?[..] {
        [one] => Ok(one),
        _ => Err(format!("found `{text}`, wanted one sound such as SH")),
    }
}

/// One sound of the inventory, such as `TH`, `AH0`, or `AA+R` for a vowel with r.
///
/// # Errors
/// What was found and what was wanted, where it names no sound of the inventory.
pub fn lone_sound(text: &str) -> Result<Arpabet, String> {
    let typed = || {
        let sounds = typed::sounds(text).ok()?;
        let names: Vec<_> = sounds.iter().map(|sound| sound.arpabet()).collect();
        names.join(" ").parse::<Arpabet>().ok()
    };
    let named = text.replace('+', " ").parse::<Arpabet>().ok().or_else(typed);
    let known = named.filter(|sound| inventory::find(&sound.to_string()).is_some());
    known.ok_or_else(|| format!("found `{text}`, wanted one sound such as SH; `soundbead sounds` lists them"))
}

/// A way of saying a word; the vowels may carry stress digits.
///
/// # Errors
/// One line when something in it is no sound.
pub fn pronunciation(text: &str) -> Result<Pronunciation, String> {
    typed::pronunciation(text)
}

/// Where changes may be, with commas between the names; none for `any`.
///
/// # Errors
/// One line when a name is not known.
pub fn places(text: &str) -> Result<Places, String> {
    several(text)
}

/// What changes may be, with commas between the names; none for `any`.
///
/// # Errors
/// One line when a name is not known.
pub fn kinds(text: &str) -> Result<Kinds, String> {
    several(text)
}

/// Names with commas between them; `any` is none at all.
fn several<T: FromStr<Err: Display>>(text: &str) -> Result<Vec<T>, String> {
    let named = parts(text, |c| c == ',');
    match named[..] {
        [] => Err("no name was given".into()),
        [any] if any.eq_ignore_ascii_case("any") => Ok(Vec::new()),
        _ => named
            .iter()
            .map(|n| n.parse::<T>().map_err(|e| format!("{e}, or any")))
            .collect(),
    }
}

/// Counted sounds: as for [`sounds`], with `AA+R` for several that count as one.
///
/// # Errors
/// One line when something in it is no sound.
pub fn units(text: &str) -> Result<Units, String> {
    typed::units(text)
}

/// Pairs of sounds with commas between the pairs.
///
/// # Errors
/// One line when a pair is not two different sounds.
pub fn contrasts(text: &str) -> Result<Contrasts, String> {
    let pair = |part: &str| match units(part)?[..] {
        [a, b] if a != b => Ok((a, b)),
        _ => Err(format!(
            "found `{}`, wanted two different sounds, such as \"EH IH\"",
            part.trim()
        )),
    };
    text.split(',').map(pair).collect()
}

/// Rows of sounds with commas between the rows: `N T,S T`.
///
/// # Errors
/// One line when something in it is no sound.
pub fn clusters(text: &str) -> Result<Clusters, String> {
    text.split(',').map(units).collect()
}

/// How common the words of a sort are to be.
///
/// # Errors
/// One line when the name is not known.
pub fn level(text: &str) -> Result<Level, String> {
    text.parse()
        .map_err(|e: soundbead_data::chain::UnknownName| e.to_string())
}

/// Letters that spell a sound, with commas or spaces between them.
///
/// # Errors
/// One line when there are none, or when something in it is not letters.
pub fn spellings(text: &str) -> Result<SpellingValues, String> {
    typed::spellings(text)
}

/// Two or more different words with commas between them.
///
/// # Errors
/// One line when there are fewer than two words, or one comes twice.
pub fn words(text: &str) -> Result<WordValues, String> {
    let words: WordValues = parts(text, |c| c == ',').iter().map(|w| (*w).to_owned()).collect();
    if words.len() < 2 {
        return Err(format!(
            "found `{text}`, wanted two or more words with commas between them, such as pig,peg"
        ));
    }
    let twice = words.iter().enumerate().find(|(i, w)| words[..*i].contains(w));
    match twice {
        Some((_, word)) => Err(format!("`{word}` stands there twice")),
        None => Ok(words),
    }
}

/// `2`, or `1-2`.
///
/// # Errors
/// One line when it is no number or range from 1 up.
pub fn syllables(text: &str) -> Result<Syllables, String> {
    let (low, high) = text.split_once('-').unwrap_or((text, text));
    // The dictionary's longest words have fewer than twenty.
    let number = |t: &str| t.trim().parse::<usize>().ok().filter(|n| (1..=20).contains(n));
    let ends = number(low).zip(number(high)).filter(|(low, high)| low <= high);
    let (low, high) =
        ends.ok_or_else(|| format!("found `{}`, wanted a number such as 1, or two as 1-2", one_line(text)))?;
    Ok(low..=high)
}

fn parts(text: &str, between: impl Fn(char) -> bool) -> Vec<&str> {
    let parts = text.split(between).map(str::trim);
    parts.filter(|part| !part.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_read_and_refused_with_what_was_wanted() {
        assert_eq!(places("initial, Final").unwrap(), [Place::Initial, Place::Final]);
        assert!(kinds("any").unwrap().is_empty());
        assert!(kinds("swop").unwrap_err().contains("wanted swap"));
        assert_eq!(units("AA+R,t").unwrap().len(), 2);
        assert_eq!(contrasts("EH IH, s sh").unwrap().len(), 2);
        assert!(contrasts("EH EH").is_err() && contrasts("EH").is_err() && units(" ").is_err());
        assert_eq!(spellings("CK,a_e").unwrap(), ["ck", "a_e"]);
        assert!(spellings("c4").is_err() && spellings(",").is_err());
        assert_eq!(syllables("1-2").unwrap(), 1..=2);
        assert!(syllables("0").is_err() && syllables("3-1").is_err() && syllables("x").is_err());
        assert!(number("a number", 1..=3)("4").unwrap_err().contains("from 1 to 3"));
    }
}
