//! What a word can do in a frame: noun, verb, adjective and so on, each with what it goes with.

/// What nouns mean, as far as it says where they fit: one bit each, in this order.
const CLASSES: [&str; 37] = [
    "person", "animal", "bird", "fish", "thing", "box", "food", "drink", "wear", "stuff", "room", "seat", "mark",
    "ride", "body", "tail", "water", "sky", "weather", "tale", "event", "time", "plant", "span", "ground", "shade",
    "glow", "door", "pen", "sharp", "dish", "low", "nester", "way", "toss", "lore", "contest",
];

/// How many there are of a noun, and so which verb form agrees with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Number {
    One,
    Many,
    Mass,
    /// *I*, which takes *was* like one and *jump* like many.
    I,
}

/// Where a noun may stand, and whether anything stands before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// With a determiner, anywhere.
    Common,
    /// With *the* and nothing else: *the moon*.
    The,
    /// By itself, anywhere: *Dad*.
    Name,
    /// By itself, as subject: *he*.
    Subject,
    /// By itself, as object: *him*.
    Object,
}

/// Forms of a verb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VerbForm {
    Base,
    S,
    Past,
    Ing,
}

/// What a word can do in a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    Noun {
        classes: u64,
        number: Number,
        stands: Stands,
    },
    /// `state`: *want*, which *might* but not *can* be.
    Verb {
        group: usize,
        form: VerbForm,
        state: bool,
    },
    /// `entry` is the heading of the table: adjectives under one heading may contradict each other.
    Adjective {
        classes: u64,
        only_the: bool,
        entry: usize,
    },
    Determiner {
        one: bool,
        many: bool,
        mass: bool,
        indefinite: bool,
    },
    Modal,
    Be,
    /// Adverbs and prepositions.
    Small {
        group: usize,
    },
    /// A plain word of a frame.
    Plain,
}

/// What is looked for when a slot is filled: a noun of this class (a bit of it), a verb or small word of this group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SlotKind {
    Noun(u32),
    Adjective,
    Verb(usize),
    Small(usize),
}

impl Sense {
    /// Its kinds: several for a noun of several classes, none for what fills no slot unasked.
    pub fn kinds(self) -> Vec<SlotKind> {
        match self {
            Sense::Noun { classes, .. } => bits(classes).map(SlotKind::Noun).collect(),
            Sense::Adjective { .. } => vec![SlotKind::Adjective],
            Sense::Verb { group, .. } => vec![SlotKind::Verb(group)],
            Sense::Small { group } => vec![SlotKind::Small(group)],
            _ => Vec::new(),
        }
    }
}

/// The places of the bits that are set.
pub fn bits(classes: u64) -> impl Iterator<Item = u32> {
    (0..u64::BITS).filter(move |bit| classes >> bit & 1 == 1)
}

/// One word in one sense.
#[derive(Clone, Debug)]
pub struct WordSense {
    /// In small letters.
    pub text: String,
    /// As it is written inside a sentence.
    pub show: String,
    /// The same for all forms of a word.
    pub lemma: usize,
    pub sense: Sense,
    /// Whether it is short and in its simplest form, fit to fill a slot for which no word was given.
    pub easy: bool,
}

/// The bits of classes with `between` between them.
///
/// # Panics
/// On a name that is no class; the tests read the whole table.
pub fn class_bits(names: &str, between: char) -> u64 {
    let bit = |name: &str| {
        CLASSES
            .iter()
            .position(|c| *c == name)
            .unwrap_or_else(|| panic!("no class {name}"))
    };
    names.split(between).map(|name| 1u64 << bit(name)).sum()
}
