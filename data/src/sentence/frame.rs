//! Frames of sentences: rows of plain words and slots. The notation is told in `tables/sentences.toml`.

use std::collections::HashMap;

use super::sense::{Number, Sense, Stands, VerbForm, WordSense, class_bits};

/// What a noun does in its frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NounRole {
    /// `S`
    Subject,
    /// `O`
    Object,
    /// `A`: something not met before.
    Indefinite,
    /// `D`: the same with an adjective, since *the boy had a chin* says nothing.
    Described,
    /// `B`: bare, and so many or mass.
    Bare,
    /// `N`: bare, and one.
    Plain,
}

/// One place of a frame. `of` is the place of the noun with which the word there agrees.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Slot {
    Word(String),
    Noun { role: NounRole, classes: u64 },
    Verb { group: usize, of: usize },
    Small { group: usize },
    Adjective { of: usize },
    Be { of: usize },
}

/// A row of slots.
#[derive(Clone, Debug, Default)]
pub struct Frame {
    pub slots: Vec<Slot>,
    /// Whether it says when (*yesterday*) or has two clauses, so that *can jump* and *jumps* do not fit.
    past_only: bool,
    /// Whether it says how often, so that *can jump* and *was jumping* do not fit.
    simple_only: bool,
}

/// `line` with each `@name` in turn replaced by each of its tails.
///
/// # Panics
/// On a name without tails; the tests read the whole table.
pub fn expand(line: &str, tails: &HashMap<String, Vec<String>>) -> Vec<String> {
    let Some(name) = line.split_whitespace().find(|word| word.starts_with('@')) else {
        return vec![line.to_owned()];
    };
    let chosen = tails.get(&name[1..]).unwrap_or_else(|| panic!("no tails {name}"));
    chosen
        .iter()
        .flat_map(|tail| expand(&line.replacen(name, tail, 1), tails))
        .collect()
}

impl Frame {
    /// Reads one expanded line; `group` gives the number of a group.
    ///
    /// # Panics
    /// On a kind of slot that there is not.
    pub fn read(line: &str, mut group: impl FnMut(&str) -> usize) -> Frame {
        let mut frame = Frame::default();
        for word in line.split_whitespace() {
            let of = frame.subject();
            let slot = match word.split_once(':') {
                None if word == "J" => Slot::Adjective { of },
                None if word == "be" => Slot::Be { of },
                None => Slot::Word(word.to_lowercase()),
                Some(("V", name)) => Slot::Verb { group: group(name), of },
                Some(("R" | "P", name)) => Slot::Small { group: group(name) },
                Some((role, classes)) => Slot::Noun {
                    role: role_of(role),
                    classes: class_bits(classes, ','),
                },
            };
            frame.past_only |= ["R:when", "when", "but", "and"].contains(&word) || word.starts_with("N:");
            frame.simple_only |= word == "R:often";
            frame.slots.push(slot);
        }
        frame
    }

    /// The last subject so far, or, where there is none yet, the next place (*There was a bell ...*).
    fn subject(&self) -> usize {
        let subject = |slot: &Slot| {
            matches!(
                slot,
                Slot::Noun {
                    role: NounRole::Subject,
                    ..
                }
            )
        };
        self.slots.iter().rposition(subject).unwrap_or(self.slots.len() + 1)
    }

    /// Its own words.
    pub fn plain_words(&self) -> impl Iterator<Item = &str> {
        self.slots.iter().filter_map(|slot| match slot {
            Slot::Word(word) => Some(word.as_str()),
            _ => None,
        })
    }

    /// Whether its verb may have this form.
    pub fn allows(&self, form: VerbForm) -> bool {
        match form {
            VerbForm::Past => true,
            VerbForm::Ing => !self.simple_only,
            VerbForm::S => !self.past_only,
            VerbForm::Base => !self.past_only && !self.simple_only,
        }
    }

    /// The places where `word` may stand as far as can be told without the other words.
    pub fn takes<'a>(&'a self, word: &'a WordSense) -> impl Iterator<Item = usize> + 'a {
        let fits = move |slot: &Slot| match (slot, word.sense) {
            (Slot::Word(plain), Sense::Plain) => *plain == word.text,
            (
                Slot::Noun { role, classes },
                Sense::Noun {
                    classes: own,
                    number,
                    stands,
                },
            ) => classes & own != 0 && role.takes(number, stands),
            (
                Slot::Noun { role, classes },
                Sense::Adjective {
                    classes: own, only_the, ..
                },
            ) => classes & own != 0 && role.takes_adjective(only_the),
            (Slot::Noun { role, .. }, Sense::Determiner { indefinite, .. }) => role.takes_determiner(indefinite),
            (Slot::Verb { group, .. }, Sense::Verb { group: own, form, .. }) => *group == own && self.allows(form),
            (Slot::Verb { .. }, Sense::Modal) => self.allows(VerbForm::Base),
            (Slot::Small { group }, Sense::Small { group: own }) => *group == own,
            (Slot::Adjective { .. }, Sense::Adjective { only_the, .. }) => !only_the,
            (Slot::Be { .. }, Sense::Be) => true,
            _ => false,
        };
        (0..self.slots.len()).filter(move |&at| fits(&self.slots[at]))
    }
}

fn role_of(letter: &str) -> NounRole {
    match letter {
        "S" => NounRole::Subject,
        "O" => NounRole::Object,
        "A" => NounRole::Indefinite,
        "D" => NounRole::Described,
        "B" => NounRole::Bare,
        "N" => NounRole::Plain,
        other => panic!("no slot {other}"),
    }
}

impl NounRole {
    /// Whether a noun of this number and standing can have the role.
    pub fn takes(self, number: Number, stands: Stands) -> bool {
        match self {
            NounRole::Subject => stands != Stands::Object,
            NounRole::Object => stands != Stands::Subject,
            NounRole::Indefinite | NounRole::Described => stands == Stands::Common,
            NounRole::Bare => stands == Stands::Common && number != Number::One,
            NounRole::Plain => matches!(stands, Stands::Common | Stands::The) && number == Number::One,
        }
    }

    /// Whether an adjective may stand before the noun; `only_the` for one that asks for *the*.
    pub fn takes_adjective(self, only_the: bool) -> bool {
        match self {
            NounRole::Subject | NounRole::Object => true,
            NounRole::Indefinite | NounRole::Described | NounRole::Bare => !only_the,
            NounRole::Plain => false,
        }
    }

    /// Whether a determiner may stand before the noun.
    pub fn takes_determiner(self, indefinite: bool) -> bool {
        match self {
            NounRole::Subject | NounRole::Object => true,
            NounRole::Indefinite | NounRole::Described => indefinite,
            NounRole::Bare | NounRole::Plain => false,
        }
    }
}
