//! The rules by which sounds are counted, which differ between teachers.
//!
//! A pronunciation is a row of dictionary sounds. Teachers group some neighbours into one counted sound
//! (`ar` in *car*) and others do not; neither is wrong. Here each such habit is a rule with a name, so that
//! every count can say which rules made it.
//!
//! ```
//! use soundbead_data::{Rules, Sound};
//!
//! let car = [Sound::K, Sound::AA, Sound::R];
//! let mut rules = Rules::default();
//! assert_eq!(rules.count(&car, &[]), 3);
//! rules.set("r_vowels", "one")?;
//! assert_eq!(rules.units(&car, &[]), [0..1, 1..3]); // c | ar
//! # Ok::<(), soundbead_data::rule::RuleError>(())
//! ```
//!
//! Sounds arrive without stress, so two rules work from the neighbours alone: `syllabic` and `flap`. Each
//! says below what it goes by and where that is known to miss. When in doubt, sounds stay apart.

use crate::Sound;
use std::fmt;
use std::ops::Range;

mod about;
mod group;
mod written;

pub use about::RuleInfo;

/// Whether two neighbouring dictionary sounds are counted as one or as two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Counted {
    /// Together they are one sound.
    One,
    /// Each is a sound of its own.
    Two,
}

/// What the quick tap in the middle of *water* is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Flap {
    /// /t/, as the spelling has it.
    T,
    /// /d/, as many ears have it.
    D,
}

/// Whether *cot* and *caught* have the same vowel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CotCaught {
    /// They sound alike (much of the west of North America, and Canada).
    Merged,
    /// They sound different, as the dictionary has them.
    Apart,
}

/// How *fire*, *hour*, *our* are taken: a long vowel and the r behind it, with no vowel letter between them. *Flower* and *higher*,
/// whose ending has a vowel letter of its own, are always two beats.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Fire {
    /// Two sounds in one beat: as the dictionary counts and as such words are printed. *Prism* has one beat too.
    #[default]
    One,
    /// Two sounds and two beats, as they are often clapped. *Prism* has two beats too.
    Two,
    /// One sound and one beat, beside the other vowels with r.
    OneSound,
}

/// The rules in force, one field a rule. [`Rules::about`] explains each.
///
/// The default is the set `phoneme`, under which every dictionary sound counts as one.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Rules {
    /// A vowel and the r that closes its syllable: *car*, *four*.
    pub r_vowels: Counted,
    /// The y-glide and vowel of *cute*.
    pub yu: Counted,
    /// The letter x over two sounds: *box*. Needs letters.
    pub x: Counted,
    /// The letters qu over two sounds: *queen*. Needs letters.
    pub qu: Counted,
    /// The weak vowel and n, l or m of *button*, *bottle*, *rhythm*.
    pub syllabic: Counted,
    /// The name of the tap in *water*. Never changes a count.
    pub flap: Flap,
    /// Whether *cot* and *caught* share a vowel. Never changes a count.
    pub cot_caught: CotCaught,
    /// The ng and k of *pink*.
    pub ngk: Counted,
    /// The long vowel and r of *fire* and *hour*, as sounds and as beats.
    pub fire: Fire,
}

impl Default for Rules {
    fn default() -> Self {
        Rules {
            r_vowels: Counted::Two,
            yu: Counted::Two,
            x: Counted::Two,
            qu: Counted::Two,
            syllabic: Counted::Two,
            flap: Flap::T,
            cot_caught: CotCaught::Apart,
            ngk: Counted::Two,
            fire: Fire::One,
        }
    }
}

impl Rules {
    /// The named sets: name, and one line on whom it is for. The first is the default.
    pub const SETS: [(&'static str, &'static str); 2] = [
        (
            "phoneme",
            "every sound the dictionary writes counts as one, so the count agrees with the dictionary",
        ),
        (
            "phonics",
            "r-vowels (car) and long u (cute) count as one sound each, as many reading lessons teach them; \
             x and qu stay two sounds, -le and -on a vowel and a consonant, nk two sounds",
        ),
    ];

    /// The set called `name`: `phoneme` (the default) or `phonics`; `None` for any other name.
    ///
    /// `phonics` follows common practice in reading lessons, for which there is no one source: r-vowels one,
    /// /ju/ one (it is taught as the long u), all else as in `phoneme`. Lessons disagree most about `nk` and
    /// `-le`; both stay two here because that is what the ear can check.
    pub fn named(name: &str) -> Option<Rules> {
        match name {
            "phoneme" => Some(Rules::default()),
            "phonics" => Some(Rules {
                r_vowels: Counted::One,
                yu: Counted::One,
                ..Rules::default()
            }),
            _ => None,
        }
    }

    /// Every rule with its values and reasons, in the order of [`Rules::iter`].
    pub fn about() -> &'static [RuleInfo] {
        &about::RULES
    }

    /// What is known of the rule called `name`, if there is one.
    pub fn about_one(name: &str) -> Option<&'static RuleInfo> {
        Self::about().iter().find(|info| info.name == name)
    }

    /// The name of the set that these rules are, if they are one.
    pub fn set_name(&self) -> Option<&'static str> {
        let found = Self::SETS
            .iter()
            .find(|(name, _)| Self::named(name).as_ref() == Some(self));
        found.map(|(name, _)| *name)
    }

    /// Sets the rule called `name` to `value`.
    ///
    /// # Errors
    /// When no rule has that name, or the rule has no such value; the message says what is allowed.
    pub fn set(&mut self, name: &str, value: &str) -> Result<(), RuleError> {
        let Some(info) = Self::about_one(name) else {
            return Err(RuleError::UnknownRule { name: name.to_owned() });
        };
        let Some(choice) = info.values.iter().position(|allowed| *allowed == value) else {
            return Err(RuleError::UnknownValue {
                rule: info,
                value: value.to_owned(),
            });
        };
        (info.put)(self, choice);
        Ok(())
    }

    /// Each rule's name and value in force, always in the same order.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, &'static str)> {
        Self::about()
            .iter()
            .map(|info| (info.name, info.values[(info.get)(self)]))
    }

    /// Each single change to these rules: the rule, the value it does not have now, and the rules with it.
    pub fn alternatives(&self) -> impl Iterator<Item = (&'static str, &'static str, Rules)> {
        Self::about().iter().flat_map(|info| {
            let now = (info.get)(self);
            let others = (0..info.values.len()).filter(move |choice| *choice != now);
            others.map(|choice| {
                let mut changed = self.clone();
                (info.put)(&mut changed, choice);
                (info.name, info.values[choice], changed)
            })
        })
    }

    /// Groups a pronunciation into counted sounds: ranges over `sounds`, in order, that cover all of it.
    ///
    /// `letters` ties sounds to the letters that spell them (letters, range over `sounds`), where known; empty
    /// means unknown. `x` and `qu` do nothing without letters, `yu` and `syllabic` do better with them. Ranges
    /// beyond the sounds are ignored.
    pub fn units(&self, sounds: &[Sound], letters: &[(&str, Range<usize>)]) -> Vec<Range<usize>> {
        let joins = group::joins(self, sounds, letters);
        let mut units = Vec::with_capacity(sounds.len());
        let mut start = 0;
        for end in 1..=sounds.len() {
            if end == sounds.len() || !joins[end - 1] {
                units.push(start..end);
                start = end;
            }
        }
        units
    }

    /// How many sounds a pronunciation has: the number of [`Rules::units`].
    pub fn count(&self, sounds: &[Sound], letters: &[(&str, Range<usize>)]) -> usize {
        self.units(sounds, letters).len()
    }

    /// Whether two sounds are held the same wherever they stand: a sound and itself, and AA with AO when
    /// `cot_caught` is merged.
    ///
    /// T and D are never the same here, because the tap makes them so only in words like *water*, never in
    /// *ten* and *den*. Where the word is known, ask [`Rules::same_at`].
    pub fn same(&self, a: Sound, b: Sound) -> bool {
        a == b || (self.cot_caught == CotCaught::Merged && is_pair(a, b, Sound::AA, Sound::AO))
    }

    /// Whether `other`, said in place of `sounds[at]`, leaves the word as it was.
    ///
    /// True where [`Rules::same`] is, except that AA and AO before R always differ (*car*, *core*); it is true of T and
    /// D in tap position (*waiter*, *wader*) whatever `flap` says. That rule picks the name of the tap; the tap itself
    /// is the same for both. False when `at` lies beyond the sounds.
    pub fn same_at(&self, sounds: &[Sound], at: usize, other: Sound) -> bool {
        let Some(&sound) = sounds.get(at) else { return false };
        if is_pair(sound, other, Sound::AA, Sound::AO) && sounds.get(at + 1) == Some(&Sound::R) {
            return false;
        }
        let tapped = is_pair(sound, other, Sound::T, Sound::D) && group::taps(sounds, at);
        tapped || self.same(sound, other)
    }

    /// The sounds by the names these rules give them; as many as came in.
    ///
    /// A tapped T becomes D when `flap` is d (*water*); AO becomes AA when `cot_caught` is merged, though not
    /// before R (*four*). Under the default rules nothing changes.
    pub fn relabel(&self, sounds: &[Sound]) -> Vec<Sound> {
        let name = |(at, &sound): (usize, &Sound)| match sound {
            Sound::T if self.flap == Flap::D && group::taps(sounds, at) => Sound::D,
            Sound::AO if self.same_at(sounds, at, Sound::AA) => Sound::AA,
            _ => sound,
        };
        sounds.iter().enumerate().map(name).collect()
    }
}

/// Whether `a` and `b` are `x` and `y`, either way round.
fn is_pair(a: Sound, b: Sound, x: Sound, y: Sound) -> bool {
    (a, b) == (x, y) || (a, b) == (y, x)
}

/// A rule could not be set.
#[derive(Clone, Debug, PartialEq)]
pub enum RuleError {
    /// No rule has this name.
    UnknownRule {
        /// The name as given.
        name: String,
    },
    /// The rule exists, the value does not.
    UnknownValue {
        /// The rule that was to be set.
        rule: &'static RuleInfo,
        /// The value as given.
        value: String,
    },
}

impl fmt::Display for RuleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RuleError::UnknownRule { name } => {
                let names: Vec<_> = Rules::about().iter().map(|info| info.name).collect();
                write!(
                    f,
                    "there is no counting rule `{name}`; the rules are {}",
                    names.join(", ")
                )
            }
            RuleError::UnknownValue { rule, value } => {
                let allowed = rule.values.join(" or ");
                write!(
                    f,
                    "counting rule {} cannot be `{value}`; write {}={allowed}",
                    rule.name, rule.name
                )
            }
        }
    }
}

impl std::error::Error for RuleError {}
