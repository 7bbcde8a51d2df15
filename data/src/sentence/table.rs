//! The words and frames of `tables/sentences.toml`, with every form of every word worked out.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::form::{graded, with_ed, with_ing, with_s};
use super::frame::{Frame, expand};
use super::sense::{Number, Sense, SlotKind, Stands, VerbForm, WordSense, class_bits};
use crate::lexicon;

/// The whole table.
#[derive(Debug, Default)]
pub struct SentenceTable {
    /// Short and common ones first.
    pub words: Vec<WordSense>,
    /// Places in `words`, by text.
    pub by_text: HashMap<String, Vec<usize>>,
    /// Places in `words` of the easy ones, by kind.
    pub easy: HashMap<SlotKind, Vec<usize>>,
    pub frames: Vec<Frame>,
    groups: Vec<String>,
    lemmas: HashMap<String, usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    noun: Vec<RawNoun>,
    verb: Vec<RawWordGroup>,
    adjective: Vec<RawAdjective>,
    determiner: Vec<RawDeterminer>,
    modal: Vec<RawModal>,
    adverb: Vec<RawWordGroup>,
    preposition: Vec<RawWordGroup>,
    tails: HashMap<String, Vec<String>>,
    frames: RawFrames,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawNoun {
    class: String,
    #[serde(default)]
    count: String,
    words: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawWordGroup {
    group: String,
    words: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawAdjective {
    of: String,
    #[serde(default)]
    only_the: bool,
    words: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDeterminer {
    before: String,
    #[serde(default)]
    indefinite: bool,
    words: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawModal {
    words: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawFrames {
    list: String,
}

static TABLE: LazyLock<SentenceTable> = LazyLock::new(|| {
    // Cannot fail in a build whose tests have passed: the text is fixed when the program is built.
    let raw: Raw =
        toml::from_str(include_str!("../../tables/sentences.toml")).expect("tables/sentences.toml is well formed");
    SentenceTable::new(&raw)
});

/// The table that comes with the program.
pub fn builtin() -> &'static SentenceTable {
    &TABLE
}

impl SentenceTable {
    fn new(raw: &Raw) -> SentenceTable {
        let mut table = SentenceTable::default();
        raw.noun.iter().for_each(|noun| table.nouns(noun));
        raw.verb.iter().for_each(|verb| table.verbs(verb));
        raw.adjective
            .iter()
            .enumerate()
            .for_each(|(i, adjective)| table.adjectives(adjective, i));
        raw.determiner
            .iter()
            .for_each(|determiner| table.determiners(determiner));
        for word in raw.modal.iter().flat_map(|m| m.words.split_whitespace()) {
            table.add(word, word, Sense::Modal, true);
        }
        for small in raw.adverb.iter().chain(&raw.preposition) {
            let group = table.group(&small.group);
            for word in small.words.split_whitespace() {
                table.add(word, word, Sense::Small { group }, true);
            }
        }
        for word in ["was", "were", "is", "are", "am"] {
            table.add(word, word, Sense::Be, false);
        }
        for line in raw.frames.list.lines().filter(|line| !line.is_empty()) {
            for text in expand(line, &raw.tails) {
                let frame = Frame::read(&text, |name| table.group(name));
                frame.plain_words().for_each(|word| table.plain(word));
                table.frames.push(frame);
            }
        }
        table.words.sort_by_cached_key(ease);
        for (place, word) in table.words.iter().enumerate() {
            table.by_text.entry(word.text.clone()).or_default().push(place);
            for kind in word.sense.kinds().into_iter().filter(|_| word.easy) {
                table.easy.entry(kind).or_default().push(place);
            }
        }
        table
    }

    /// The number of a group of verbs or small words.
    fn group(&mut self, name: &str) -> usize {
        self.groups.iter().position(|g| g == name).unwrap_or_else(|| {
            self.groups.push(name.to_owned());
            self.groups.len() - 1
        })
    }

    fn add(&mut self, base: &str, show: &str, sense: Sense, easy: bool) {
        let next = self.lemmas.len();
        let lemma = *self.lemmas.entry(base.to_lowercase()).or_insert(next);
        self.words.push(WordSense {
            text: show.to_lowercase(),
            show: show.to_owned(),
            lemma,
            sense,
            easy,
        });
    }

    /// Adds a form that was worked out, where the dictionary has it.
    fn add_form(&mut self, base: &str, form: &str, sense: Sense, easy: bool) {
        if lexicon::look_up(form).is_some() {
            self.add(base, form, sense, easy);
        }
    }

    fn plain(&mut self, word: &str) {
        if !self.words.iter().any(|w| w.sense == Sense::Plain && w.text == word) {
            self.add(word, word, Sense::Plain, false);
        }
    }

    fn nouns(&mut self, raw: &RawNoun) {
        let classes = class_bits(&raw.class, ' ');
        let (number, stands) = match raw.count.as_str() {
            "" => (Number::One, Stands::Common),
            "mass" => (Number::Mass, Stands::Common),
            "the" => (Number::One, Stands::The),
            "the-many" => (Number::Many, Stands::The),
            "name" => (Number::One, Stands::Name),
            "subject-one" => (Number::One, Stands::Subject),
            "subject-many" => (Number::Many, Stands::Subject),
            "subject-i" => (Number::I, Stands::Subject),
            "object" => (Number::One, Stands::Object),
            other => panic!("no such count: {other}"),
        };
        for (word, irregular) in raw.words.split_whitespace().map(base_and_form) {
            let noun = |number| Sense::Noun {
                classes,
                number,
                stands,
            };
            let short = word.len() <= 6 && stands != Stands::Object;
            self.add(word, word, noun(number), short);
            if number == Number::One && stands == Stands::Common && irregular != Some("-") {
                let many = irregular.map_or_else(|| with_s(word), str::to_owned);
                self.add_form(word, &many, noun(Number::Many), short);
            }
        }
    }

    fn verbs(&mut self, raw: &RawWordGroup) {
        let group = self.group(&raw.group);
        for (word, irregular) in raw.words.split_whitespace().map(base_and_form) {
            // *Dad was wanting* is no way to speak.
            let (word, state) = word.strip_suffix('!').map_or((word, false), |word| (word, true));
            let verb = |form| Sense::Verb { group, form, state };
            self.add(word, word, verb(VerbForm::Base), word.len() <= 5);
            let past = irregular.map_or_else(|| with_ed(word), str::to_owned);
            self.add_form(word, &past, verb(VerbForm::Past), past.len() <= 6);
            self.add_form(word, &with_s(word), verb(VerbForm::S), false);
            if !state {
                self.add_form(word, &with_ing(word), verb(VerbForm::Ing), false);
            }
        }
    }

    fn adjectives(&mut self, raw: &RawAdjective, entry: usize) {
        let classes = class_bits(&raw.of, ' ');
        for (word, irregular) in raw.words.split_whitespace().map(base_and_form) {
            let adjective = |only_the| Sense::Adjective {
                classes,
                only_the,
                entry,
            };
            self.add(word, word, adjective(raw.only_the), word.len() <= 5 && !raw.only_the);
            let graded_by_more =
                raw.only_the || irregular.is_some() || word.len() > 6 || ["good", "fun"].contains(&word);
            for end in ["er", "est"].iter().filter(|_| !graded_by_more) {
                self.add_form(word, &graded(word, end), adjective(true), false);
            }
        }
    }

    fn determiners(&mut self, raw: &RawDeterminer) {
        let before = |number: &str| raw.before.split(' ').any(|b| b == number);
        let sense = Sense::Determiner {
            one: before("one"),
            many: before("many"),
            mass: before("mass"),
            indefinite: raw.indefinite,
        };
        for word in raw.words.split_whitespace() {
            self.add(word, word, sense, false);
        }
    }
}

/// Less for a word that is easier to read: half a step of the Zipf scale counts as much as a letter. Small words keep the
/// order of the table.
fn ease(word: &WordSense) -> i32 {
    let zipf = lexicon::look_up(&word.text).map_or(0.0, |entry| entry.zipf());
    match word.sense {
        Sense::Small { .. } => 0,
        _ => word.text.len() as i32 * 10 - (zipf * 20.0) as i32,
    }
}

/// `mouse/mice` in two.
fn base_and_form(word: &str) -> (&str, Option<&str>) {
    match word.split_once('/') {
        Some((base, form)) => (base, Some(form)),
        None => (word, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::BlockList;

    #[test]
    fn every_word_is_in_the_dictionary_and_fit_for_children() {
        let block = BlockList::builtin();
        let words = &builtin().words;
        let unknown: Vec<_> = words
            .iter()
            .filter(|w| lexicon::look_up(&w.text).is_none())
            .map(|w| &w.text)
            .collect();
        let blocked: Vec<_> = words
            .iter()
            .filter(|w| block.blocks(&w.text))
            .map(|w| &w.text)
            .collect();
        assert!(
            unknown.is_empty() && blocked.is_empty(),
            "unknown {unknown:?}, blocked {blocked:?}"
        );
        let lemmas: std::collections::HashSet<_> = words.iter().map(|w| w.lemma).collect();
        assert!(lemmas.len() >= 500, "{}", lemmas.len());
    }

    /// A word without one could never be used.
    #[test]
    fn every_word_has_a_frame() {
        let table = builtin();
        let homeless: Vec<_> = table
            .words
            .iter()
            .filter(|w| table.frames.iter().all(|f| f.takes(w).next().is_none()))
            .collect();
        assert!(homeless.is_empty(), "{homeless:?}");
        for word in [
            "foxes", "mice", "jumped", "jumping", "jumps", "ran", "bigger", "happiest", "leaves", "berries",
        ] {
            assert!(table.by_text.contains_key(word), "{word}");
        }
    }
}
