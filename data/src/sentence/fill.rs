//! One frame filled: with the word it was chosen for, then with other given words, then with easy ones.

use super::agree::{NounDemands, agrees, before, indefinite, was};
use super::dice::Dice;
use super::form::article;
use super::frame::{Frame, NounRole, Slot};
use super::sense::{Number, Sense, SlotKind, Stands, VerbForm, WordSense, bits};
use super::table::SentenceTable;

/// Fewest and most words of a sentence.
const LENGTH: std::ops::RangeInclusive<usize> = 4..=12;
/// Throws for an easy word before the whole list is looked through.
const THROWS: usize = 12;
/// Words that may stand twice in a sentence.
const TWICE: [&str; 8] = ["the", "a", "an", "to", "was", "were", "is", "are"];

/// A sentence and how good it is: many given words count, then few others.
#[derive(Debug)]
pub struct Built {
    /// The words in small letters, in order.
    pub words: Vec<String>,
    /// As it is written.
    pub text: String,
    pub score: i32,
}

/// Fills `frame` so that `forced` (a place and a word) stands in it, with words of `pool` wherever they fit.
///
/// `None` when this throw of the dice does not work out; another may.
pub fn fill(
    table: &SentenceTable,
    frame: &Frame,
    forced: (usize, &WordSense),
    pool: &[&WordSense],
    dice: &mut Dice,
) -> Option<Built> {
    let mut filling = Filling {
        table,
        frame,
        forced,
        pool,
        dice,
        taken: vec![forced.1.lemma],
        nouns: vec![None; frame.slots.len()],
        parts: vec![Vec::new(); frame.slots.len()],
        given: 1,
        others: 0,
    };
    // Nouns first: what agrees with them comes after, even where it stands before them.
    for (at, slot) in frame.slots.iter().enumerate() {
        if let Slot::Noun { role, classes } = slot {
            filling.noun(at, *role, *classes)?;
        }
    }
    for (at, slot) in frame.slots.iter().enumerate() {
        filling.rest(at, slot)?;
    }
    filling.finish()
}

/// A noun that stands in the frame, and the headings of the adjectives said of it.
#[derive(Clone, Debug)]
struct Noun {
    classes: u64,
    number: Number,
    entries: Vec<usize>,
}

struct Filling<'a, 'd> {
    table: &'a SentenceTable,
    frame: &'a Frame,
    forced: (usize, &'a WordSense),
    pool: &'a [&'a WordSense],
    dice: &'d mut Dice,
    /// Lemmas that stand already.
    taken: Vec<usize>,
    nouns: Vec<Option<Noun>>,
    parts: Vec<Vec<String>>,
    given: i32,
    others: i32,
}

impl<'a> Filling<'a, '_> {
    /// The word that must stand at `at`.
    fn forced_at(&self, at: usize) -> Option<&'a WordSense> {
        (self.forced.0 == at).then_some(self.forced.1)
    }

    /// Whether no form of the word stands yet.
    fn free(&self, word: &WordSense) -> bool {
        !self.taken.contains(&word.lemma)
    }

    /// The first given word that fits and whose lemma does not stand yet.
    fn given_word(&mut self, fits: impl Fn(Sense) -> bool) -> Option<&'a WordSense> {
        let found = self.pool.iter().find(|w| fits(w.sense) && self.free(w))?;
        self.taken.push(found.lemma);
        self.given += 1;
        Some(found)
    }

    /// An easy word that fits, likelier a short and common one.
    fn easy(&mut self, kind: SlotKind, fits: impl Fn(Sense) -> bool) -> Option<&'a WordSense> {
        let table = self.table;
        let easy = table.easy.get(&kind).map_or(&[][..], Vec::as_slice);
        let fit = |filling: &Self, place: usize| Some(&table.words[place]).filter(|w| fits(w.sense) && filling.free(w));
        // A few throws mostly hit; only where few words fit is the whole list looked through.
        let mut found = None;
        for _ in 0..THROWS {
            let thrown = easy.get(self.dice.low(easy.len()))?;
            found = found.or_else(|| fit(self, *thrown));
            if found.is_some() {
                break;
            }
        }
        if found.is_none() {
            let all: Vec<&WordSense> = easy.iter().filter_map(|&place| fit(self, place)).collect();
            found = all.get(self.dice.low(all.len())).copied();
        }
        let found: &WordSense = found?;
        self.taken.push(found.lemma);
        self.others += 1;
        Some(found)
    }

    /// An easy noun, of every class that may stand there as likely as of any other. Mostly a singular: it is what a child
    /// reads most easily.
    fn easy_noun(&mut self, asked: &NounDemands) -> Option<&'a WordSense> {
        let mut classes: Vec<u32> = bits(asked.classes).collect();
        self.dice.shuffle(&mut classes);
        let plural = asked.plural() || asked.role == NounRole::Bare || self.dice.chance(12);
        let usual = |sense| matches!(sense, Sense::Noun { number, .. } if (number == Number::Many) == plural);
        let first = classes
            .iter()
            .find_map(|&bit| self.easy(SlotKind::Noun(bit), |s| asked.fits(s) && usual(s)));
        let mut any = || {
            classes
                .iter()
                .find_map(|&bit| self.easy(SlotKind::Noun(bit), |s| asked.fits(s)))
        };
        first.or_else(&mut any)
    }

    fn noun(&mut self, at: usize, role: NounRole, classes: u64) -> Option<()> {
        let forced = self.forced_at(at);
        let noun = match forced {
            Some(word) if matches!(word.sense, Sense::Noun { .. }) => word,
            _ => {
                let asked = NounDemands::new(self.frame, self.forced, at, role, classes);
                let given = self.given_word(|sense| asked.fits(sense));
                given.or_else(|| self.easy_noun(&asked))?
            }
        };
        let Sense::Noun {
            classes: own,
            number,
            stands,
        } = noun.sense
        else {
            return None;
        };
        let mut said = Noun {
            classes: own & classes,
            number,
            entries: Vec::new(),
        };
        if matches!(stands, Stands::Common | Stands::The) {
            let adjective = self.adjective_before(at, role, &mut said);
            let only_the = matches!(
                adjective.map(|a| a.sense),
                Some(Sense::Adjective { only_the: true, .. })
            );
            let only_the = only_the || stands == Stands::The;
            if let Some(determiner) = self.determiner(at, role, number, only_the) {
                self.parts[at].push(determiner);
            }
            self.parts[at].extend(adjective.map(|a| a.show.clone()));
        }
        self.parts[at].push(noun.show.clone());
        self.nouns[at] = Some(said);
        Some(())
    }

    fn adjective_before(&mut self, at: usize, role: NounRole, noun: &mut Noun) -> Option<&'a WordSense> {
        let classes = noun.classes;
        // A forced predicate of this noun must not be contradicted by an adjective that comes before it.
        let later = match (self.frame.slots[self.forced.0].clone(), self.forced.1.sense) {
            (Slot::Adjective { of }, Sense::Adjective { entry, .. }) if of == at => Some(entry),
            _ => None,
        };
        let fits = |sense| {
            matches!(sense, Sense::Adjective { classes: own, only_the, entry }
                if own & classes != 0 && role.takes_adjective(only_the) && later != Some(entry))
        };
        let likely = if role == NounRole::Described { 100 } else { 15 };
        let found = match self.forced_at(at) {
            Some(word) if matches!(word.sense, Sense::Adjective { .. }) => Some(word),
            _ if role == NounRole::Plain => None,
            _ => match self.given_word(fits) {
                None if self.dice.chance(likely) => self.easy(SlotKind::Adjective, fits),
                given => given,
            },
        };
        if let Some(Sense::Adjective { entry, .. }) = found.map(|w| w.sense) {
            noun.entries.push(entry);
        }
        found
    }

    /// What stands first: `a` is mended to *an* at the end, when the next word is known.
    fn determiner(&mut self, at: usize, role: NounRole, number: Number, only_the: bool) -> Option<String> {
        if matches!(role, NounRole::Bare | NounRole::Plain) {
            return None;
        }
        if let Some(word) = self
            .forced_at(at)
            .filter(|w| matches!(w.sense, Sense::Determiner { .. }))
        {
            return Some(word.show.clone());
        }
        if only_the {
            return Some("the".into());
        }
        if let Some(word) = self.given_word(|s| before(s, number) && role.takes_determiner(indefinite(s))) {
            return Some(word.show.clone());
        }
        let new = matches!(role, NounRole::Indefinite | NounRole::Described) || self.dice.chance(30);
        Some(match (new, number) {
            (true, Number::One) => "a".into(),
            (true, _) => "some".into(),
            (false, _) => "the".into(),
        })
    }

    /// Everything that is no noun.
    fn rest(&mut self, at: usize, slot: &Slot) -> Option<()> {
        match slot {
            Slot::Noun { .. } => {}
            Slot::Word(word) => {
                let lemma = self.pool.iter().find(|w| w.sense == Sense::Plain && w.text == *word);
                self.given += i32::from(lemma.is_some());
                self.parts[at].push(word.clone());
            }
            Slot::Small { group } => {
                let fits = |sense| sense == Sense::Small { group: *group };
                let word = self
                    .forced_at(at)
                    .or_else(|| self.given_word(fits))
                    .or_else(|| self.easy(SlotKind::Small(*group), fits))?;
                self.parts[at].push(word.show.clone());
            }
            Slot::Be { of } => {
                let number = self.nouns[*of].as_ref()?.number;
                let given = self.forced_at(at).or_else(|| {
                    self.pool
                        .iter()
                        .copied()
                        .find(|w| w.sense == Sense::Be && agrees(w, number))
                });
                let word = given.map_or_else(|| was(number), |w| w.text.as_str());
                self.parts[at].push(word.to_owned());
            }
            Slot::Adjective { of } => self.adjective_after(at, *of)?,
            Slot::Verb { group, of } => self.verb(at, *group, *of)?,
        }
        Some(())
    }

    fn adjective_after(&mut self, at: usize, of: usize) -> Option<()> {
        let noun = self.nouns[of].clone()?;
        let fits = |sense| {
            matches!(sense, Sense::Adjective { classes, only_the: false, entry }
                if classes & noun.classes != 0 && !noun.entries.contains(&entry))
        };
        let word = match self.forced_at(at) {
            Some(word) => Some(word).filter(|w| fits(w.sense)),
            None => self.given_word(fits).or_else(|| self.easy(SlotKind::Adjective, fits)),
        }?;
        if let Sense::Adjective { entry, .. } = word.sense {
            self.nouns[of].as_mut()?.entries.push(entry);
        }
        self.parts[at].push(word.show.clone());
        Some(())
    }

    fn verb(&mut self, at: usize, group: usize, of: usize) -> Option<()> {
        let number = self.nouns[of].as_ref()?.number;
        let frame = self.frame;
        let fits = |sense| match sense {
            Sense::Verb { group: own, form, .. } => {
                let agrees = form != VerbForm::S || matches!(number, Number::One | Number::Mass);
                own == group && frame.allows(form) && agrees
            }
            _ => false,
        };
        let is = |wanted| move |sense| fits(sense) && matches!(sense, Sense::Verb { form, .. } if form == wanted);
        let forced = self.forced_at(at);
        let modal = forced.filter(|w| w.sense == Sense::Modal);
        let verb = match forced {
            Some(word) if modal.is_none() => Some(word).filter(|w| fits(w.sense)),
            Some(_) => self
                .given_word(is(VerbForm::Base))
                .or_else(|| self.easy(SlotKind::Verb(group), is(VerbForm::Base))),
            None => self
                .given_word(fits)
                .or_else(|| self.easy(SlotKind::Verb(group), is(VerbForm::Past))),
        }?;
        let Sense::Verb { form, state, .. } = verb.sense else {
            return None;
        };
        let helper = match form {
            VerbForm::Past | VerbForm::S => None,
            VerbForm::Ing => Some(was(number).to_owned()),
            VerbForm::Base => {
                let given = modal.or_else(|| self.given_word(|sense| sense == Sense::Modal));
                // *Dad can think that the bun was hot* does not sound right.
                let usual = ["might", "could", "can", "will"];
                let few = match (state, frame.plain_words().any(|w| w == "that")) {
                    (true, _) => 1,
                    (_, true) => 2,
                    _ => 4,
                };
                let usual = usual[self.dice.below(few)];
                Some(given.map_or_else(|| usual.to_owned(), |w| w.show.clone()))
            }
        };
        self.parts[at].extend(helper);
        self.parts[at].push(verb.show.clone());
        Some(())
    }

    /// Joins the parts; `None` where the length is wrong or a word stands twice.
    fn finish(self) -> Option<Built> {
        let mut shown = self.parts.concat();
        for at in 0..shown.len().saturating_sub(1) {
            if ["a", "an"].contains(&shown[at].as_str()) {
                shown[at] = article(&shown[at + 1]).into();
            }
        }
        let words: Vec<String> = shown.iter().map(|w| w.to_lowercase()).collect();
        let twice = |(at, word): (usize, &String)| words[..at].contains(word) && !TWICE.contains(&word.as_str());
        let stands = words.contains(&self.forced.1.text);
        if !LENGTH.contains(&words.len()) || words.iter().enumerate().any(twice) || !stands {
            return None;
        }
        let line = shown.join(" ");
        let text = line[..1].to_uppercase() + &line[1..] + ".";
        let long = i32::try_from(words.len().saturating_sub(9)).unwrap_or(0);
        Some(Built {
            words,
            text,
            score: 6 * self.given - 2 * self.others - 3 * long,
        })
    }
}
