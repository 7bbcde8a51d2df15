//! Sounds and spellings as people type them, on the command line, in the window and in manifests.
//!
//! Three ways of writing sounds are read, the three that the program prints: ARPAbet (`P IH G`, or `B AA+R N` where
//! several count as one), the plain spelling with hyphens (`p-ih-g`, `b-ar-n`), and IPA (`/pɪɡ/`). A text is read in one
//! of them as a whole, for `ow` is one sound in ARPAbet and another in the plain spelling.

use soundbead_data::chain::Unit;
use soundbead_data::inventory::{self, SoundEntry, Stress};
use soundbead_data::lexicon::Pronunciation;
use soundbead_data::sound::Sound;

/// Most sounds in one word; the dictionary's longest entries have about thirty.
pub const LONGEST: usize = 40;

/// A sound, and its stress where the writing says something of it: 1 main, 2 second, 0 none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct StressedSound {
    sound: Sound,
    stress: Option<u8>,
}

/// Sounds that were written as one.
type SoundGroup = Vec<StressedSound>;

/// Reads sounds.
///
/// # Errors
/// One line when there are none, too many, or something that is no sound.
pub fn sounds(text: &str) -> Result<Vec<Sound>, String> {
    let all = groups(text)?;
    Ok(all.iter().flatten().map(|said| said.sound).collect())
}

/// Reads sounds, those that are written as one together: `AA+R`, or `ar` of `b-ar-n`.
///
/// # Errors
/// As for [`sounds`].
pub fn units(text: &str) -> Result<Vec<Unit>, String> {
    let unit = |group: &SoundGroup| {
        let sounds: Vec<Sound> = group.iter().map(|said| said.sound).collect();
        Unit::new(&sounds).ok_or_else(|| format!("`{text}` has too many sounds in one"))
    };
    groups(text)?.iter().map(unit).collect()
}

/// Reads sounds with the stress of their vowels, as far as it is written. Where none is, the first full vowel has it.
///
/// # Errors
/// As for [`sounds`].
pub fn pronunciation(text: &str) -> Result<Pronunciation, String> {
    let all: Vec<StressedSound> = groups(text)?.concat();
    let mut stress: Vec<u8> = all.iter().map(|said| said.stress.unwrap_or(0)).collect();
    let marked = stress.iter().any(|s| *s > 0);
    let full = |said: &StressedSound| said.sound.is_vowel() && said.stress != Some(0);
    let first = all.iter().position(full);
    let first = first.or_else(|| all.iter().position(|said| said.sound.is_vowel()));
    // Digits that say 0 throughout are meant: such a word has no stress of its own.
    if let Some(first) = first.filter(|_| !marked && !text.bytes().any(|b| b.is_ascii_digit())) {
        stress[first] = 1;
    }
    Ok(Pronunciation::new(all.iter().map(|said| said.sound).collect(), &stress))
}

/// Reads a word, and the way in which it is meant where one stands behind a colon: `read:R-EH-D`, `read:r-eh-d`.
///
/// # Errors
/// As for [`sounds`], of what stands behind the colon.
pub fn meant(text: &str) -> Result<(&str, Option<Pronunciation>), String> {
    let Some((word, said)) = text.split_once(':') else {
        return Ok((text, None));
    };
    // Capitals are ARPAbet, whose sounds have spaces between; small letters with hyphens are the plain spelling.
    let capitals = said.bytes().any(|b| b.is_ascii_uppercase());
    let said = if capitals {
        said.replace('-', " ")
    } else {
        said.to_owned()
    };
    let said = pronunciation(&said).map_err(|e| format!("`{}`: {e}", text.trim()))?;
    Ok((word.trim(), Some(said)))
}

/// Reads spellings, with spaces or commas between them: `p, i, ck, a_e`.
///
/// # Errors
/// One line when there is none, or something that is not letters.
pub fn spellings(text: &str) -> Result<Vec<String>, String> {
    let parts: Vec<String> = parts(text).map(str::to_lowercase).collect();
    let bad = parts
        .iter()
        .find(|p| !p.chars().all(|c| c.is_ascii_lowercase() || c == '_'));
    match bad {
        Some(bad) => Err(format!("found `{bad}`, wanted letters, such as ck or a_e")),
        None if parts.is_empty() => Err("no letters were given; write such as \"p,i,g,ck,a_e\"".into()),
        None => Ok(parts),
    }
}

/// What stands between spaces or commas.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    let between = |c: char| c.is_whitespace() || c == ',';
    text.split(between).filter(|part| !part.is_empty())
}

fn groups(text: &str) -> Result<Vec<SoundGroup>, String> {
    let read = match text {
        _ if text.contains(['/', '[']) => ipa(text)?,
        // The plain spelling has one vowel with a mark, the oo of book.
        _ if text.contains('-') => {
            let pieces: Vec<&str> = text.split(['-', ' ', ',']).filter(|p| !p.is_empty()).collect();
            let read = all(&pieces, plain).or_else(|_| all(&pieces, arpabet));
            read.or_else(|wrong| if text.is_ascii() { Err(wrong) } else { ipa(text) })?
        }
        _ if !text.is_ascii() => ipa(text).or_else(|wrong| all(&[text], plain).map_err(|_| wrong))?,
        _ => {
            let pieces: Vec<&str> = parts(text).collect();
            all(&pieces, arpabet).or_else(|wrong| all(&pieces, plain).map_err(|_| wrong))?
        }
    };
    match read.concat().len() {
        0 => Err("no sounds were given; write them as \"P IH G\", p-ih-g or /pɪɡ/".into()),
        n if n > LONGEST => Err(format!(
            "{n} sounds are more than a word has; at most {LONGEST} can be asked about"
        )),
        _ => Ok(read),
    }
}

fn all(pieces: &[&str], read: fn(&str) -> Result<SoundGroup, String>) -> Result<Vec<SoundGroup>, String> {
    pieces.iter().map(|piece| read(piece)).collect()
}

/// `IH`, `IH1`, or `AA+R`.
fn arpabet(piece: &str) -> Result<SoundGroup, String> {
    let one = |name: &str| {
        let sound: Sound = name.parse().map_err(|_| no_sound(name))?;
        let digit = name.bytes().last().filter(u8::is_ascii_digit);
        Ok(StressedSound {
            sound,
            stress: digit.map(|d| d - b'0'),
        })
    };
    piece.split('+').filter(|name| !name.is_empty()).map(one).collect()
}

/// `ih`, or `ar`. In small letters alone: capitals are meant as ARPAbet, in which `OH` is no sound.
fn plain(piece: &str) -> Result<SoundGroup, String> {
    let entry = inventory::cards().find(|e| e.respelling == piece);
    entry.map(|e| said(e, None)).ok_or_else(|| no_sound(piece))
}

fn said(entry: &SoundEntry, stress: Option<u8>) -> SoundGroup {
    let weak = (entry.arpabet.stress() == Some(Stress::Weak)).then_some(0);
    let one = |sound: &Sound| StressedSound {
        sound: *sound,
        stress: weak.or(stress.filter(|_| sound.is_vowel())),
    };
    entry.arpabet.sounds().iter().map(one).collect()
}

fn no_sound(found: &str) -> String {
    format!("`{found}` is not an ARPAbet sound; write sounds as P IH G, p-ih-g or /pɪɡ/")
}

/// Signs that are typed for those of the inventory.
const TYPED_FOR: [(&str, &str); 6] = [
    ("tʃ", "t͡ʃ"),
    ("ʧ", "t͡ʃ"),
    ("dʒ", "d͡ʒ"),
    ("ʤ", "d͡ʒ"),
    ("r", "ɹ"),
    ("g", "ɡ"),
];

/// IPA: the longest sign that the inventory has at each place. Length marks say nothing here; a point parts two sounds
/// that would be read as one.
fn ipa(text: &str) -> Result<Vec<SoundGroup>, String> {
    let (mut rest, mut read, mut stress) = (text, Vec::new(), None);
    while let Some(sign) = rest.chars().next() {
        let after = &rest[sign.len_utf8()..];
        match sign {
            'ˈ' | 'ˌ' => stress = Some(if sign == 'ˈ' { 1 } else { 2 }),
            '/' | '[' | ']' | '.' | 'ː' | ',' => {}
            _ if sign.is_whitespace() => {}
            _ => {
                let (entry, length) = longest(rest).ok_or_else(|| no_sound(&sign.to_string()))?;
                let group = said(entry, stress);
                if group.iter().any(|said| said.sound.is_vowel()) {
                    stress = None;
                }
                read.push(group);
                rest = &rest[length..];
                continue;
            }
        }
        rest = after;
    }
    Ok(read)
}

/// The entry whose sign, or what is typed for it, the text begins with; the longest of several.
fn longest(text: &str) -> Option<(&'static SoundEntry, usize)> {
    // A vowel and its r are two signs, and each is read by itself.
    let single = || inventory::all().iter().filter(|e| e.arpabet.sounds().len() == 1);
    let own = single().map(|e| (e, e.ipa.as_str()));
    let typed = TYPED_FOR
        .iter()
        .filter_map(|(typed, ipa)| Some((inventory::by_ipa(ipa)?, *typed)));
    let fits = own.chain(typed).filter(|(_, sign)| text.starts_with(sign));
    fits.map(|(entry, sign)| (entry, sign.len()))
        .max_by_key(|(_, length)| *length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::say::CountedSounds;
    use soundbead_data::{Rules, lexicon};

    fn names(text: &str) -> String {
        let sounds = sounds(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        sounds.iter().map(|s| s.arpabet()).collect::<Vec<_>>().join(" ")
    }

    /// The IPA of these words is that of any dictionary of American English (common practice, no source).
    #[test]
    fn three_ways_of_writing_are_read() {
        for text in [
            "R IH NG",
            "r,ih1,ng",
            "r-ih-ng",
            "R-IH-NG",
            "/ɹɪŋ/",
            "/rɪŋ/",
            "ɹɪŋ",
            "[ˈɹɪŋ]",
        ] {
            assert_eq!(names(text), "R IH NG", "{text}");
        }
        assert_eq!(names("/tʃiːz/"), "CH IY Z");
        assert_eq!(names("/t͡ʃiz/"), "CH IY Z");
        assert_eq!(names("/nʌt.ʃɛl/"), "N AH T SH EH L");
        assert_eq!(names("h-ow-s"), "HH AW S");
        assert_eq!(names("HH OW S"), "HH OW S");
        assert_eq!(names("b-ar-n"), "B AA R N");
        assert_eq!(names("ee"), "IY");
    }

    #[test]
    fn what_is_no_sound_is_named() {
        for (text, part) in [
            ("P QQ G", "QQ"),
            ("P1", "P1"),
            ("G OH", "OH"),
            ("", "no sounds"),
            ("p-qq-g", "qq"),
            ("/pɪ7/", "7"),
        ] {
            let wrong = sounds(text).expect_err(text);
            assert!(wrong.contains(part), "{text}: {wrong}");
        }
        assert!(sounds(&"AH ".repeat(LONGEST + 1)).is_err());
    }

    #[test]
    fn sounds_written_as_one_stay_together() {
        let sizes = |text: &str| {
            units(text)
                .unwrap()
                .iter()
                .map(|u| u.sounds().count())
                .collect::<Vec<_>>()
        };
        assert_eq!(sizes("B AA+R N"), [1, 2, 1]);
        assert_eq!(sizes("b-ar-n"), [1, 2, 1]);
    }

    #[test]
    fn stress_is_read_where_it_is_written() {
        let stress = |text: &str| pronunciation(text).unwrap().stress().to_vec();
        assert_eq!(stress("P IY K AA N"), [0, 1, 0, 0, 0]);
        assert_eq!(stress("P IH0 K AA1 N"), [0, 0, 0, 1, 0]);
        assert_eq!(stress("/pɪˈkɑn/"), [0, 0, 0, 1, 0]);
        // The weak vowel of sofa, as the program prints it.
        assert_eq!(stress("uh-b-ow-t"), [0, 0, 1, 0]);
    }

    /// What the program prints, it reads.
    #[test]
    fn every_common_word_is_read_back_as_it_is_printed() {
        let words = soundbead_data::chain::WordList::default();
        let graph = soundbead_data::chain::Graph::new(&words, &Rules::default());
        let mut tried = 0;
        for (spelled, _) in graph.words().step_by(7) {
            let said = lexicon::look_up(&spelled.word).and_then(|e| e.variants().next());
            let Some(said) = said.filter(|s| s.sounds().len() <= LONGEST) else {
                continue;
            };
            let written = CountedSounds::new(&spelled.word, said.clone(), &Rules::default());
            for text in [format!("/{}/", written.ipa()), format!("{}-", written.plain_letters())] {
                assert_eq!(sounds(&text).as_deref(), Ok(said.sounds()), "{}: {text}", spelled.word);
            }
            tried += 1;
        }
        assert!(tried > 2_000, "{tried}");
    }
}
