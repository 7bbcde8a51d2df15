//! What each rule is called, what it may be, and why.

use super::{CotCaught, Counted, Fire, Flap, Rules};

/// One counting rule, explained.
#[derive(Clone, Copy, Debug)]
pub struct RuleInfo {
    /// Its name, as on the command line.
    pub name: &'static str,
    /// What it may be set to.
    pub values: &'static [&'static str],
    /// What it is in the default set.
    pub default: &'static str,
    /// Why teachers differ, in one line.
    pub reason: &'static str,
    /// A word that the rule bears on.
    pub example: &'static str,
    /// Its name for people, such as `Vowel and r`.
    pub title: &'static str,
    /// Each of `values` for people, such as `One sound`.
    pub choices: &'static [&'static str],
    /// What is counted as one or as two, with an example: `A vowel and its r (barn)`. None where the rule changes no count.
    pub counts: Option<&'static str>,
    /// Reads the rule as an index into `values`.
    pub(super) get: fn(&Rules) -> usize,
    /// Writes the rule from an index into `values`.
    pub(super) put: fn(&mut Rules, usize),
}

impl RuleInfo {
    /// What a value is called for people; the value itself where the rule has no such one.
    pub fn choice<'a>(&'a self, value: &'a str) -> &'a str {
        let at = self.values.iter().position(|v| *v == value);
        at.and_then(|at| self.choices.get(at)).copied().unwrap_or(value)
    }
}

/// A rule is its name: two entries with one name cannot be.
impl PartialEq for RuleInfo {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

const COUNTED: [Counted; 2] = [Counted::One, Counted::Two];
const FLAP: [Flap; 2] = [Flap::T, Flap::D];
const FIRE: [Fire; 3] = [Fire::One, Fire::Two, Fire::OneSound];
const COT_CAUGHT: [CotCaught; 2] = [CotCaught::Merged, CotCaught::Apart];

/// A rule of the one-or-two kind; all of them count two by default.
macro_rules! counted {
    ($field:ident, $title:literal, $counts:literal, $example:literal, $reason:literal) => {
        RuleInfo {
            name: stringify!($field),
            values: &["one", "two"],
            default: "two",
            reason: $reason,
            example: $example,
            title: $title,
            choices: &["One sound", "Two sounds"],
            counts: Some($counts),
            get: |rules| rules.$field as usize,
            put: |rules, choice| rules.$field = COUNTED[choice],
        }
    };
}

pub(super) static RULES: [RuleInfo; 9] = [
    counted!(
        r_vowels,
        "Vowel and r",
        "A vowel and its r (barn)",
        "car",
        "The vowel of car or four colors into its r, so many lessons teach ar and or as one sound; the dictionary \
         writes two. The er of bird is one sound either way."
    ),
    counted!(
        yu,
        "Long u",
        "The long u of cute",
        "cute",
        "The long u of cute is taught as one vowel, yet starts with the very y of yes; few and beauty go with it."
    ),
    counted!(
        x,
        "The letter x",
        "The x of fox",
        "box",
        "One letter x stands for two sounds, k and s; some lessons let one letter be one sound."
    ),
    counted!(
        qu,
        "The letters qu",
        "The qu of queen",
        "queen",
        "The letters qu always come together and are taught as a team, yet say two sounds, k and w."
    ),
    counted!(
        syllabic,
        "Melted vowels",
        "The weak vowel and its consonant (button)",
        "button",
        "In quick speech the last vowel of button or bottle melts into the n or l, which then is a beat by itself."
    ),
    RuleInfo {
        name: "flap",
        values: &["t", "d"],
        default: "t",
        reason: "The middle of water is a quick tap that many children hear as d; spelling calls it t. The count stays.",
        example: "water",
        title: "The tap in the middle",
        choices: &["Call it t", "Call it d"],
        counts: None,
        get: |rules| rules.flap as usize,
        put: |rules, choice| rules.flap = FLAP[choice],
    },
    RuleInfo {
        name: "cot_caught",
        values: &["merged", "apart"],
        default: "apart",
        reason: "Many Americans say cot and caught alike; to them the two vowels are one sound. The count stays.",
        example: "caught",
        title: "cot and caught",
        choices: &["Same vowel", "Two vowels"],
        counts: None,
        get: |rules| rules.cot_caught as usize,
        put: |rules, choice| rules.cot_caught = COT_CAUGHT[choice],
    },
    counted!(
        ngk,
        "The letters nk",
        "The ng and k of pink",
        "pink",
        "The nk of pink is often taught as one glued chunk; the ear finds the ng of sing, then a k."
    ),
    RuleInfo {
        name: "fire",
        values: &["one", "two", "one_sound"],
        default: "one",
        reason: "Some clap fire and hour once, some twice; some lessons teach the vowel and its r as one sound.",
        example: "fire",
        title: "Fire and hour",
        choices: &["One beat, two sounds", "Two beats", "One sound"],
        counts: Some("The long vowel and r of fire"),
        get: |rules| rules.fire as usize,
        put: |rules, choice| rules.fire = FIRE[choice],
    },
];
