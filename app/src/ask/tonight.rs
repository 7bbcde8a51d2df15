//! Tonight's plan from one line: a mix-up, a choice of spelling, or what is due. About twenty minutes: a chain of six words,
//! eight cards to sort, some words and two sentences to write.
//!
//! The same line, the same writing and the same day give the same plan. Where the line says nothing else, no word of it meets
//! a choice of spelling that was not taught, but for the one that is new.

mod small;

use std::collections::{BTreeMap, BTreeSet};

use soundbead_data::chain::{BlockList, Chain, Graph, Limits, Range, Unit, WordList};
use soundbead_data::course::{self, Choice, CourseWord, CourseWords, NamedChoices, WrittenTry};
use soundbead_data::sort::{self, Corpus, Level};
use soundbead_data::word::Overrides;
use soundbead_data::{Rules, Sound, inventory};

use self::small::is_function_word;
use super::chain::ChainRequest;
use super::dictation::DictationRequest;
use crate::keyed::{LONG, SHORT, called};
use crate::plan::{Content, Plan, PlanItem, PlanWord, SortGroup};
use crate::say::capital;
use crate::wording::choice_title;

/// Words of the chain: some ten minutes with a child (common practice, no source).
pub const CHAIN: usize = 6;
/// Cards of the sort: some five minutes.
pub const CARDS: usize = 8;
/// Sentences of the dictation; with its words some five minutes.
pub const SENTENCES: usize = 2;
/// Words of the dictation.
const DICTATED: usize = 4;
/// Sentences to choose the two from.
const DRAFTS: usize = 24;
/// Different chains that are looked at for one whose words are all in hand.
const CHAINS: u64 = 12;
/// Columns of the sort: with more, eight cards show nothing.
const COLUMNS: usize = 2;

/// What a lesson is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LessonTopic {
    /// What comes next by the child's own writing.
    Due,
    /// Two sounds that are taken for each other.
    MixUp(Sound, Sound),
    /// A choice of spelling.
    Choice(Choice),
}

impl LessonTopic {
    /// Reads the line: nothing or `due`; two sounds, such as `short e and short i` or `s, sh`; or a choice of spelling, such as
    /// `ck or k`.
    ///
    /// # Errors
    /// One line with examples.
    pub fn read(text: &str) -> Result<LessonTopic, String> {
        let line = text.trim().to_lowercase();
        if line.is_empty() || words_of(&line).any(|w| w == "due" || w == "review") {
            return Ok(LessonTopic::Due);
        }
        mix_up(&line)
            .or_else(|| choice(&line).map(LessonTopic::Choice))
            .ok_or_else(|| {
                format!(
                    "\"{}\" is no mix-up and no choice of spelling that is known; write such as: short e and short i; s \
                     and sh; ck or k; what is due",
                    text.trim()
                )
            })
    }

    /// As the plan's title says it.
    pub fn title(&self) -> String {
        match self {
            LessonTopic::Due => "What is due".into(),
            LessonTopic::MixUp(a, b) => format!("{} and {}", capital(&called(*a)), called(*b)),
            LessonTopic::Choice(choice) => choice_title(*choice).into(),
        }
    }
}

/// The words of a line, letters and hyphens alone.
fn words_of(line: &str) -> impl Iterator<Item = &str> {
    line.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty())
}

/// Two sounds; the second may leave out what it shares with the first (`short e, i`).
fn mix_up(line: &str) -> Option<LessonTopic> {
    let spaced = line.replace([',', '/', ';', '+', '&'], " and ");
    let mut parts: Vec<Vec<&str>> = vec![Vec::new()];
    for word in words_of(&spaced) {
        match word {
            "and" | "or" | "for" | "vs" | "versus" | "from" => parts.push(Vec::new()),
            word => parts.last_mut()?.push(word),
        }
    }
    parts.retain(|part| !part.is_empty());
    let [first, second] = parts.as_slice() else { return None };
    let length = first.iter().copied().find(|w| ["short", "long"].contains(w));
    let (a, b) = (sound(first, None)?, sound(second, length)?);
    (a != b).then_some(LessonTopic::MixUp(a, b))
}

/// The sound that some words name; `length` where they do not say whether a vowel is short or long.
fn sound(words: &[&str], length: Option<&str>) -> Option<Sound> {
    let long = match (words.first()?, length) {
        (&"short", _) => false,
        (&"long", _) => true,
        (_, length) => length == Some("long"),
    };
    let name = *words
        .iter()
        .find(|w| !["short", "long", "the", "sound", "vowel"].contains(w))?;
    let named = if long { LONG } else { SHORT };
    let vowel = named
        .iter()
        .find(|(letter, _)| *letter == name)
        .map(|(_, sound)| *sound);
    let plain = || Sound::all().find(|s| inventory::of(*s).respelling == name);
    vowel.or_else(plain).or_else(|| name.parse().ok())
}

/// The choice whose name has every word of the line; of several, the one whose name says least besides.
fn choice(line: &str) -> Option<Choice> {
    const FILL: [&str; 9] = ["or", "and", "the", "a", "an", "spelling", "of", "words", "with"];
    let asked: Vec<&str> = words_of(line).filter(|w| !FILL.contains(w)).collect();
    // Five letters tell "doubling" from "doubled" no more, and "vowel" is "vowels".
    let alike = |a: &str, b: &str| {
        a == b || (a.len().min(b.len()) >= 5 && a.bytes().zip(b.bytes()).take(5).all(|(a, b)| a == b))
    };
    let fits = |choice: &&Choice| {
        let name: Vec<&str> = words_of(choice.name()).collect();
        !asked.is_empty() && asked.iter().all(|w| name.iter().any(|n| alike(n, w)))
    };
    let found = Choice::ALL.iter().filter(fits);
    found.copied().min_by_key(|c| words_of(c.name()).count())
}

/// The words of a chain, and words to write.
pub type ChainAndWords = (Vec<PlanWord>, Vec<String>);

/// What a plan is made from.
#[derive(Clone, Copy, Debug)]
pub struct PlanRequest<'a> {
    /// What it is about.
    pub about: LessonTopic,
    /// The child's writing.
    pub tries: &'a [WrittenTry],
    /// What the parent says was taught, or not.
    pub named: &'a NamedChoices,
    /// The day it is for, counted as the tries are.
    pub today: i64,
    /// The counting rules in force.
    pub rules: &'a Rules,
    /// The family's own ways of saying words.
    pub overrides: &'a Overrides,
    /// Words that are kept out.
    pub block: &'a BlockList,
}

impl PlanRequest<'_> {
    /// Makes the plan. Takes a second or so: for a thread of its own.
    ///
    /// # Errors
    /// One line, where there are too few words for it.
    pub fn answer(&self) -> Result<Plan, String> {
        let lesson = self.lesson();
        let chain = self.chain(&lesson)?;
        let sort = self.sort(&lesson);
        let dictation = self.dictation(&lesson, &chain);
        let title = match (self.about, lesson.new) {
            (LessonTopic::Due, Some(new)) => choice_title(new).into(),
            (about, _) => about.title(),
        };
        let item = |title: &str, content| PlanItem {
            title: title.into(),
            ..PlanItem::of(content)
        };
        let mut items = vec![item("One sound changes", Content::Chain(chain))];
        items.extend(sort.map(|groups| item("Cards to sort", Content::Sort(groups))));
        items.push(item("Words and sentences to write", dictation));
        Ok(Plan {
            title,
            rules: self.rules.clone(),
            items,
            ..Plan::default()
        })
    }

    /// Its chain and the words to write, without cards and sentences: quick, for where they alone are named.
    ///
    /// # Errors
    /// As [`PlanRequest::answer`].
    pub fn chain_and_words(&self) -> Result<ChainAndWords, String> {
        let lesson = self.lesson();
        let chain = self.chain(&lesson)?;
        let words = lesson.to_write(&chain);
        Ok((chain, words))
    }

    /// Which words may stand in it, and which are asked for.
    fn lesson(&self) -> LessonWords {
        let words = CourseWords::builtin();
        let mut allowed = course::taught(self.tries, self.named);
        let proposal = course::propose(words, self.tries, self.named, self.today);
        let (new, review) = match self.about {
            LessonTopic::Due => (proposal.new, proposal.review),
            LessonTopic::Choice(choice) => (Some(choice), Vec::new()),
            LessonTopic::MixUp(a, _) => (a.is_vowel().then_some(Choice::ShortVowel), Vec::new()),
        };
        for choice in new.into_iter().chain(self.met_by_the_way()) {
            with_what_comes_before(choice, &mut allowed);
        }
        let fits = |e: &&CourseWord| {
            let met = e.met.iter().all(|(choice, _)| allowed.contains(choice));
            // An e that is not heard (give, have) is for later, though the vowel is short; in edge it belongs to the j.
            let of_j = e.word.ends_with("ge") && allowed.contains(&Choice::JSpelling);
            let plain = allowed.contains(&Choice::SilentE) || !e.word.ends_with('e') || of_j;
            met && plain && !self.block.blocks(&e.word) && Level::Known.has(&e.word, e.zipf)
        };
        LessonWords {
            words: words.all().iter().filter(fits).collect(),
            new,
            review,
            at_the_end: matches!(self.about, LessonTopic::Choice(_)),
            sounds: match self.about {
                LessonTopic::MixUp(a, b) => Some((a, b)),
                _ => None,
            },
        }
    }

    /// A mix-up of sounds is met in words whose letters are no riddle: ship for sh, stop for st.
    fn met_by_the_way(&self) -> Vec<Choice> {
        match self.about {
            LessonTopic::MixUp(a, b) if a.is_vowel() && b.is_vowel() => {
                let long = [a, b].iter().any(|s| LONG.iter().any(|(_, l)| l == s));
                let mut met = vec![Choice::Digraph, Choice::EndCluster];
                met.extend(long.then_some(Choice::SilentE));
                met
            }
            LessonTopic::MixUp(..) => vec![
                Choice::Digraph,
                Choice::StartCluster,
                Choice::EndCluster,
                Choice::DoubledEnd,
                Choice::KSpelling,
            ],
            // What stands at the end is parted by what stands before it: duck, but desk.
            LessonTopic::Choice(Choice::KSpelling) => vec![Choice::EndCluster],
            LessonTopic::Choice(Choice::ChSpelling | Choice::JSpelling) => vec![Choice::EndCluster, Choice::LostNasal],
            _ => Vec::new(),
        }
    }

    /// Six words, each one sound from the last.
    fn chain(&self, lesson: &LessonWords) -> Result<Vec<PlanWord>, String> {
        let own: Vec<String> = lesson.cards().map(|e| e.word.clone()).collect();
        let list = |range| WordList {
            range,
            block: self.block.clone(),
            overrides: self.overrides.clone(),
        };
        let narrow = Graph::new(&list(Range::Given(own)), self.rules);
        let limits = Limits {
            syllables: Some(1..=1),
            contrasts: self.contrasts(),
            ..Limits::default()
        };
        let seeds = (0..CHAINS).map(|turn| (self.today as u64).wrapping_mul(CHAINS).wrapping_add(turn));
        let mut asked: BTreeSet<&str> = lesson.asked().map(|e| e.word.as_str()).collect();
        asked.extend(lesson.review.iter().map(String::as_str));
        let worth = |chain: &Chain| chain.steps.iter().filter(|s| asked.contains(&*s.word)).count();
        let in_hand = seeds
            .filter_map(|seed| six(&narrow, &limits, seed))
            .max_by_key(|chain| worth(chain));
        // Too few words were taught for a chain of them alone: then any common ones, as long as the letters are plain.
        let found = in_hand.or_else(|| {
            let plain = Limits {
                letters: true,
                ..limits.clone()
            };
            six(&Graph::new(&list(Range::Common), self.rules), &plain, self.today as u64)
        });
        let chain = found.ok_or("no chain of six words was found for it; find one in the Plan view")?;
        Ok(chain
            .steps
            .into_iter()
            .map(|s| PlanWord::said_as(s.word, s.said))
            .collect())
    }

    fn contrasts(&self) -> Vec<(Unit, Unit)> {
        let LessonTopic::MixUp(a, b) = self.about else {
            return Vec::new();
        };
        let unit = |sound: Sound| Unit::new(&[sound]);
        unit(a).zip(unit(b)).into_iter().collect()
    }

    /// Eight cards in two columns.
    fn sort(&self, lesson: &LessonWords) -> Option<Vec<SortGroup>> {
        let groups = match (self.about, lesson.new) {
            (LessonTopic::MixUp(a, b), _) => by_sound(lesson, a, b),
            (_, Some(new)) => by_rule(new, lesson).or_else(|| by_choice(lesson, new)),
            (_, None) => None,
        }?;
        let full = groups.len() == COLUMNS && groups.iter().all(|g| !g.words.is_empty());
        full.then_some(groups)
    }

    /// Words to write: what comes again, what is new, and sentences of them.
    fn dictation(&self, lesson: &LessonWords, chain: &[PlanWord]) -> Content {
        let words = lesson.to_write(chain);
        let from: Vec<&str> = words.iter().map(String::as_str).collect();
        let made = DictationRequest {
            words: &from,
            sentences: DRAFTS,
            seed: self.today as u64,
        }
        .answer(self.block);
        let mut drafts: Vec<(usize, String)> = made
            .sentences
            .into_iter()
            .map(|s| (lesson.strangers(&s.text), s.text))
            .collect();
        // The fewest words that were not taught first; of those alike, as they were made.
        drafts.sort_by_key(|(strangers, _)| *strangers);
        Content::Dictation {
            words: words.into_iter().map(PlanWord::new).collect(),
            sentences: drafts.into_iter().take(SENTENCES).map(|(_, text)| text).collect(),
        }
    }
}

fn with_what_comes_before(choice: Choice, into: &mut BTreeSet<Choice>) {
    if into.insert(choice) {
        choice
            .before()
            .iter()
            .for_each(|before| with_what_comes_before(*before, into));
    }
}

fn six(graph: &Graph, limits: &Limits, seed: u64) -> Option<Chain> {
    let request = ChainRequest {
        words: Some(CHAIN),
        limits: limits.clone(),
        seed: Some(seed),
        ..ChainRequest::default()
    };
    request.answer(graph).found.ok()
}

/// The words of a lesson.
struct LessonWords {
    /// Words whose every choice was taught or is new, the commonest first.
    words: Vec<&'static CourseWord>,
    /// The new choice.
    new: Option<Choice>,
    /// Words that come again.
    review: Vec<String>,
    /// Whether a choice that is made at the end of words is asked for there alone: back for ck or k, not cat.
    at_the_end: bool,
    /// Two sounds that are to be told apart.
    sounds: Option<(Sound, Sound)>,
}

impl LessonWords {
    /// Words that can stand alone: no function words, but where they are what is learned.
    fn cards(&self) -> impl Iterator<Item = &'static CourseWord> {
        let by_heart = self.new == Some(Choice::Irregular);
        let alone = move |e: &&CourseWord| by_heart || !is_function_word(&e.word);
        self.words.iter().copied().filter(alone)
    }

    /// Words that meet what the lesson is about.
    fn asked(&self) -> impl Iterator<Item = &'static CourseWord> {
        let (new, sounds, at_the_end) = (self.new, self.sounds, self.at_the_end);
        self.cards().filter(move |e| match sounds {
            Some((a, b)) => has_one(e, a, b) || has_one(e, b, a),
            None => new.is_none_or(|new| e.meets(new) && (!at_the_end || ends_with_its_sound(e, new))),
        })
    }

    /// Words to write: what comes again, and what is new and not in the chain.
    fn to_write(&self, chain: &[PlanWord]) -> Vec<String> {
        let new = self.asked().map(|e| e.word.clone());
        let unseen = |word: &String| chain.iter().all(|w| w.spelling != *word);
        let mut words: Vec<String> = self.review.iter().take(DICTATED).cloned().collect();
        words.extend(new.filter(unseen).take(DICTATED));
        words.truncate(2 * DICTATED);
        words
    }

    /// How many words of a sentence are course words that may not stand in the lesson.
    fn strangers(&self, sentence: &str) -> usize {
        let own: BTreeSet<&str> = self.words.iter().map(|e| e.word.as_str()).collect();
        let text = sentence.to_lowercase();
        let words = text.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
        words
            .filter(|w| !own.contains(w) && !self.review.iter().any(|r| r == w))
            .count()
    }
}

fn group(heading: String, words: Vec<&str>) -> SortGroup {
    SortGroup {
        heading,
        words: words.into_iter().map(PlanWord::new).collect(),
    }
}

/// Whether a word ends with the sound whose spelling at the end is chosen; true of other choices.
fn ends_with_its_sound(entry: &CourseWord, choice: Choice) -> bool {
    let sound = match choice {
        Choice::KSpelling => Sound::K,
        Choice::ChSpelling => Sound::CH,
        Choice::JSpelling => Sound::JH,
        _ => return true,
    };
    entry.said.sounds().last() == Some(&sound)
}

/// Whether a word of one syllable has the one sound and not the other.
fn has_one(entry: &CourseWord, this: Sound, other: Sound) -> bool {
    let sounds = entry.said.sounds();
    sounds.contains(&this) && !sounds.contains(&other) && sounds.iter().filter(|s| s.is_vowel()).count() == 1
}

/// Words with one of two sounds, each under the name of its sound.
fn by_sound(lesson: &LessonWords, a: Sound, b: Sound) -> Option<Vec<SortGroup>> {
    let column = |this: Sound, other: Sound| {
        let words = lesson.cards().filter(|e| has_one(e, this, other)).take(CARDS / COLUMNS);
        group(called(this), words.map(|e| e.word.as_str()).collect())
    };
    Some(vec![column(a, b), column(b, a)])
}

/// The two largest columns of the word sort that goes with a choice.
fn by_rule(new: Choice, lesson: &LessonWords) -> Option<Vec<SortGroup>> {
    // What stands at the end of a word first: that is where the choice is made.
    let at_the_end: &[&str] = match new {
        Choice::KSpelling => &["ck", "k"],
        Choice::ChSpelling => &["tch", "ch"],
        Choice::JSpelling => &["dge", "ge"],
        _ => &[],
    };
    let ends = (!at_the_end.is_empty()).then(|| by_sort("ck-k", lesson, |heading| at_the_end.contains(&heading)));
    // The proposal names the sort of its new choice: with all else taught, that is this one.
    let others: BTreeSet<Choice> = Choice::ALL.iter().copied().filter(|c| *c != new).collect();
    let named = || course::propose(CourseWords::builtin(), &[], &others.into(), 0).sort;
    ends.flatten().or_else(|| by_sort(named()?, lesson, |_| true))
}

/// The two largest columns of a word sort, of those that are wanted.
fn by_sort(name: &str, lesson: &LessonWords, wanted: impl Fn(&str) -> bool) -> Option<Vec<SortGroup>> {
    let words: BTreeMap<&str, &CourseWord> = lesson.cards().map(|e| (e.word.as_str(), e)).collect();
    let given = WordList {
        range: Range::Given(words.keys().map(|w| (*w).to_owned()).collect()),
        ..WordList::default()
    };
    let sorted = Corpus::new(&given).sort(sort::find(name)?);
    let mut columns: Vec<_> = sorted
        .columns
        .iter()
        .filter(|c| c.members.len() >= CARDS / COLUMNS && wanted(&c.heading))
        .collect();
    columns.sort_by_key(|c| std::cmp::Reverse(c.members.len()));
    let column = |c: &&sort::Column| {
        let mut seen = BTreeSet::new();
        let once = c
            .members
            .iter()
            .filter(|m| seen.insert(m.word.clone()))
            .take(CARDS / COLUMNS);
        group(c.heading.clone(), once.map(|m| m.word.as_str()).collect())
    };
    let groups: Vec<SortGroup> = columns.iter().take(COLUMNS).map(column).collect();
    (groups.len() == COLUMNS).then_some(groups)
}

/// Where no sort shows what decides: words that meet the choice, and words that do not.
fn by_choice(lesson: &LessonWords, new: Choice) -> Option<Vec<SortGroup>> {
    if new == Choice::ShortVowel {
        return by_sound(lesson, Sound::EH, Sound::IH);
    }
    let column = |meets: bool, heading: &str| {
        let words = lesson.cards().filter(|e| e.meets(new) == meets).take(CARDS / COLUMNS);
        group(heading.to_owned(), words.map(|e| e.word.as_str()).collect())
    };
    Some(vec![column(true, new.name()), column(false, "without")])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, no source: how a parent names what a lesson is about.
    #[test]
    fn one_line_says_what_it_is_about() {
        let mix = |text: &str| LessonTopic::read(text).unwrap();
        let (e, i) = (Sound::EH, Sound::IH);
        for text in [
            "short e and short i",
            "Short e, i",
            "e / i",
            "short e for short i",
            "eh and ih",
        ] {
            assert_eq!(mix(text), LessonTopic::MixUp(e, i), "{text}");
        }
        assert_eq!(mix("s and sh"), LessonTopic::MixUp(Sound::S, Sound::SH));
        assert_eq!(mix("ch, sh"), LessonTopic::MixUp(Sound::CH, Sound::SH));
        assert_eq!(mix("long a and short a"), LessonTopic::MixUp(Sound::EY, Sound::AE));
        assert_eq!(
            mix("the k sound and the g sound"),
            LessonTopic::MixUp(Sound::K, Sound::G)
        );
    }

    #[test]
    fn a_choice_is_found_by_any_words_of_its_name_and_nothing_is_what_is_due() {
        let about = |text: &str| LessonTopic::read(text).unwrap();
        for (text, choice) in [
            ("ck or k", Choice::KSpelling),
            ("ck, k or c", Choice::KSpelling),
            ("tch", Choice::ChSpelling),
            ("Silent e", Choice::SilentE),
            ("-ed", Choice::EdEnding),
            ("doubled letter inside", Choice::InnerDouble),
            ("prefixes", Choice::Prefix),
        ] {
            assert_eq!(about(text), LessonTopic::Choice(choice), "{text}");
        }
        assert!(
            Choice::ALL.iter().all(
                |c| about(c.name()) == LessonTopic::Choice(*c) || matches!(about(c.name()), LessonTopic::MixUp(..))
            )
        );
        for text in ["", "  ", "what is due", "due", "Review"] {
            assert_eq!(about(text), LessonTopic::Due, "{text}");
        }
        for text in ["p b", "homework", "\u{1f600}", "x and y and z"] {
            let line = LessonTopic::read(text).unwrap_err();
            assert!(line.contains("ck or k") && !line.contains('\n'), "{text}: {line}");
        }
        assert_eq!(about("s, sh").title(), "S and sh");
        assert_eq!(about("e and i").title(), "Short e and short i");
    }

    /// Also holds that the short answer names the same.
    fn plan(about: LessonTopic, tries: &[WrittenTry]) -> Plan {
        let none = NamedChoices::default();
        let question = PlanRequest {
            about,
            tries,
            named: &none,
            today: 20_000,
            rules: &Rules::default(),
            overrides: &Overrides::default(),
            block: &BlockList::builtin(),
        };
        let plan = question.answer().unwrap();
        assert_eq!(plan, question.answer().unwrap(), "the same again");
        let (chain, words) = question.chain_and_words().unwrap();
        assert!(
            matches!(&plan.items[0].content, Content::Chain(own) if *own == chain),
            "{chain:?}"
        );
        let to_write = plan.items.last().unwrap().words().map(|w| &w.spelling);
        assert!(to_write.eq(&words), "{words:?}");
        plan
    }

    /// What the issue of a lesson of twenty minutes holds: six words, eight cards, two sentences.
    fn is_twenty_minutes(plan: &Plan) {
        let [chain, sort, dictation] = plan.items.as_slice() else {
            panic!("{plan:?}")
        };
        assert_eq!(chain.words().count(), CHAIN, "{plan:?}");
        assert!(chain.doubts(&plan.rules, &Overrides::default()).is_empty(), "{chain:?}");
        assert_eq!(sort.words().count(), CARDS, "{sort:?}");
        let Content::Dictation { words, sentences } = &dictation.content else {
            panic!("{dictation:?}")
        };
        assert!(words.len() >= DICTATED && sentences.len() == SENTENCES, "{dictation:?}");
        let mut cards: Vec<&str> = sort.words().map(|w| w.spelling.as_str()).collect();
        cards.sort_unstable();
        cards.dedup();
        assert_eq!(cards.len(), CARDS, "no card twice");
    }

    #[test]
    fn each_line_gives_twenty_minutes() {
        for text in ["", "short e and short i", "s and sh", "ck or k", "silent e"] {
            is_twenty_minutes(&plan(LessonTopic::read(text).unwrap(), &[]));
        }
    }

    /// A function word alone shows nothing, unless its letters are what is learned by heart (common practice, no source).
    #[test]
    fn no_card_and_no_word_to_write_is_a_function_word() {
        let small = ["the", "of", "and", "that", "his", "not", "but", "with", "who", "has"];
        for text in ["", "m, n or ng before a consonant", "ck or k", "sh, ch, th"] {
            let about = LessonTopic::read(text).unwrap();
            for word in plan(about, &[]).items.iter().flat_map(PlanItem::words) {
                assert!(!small.contains(&word.spelling.as_str()), "{text}: {}", word.spelling);
            }
        }
        let by_heart = plan(LessonTopic::Choice(Choice::Irregular), &[]);
        let words: Vec<&str> = by_heart.items[2].words().map(|w| w.spelling.as_str()).collect();
        assert!(words.iter().any(|w| is_function_word(w)), "{words:?}");
    }

    /// Common practice, no source: ck after a short vowel, k after a consonant; dge after a short vowel, ge after anything else.
    #[test]
    fn a_choice_at_the_end_of_a_word_is_sorted_there() {
        let headings = |text: &str| match &plan(LessonTopic::read(text).unwrap(), &[]).items[1].content {
            Content::Sort(groups) => groups.iter().map(|g| g.heading.clone()).collect::<BTreeSet<_>>(),
            other => panic!("{other:?}"),
        };
        assert_eq!(headings("ck or k"), BTreeSet::from(["ck".into(), "k".into()]));
        assert_eq!(headings("tch or ch"), BTreeSet::from(["tch".into(), "ch".into()]));
        let of_k = plan(LessonTopic::Choice(Choice::KSpelling), &[]);
        assert_eq!(of_k.title, "The k sound: ck, k or c");
        let ends = |w: &PlanWord| w.pronunciation(&Overrides::default()).sounds().last() == Some(&Sound::K);
        assert!(of_k.items[2].words().all(ends), "{:?}", of_k.items[2]);
    }

    #[test]
    fn a_mix_up_is_swapped_in_the_chain_and_parted_in_the_sort() {
        let plan = plan(LessonTopic::MixUp(Sound::EH, Sound::IH), &[]);
        let said = |w: &PlanWord| w.pronunciation(&Overrides::default()).sounds().to_vec();
        let chain: Vec<Vec<Sound>> = plan.items[0].words().map(said).collect();
        let swaps = chain.windows(2).filter(|pair| {
            let has = |s: &[Sound], sound| s.contains(&sound);
            has(&pair[0], Sound::EH) != has(&pair[1], Sound::EH) && has(&pair[0], Sound::IH) != has(&pair[1], Sound::IH)
        });
        assert!(swaps.count() >= 1, "{chain:?}");
        let Content::Sort(groups) = &plan.items[1].content else {
            panic!()
        };
        assert!(groups[0].words.iter().all(|w| said(w).contains(&Sound::EH)));
        assert!(groups[1].words.iter().all(|w| said(w).contains(&Sound::IH)));
        assert_eq!(groups[0].heading, "short e");
    }

    /// No lesson of what is due holds a choice that was not taught, but for the new one.
    #[test]
    fn nothing_untaught_is_in_what_is_due() {
        let plan = plan(LessonTopic::Due, &[]);
        let words = CourseWords::builtin();
        for word in plan.items.iter().flat_map(PlanItem::words) {
            let met = words.get(&word.spelling).map(|e| e.met.clone()).unwrap_or_default();
            assert!(
                met.iter().all(|(c, _)| *c == Choice::ShortVowel),
                "{}: {met:?}",
                word.spelling
            );
        }
    }
}
