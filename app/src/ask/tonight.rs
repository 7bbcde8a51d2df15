//! Tonight's plan from one line: a mix-up, a choice of spelling, or what is due. About twenty minutes: a chain of six words,
//! eight cards to sort, some words and two sentences to write.
//!
//! The same line, the same writing and the same day give the same plan. Where the line says nothing else, no word of it meets
//! a choice of spelling that was not taught, but for the one that is new.

mod cards;
mod words;

use std::collections::BTreeSet;

use soundbead_data::chain::{BlockList, Chain, ChangeKind, Graph, Limits, Range, Unit, WordList};
use soundbead_data::course::{self, Choice, CourseWord, CourseWords, NamedChoices, WrittenTry};
use soundbead_data::sort::Level;
use soundbead_data::word::Overrides;
use soundbead_data::{Rules, Sound, inventory};

use self::words::{ENOUGH, LessonWords, SentenceFinder, fitting};
use super::chain::ChainRequest;
use crate::keyed::{LONG, SHORT, called};
use crate::plan::{Content, Plan, PlanItem, PlanWord};
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
/// Different chains that are looked at for the one that shows most in the commonest words.
const CHAINS: u64 = 8;
/// The commonest words from which a chain is made.
const LINKED: usize = 400;
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
    /// One line: what was perhaps meant, where a slip of the fingers explains it, else examples.
    pub fn read(text: &str) -> Result<LessonTopic, String> {
        let line = text.trim().to_lowercase();
        topic(&line).ok_or_else(|| {
            let text = text.trim();
            match slip(&line).filter(|meant| topic(meant).is_some()) {
                Some(meant) => format!("\"{text}\" is not known here. Did you mean: {meant}?"),
                None => format!(
                    "\"{text}\" is no mix-up and no choice of spelling that is known; write such as: short e and short i; s \
                     and sh; ck or k; what is due"
                ),
            }
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

/// What a line in small letters asks for, where it is known.
fn topic(line: &str) -> Option<LessonTopic> {
    if line.is_empty() || words_of(line).any(|w| w == "due" || w == "review") {
        return Some(LessonTopic::Due);
    }
    mix_up(line)
        .or_else(|| lone_vowel(line))
        .or_else(|| choice(line).map(LessonTopic::Choice))
}

/// The line with its mistyped words put right; none where no word of it is near to one that means something here. Words of
/// fewer than four letters stand for sounds and letters: one more slip in them is another sound.
fn slip(line: &str) -> Option<String> {
    let choices = Choice::ALL.iter().flat_map(|choice| words_of(choice.name()));
    let known: BTreeSet<&str> = ["short", "long", "vowel", "sound", "review"]
        .into_iter()
        .chain(choices)
        .collect();
    let near = |word: &str| {
        // One slip in a short word, two in a longer one: with more, any word is near to another.
        let most = if word.chars().count() < 6 { 1 } else { 2 };
        let each = known.iter().map(|known| (strsim::osa_distance(word, known), *known));
        each.filter(|(far, known)| *far <= most && known.chars().count() > 3)
            .min()
            .map(|(_, known)| known)
    };
    let (mut meant, mut mended) = (Vec::new(), false);
    for word in words_of(line) {
        let near = Some(word)
            .filter(|w| w.chars().count() > 3 && !known.contains(w))
            .and_then(near);
        mended |= near.is_some();
        meant.push(near.unwrap_or(word));
    }
    mended.then(|| meant.join(" "))
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

/// One vowel by its name: a long one is told from the short one of its letter, a short one from the one it is most often taken for.
fn lone_vowel(line: &str) -> Option<LessonTopic> {
    let words: Vec<&str> = words_of(line)
        .filter(|w| !["the", "sound", "vowel"].contains(w))
        .collect();
    let [length @ ("short" | "long"), letter] = words.as_slice() else {
        return None;
    };
    let of = |named: [(&str, Sound); 5]| named.iter().find(|(name, _)| name == letter).map(|(_, sound)| *sound);
    match (*length, of(LONG)?, of(SHORT)?) {
        ("long", long, short) => Some(LessonTopic::MixUp(long, short)),
        (_, _, short) => match inventory::of(short).confused.with.sounds() {
            [other] => Some(LessonTopic::MixUp(short, *other)),
            _ => None,
        },
    }
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
    let found = |told: &dyn Fn(Choice) -> String| {
        let fits = |choice: &&Choice| {
            let name = told(**choice);
            let name: Vec<&str> = words_of(&name).collect();
            !asked.is_empty() && asked.iter().all(|w| name.iter().any(|n| alike(n, w)))
        };
        let found = Choice::ALL.iter().filter(fits);
        found.copied().min_by_key(|c| words_of(&told(*c)).count())
    };
    // By its name, or as the title of its lesson says it.
    found(&|choice| choice.name().to_owned()).or_else(|| found(&|choice| choice_title(choice).to_lowercase()))
}

/// Words from earlier that a plan of what is due has written again.
pub fn brought_again(tries: &[WrittenTry], named: &NamedChoices, today: i64) -> Vec<String> {
    let week = course::propose(CourseWords::builtin(), tries, named, today);
    week.review.into_iter().take(DICTATED).collect()
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
        let lesson = self.lesson()?;
        let chain = self.chain(&lesson)?;
        let words = self.words_to_write(&lesson, &chain);
        let title = match (self.about, lesson.new) {
            (LessonTopic::Due, Some(new)) => choice_title(new).into(),
            (about, _) => about.title(),
        };
        let item = |title: &str, content| PlanItem {
            title: title.into(),
            ..PlanItem::of(content)
        };
        let dictation = Content::Dictation {
            sentences: lesson.sentences(&words, &self.sentences()),
            words: words.into_iter().map(PlanWord::new).collect(),
        };
        let mut items = vec![item("One sound changes", Content::Chain(chain))];
        let sort = cards::sort(&lesson);
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
        let lesson = self.lesson()?;
        let chain = self.chain(&lesson)?;
        let words = self.words_to_write(&lesson, &chain);
        Ok((chain, words))
    }

    fn words_to_write(&self, lesson: &LessonWords, chain: &[PlanWord]) -> Vec<String> {
        let chained: Vec<&str> = chain.iter().map(|w| w.spelling.as_str()).collect();
        lesson.to_write(&chained, &self.sentences())
    }

    fn sentences(&self) -> SentenceFinder<'_> {
        SentenceFinder {
            seed: self.today as u64,
            block: self.block,
        }
    }

    /// Which words may stand in it, and which are asked for.
    fn lesson(&self) -> Result<LessonWords, String> {
        let mut allowed = course::taught(self.tries, self.named);
        let (new, review) = match self.about {
            LessonTopic::MixUp(a, b) => return LessonWords::of_sounds((a, b), &allowed, self.block),
            LessonTopic::Choice(choice) => (Some(choice), Vec::new()),
            LessonTopic::Due => {
                let week = course::propose(CourseWords::builtin(), self.tries, self.named, self.today);
                (week.new, week.review)
            }
        };
        if let Some(new) = new {
            with_what_comes_before(new, &mut allowed);
        }
        let LessonTopic::Choice(choice) = self.about else {
            return Ok(LessonWords::of_choice(new, review, &allowed, self.block));
        };
        // The plainest letters first; where too few words are left, everything that is taught before it, then all but what is
        // known by heart.
        let earlier: Vec<Choice> = plain_choices().filter(|c| *c < choice).collect();
        let all: Vec<Choice> = plain_choices().collect();
        let mut lesson = LessonWords::default();
        for more in [met_by_the_way(choice), &earlier, &all] {
            more.iter().for_each(|c| with_what_comes_before(*c, &mut allowed));
            lesson = LessonWords::of_choice(new, Vec::new(), &allowed, self.block);
            if lesson.asked().count() >= ENOUGH {
                break;
            }
        }
        Ok(lesson)
    }

    /// Six words, each one sound from the last.
    fn chain(&self, lesson: &LessonWords) -> Result<Vec<PlanWord>, String> {
        let found = match lesson.sounds {
            Some((a, b)) => self.swapping(lesson, a, b)?,
            None => self.showing(lesson)?,
        };
        let steps = found.steps.into_iter();
        Ok(steps.map(|s| PlanWord::said_as(s.word, s.said)).collect())
    }

    /// A chain in which two sounds are swapped as often as can be.
    fn swapping(&self, lesson: &LessonWords, a: Sound, b: Sound) -> Result<Chain, String> {
        let (one, other) = (Unit::from(a), Unit::from(b));
        let limits = Limits {
            contrasts: vec![(one, other)],
            ..one_syllable()
        };
        let swaps = |chain: &Chain| {
            let changes = chain.steps.iter().filter_map(|s| s.change);
            let swap = |from, to| [(Some(one), Some(other)), (Some(other), Some(one))].contains(&(from, to));
            changes
                .filter(|c| c.kind == ChangeKind::Swap && swap(c.from, c.to))
                .count()
        };
        let plain = || {
            let all = plain_choices().collect();
            fitting(self.block, |e| e.fits(&all))
        };
        let best = |words: Vec<&CourseWord>| {
            let found = self.chains(&words, &limits).into_iter();
            found.filter(|c| swaps(c) > 0).max_by_key(|c| (swaps(c), commonness(c)))
        };
        let found = best(lesson.cards().collect()).or_else(|| best(plain()));
        // Two sounds with few neighbors among plain words meet in words of longer books, whose other letters stay.
        let rarer = || {
            let list = WordList {
                range: Range::Common,
                block: self.block.clone(),
                overrides: self.overrides.clone(),
            };
            let letters = Limits {
                letters: true,
                ..limits.clone()
            };
            let known = |word: &str| {
                let zipf = soundbead_data::lexicon::look_up(word).map_or(0.0, |e| e.zipf());
                Level::Bookish.has(word, zipf)
            };
            let found = self.chains_in(&Graph::new(&list, self.rules), &letters).into_iter();
            found
                .filter(|c| swaps(c) > 0 && c.steps.iter().all(|s| known(&s.word)))
                .max_by_key(swaps)
        };
        found.or_else(rarer).ok_or_else(|| {
            format!(
                "no chain of six plain words swaps {} and {}; find one in the Plan view",
                called(a),
                called(b)
            )
        })
    }

    /// A chain of words that show the choice, as many as can be.
    fn showing(&self, lesson: &LessonWords) -> Result<Chain, String> {
        let shown: Vec<&CourseWord> = lesson.asked().take(LINKED).collect();
        let cards: Vec<&CourseWord> = lesson.cards().filter(|e| e.is_plain()).take(LINKED).collect();
        let mut asked: BTreeSet<&str> = shown.iter().map(|e| e.word.as_str()).collect();
        asked.extend(lesson.review.iter().map(String::as_str));
        let worth = |chain: &Chain| chain.steps.iter().filter(|s| asked.contains(&*s.word)).count();
        let mut found = self.chains(&shown, &one_syllable());
        if found.is_empty() || !lesson.review.is_empty() {
            found.extend(self.chains(&cards, &one_syllable()));
        }
        let best = found.into_iter().max_by_key(|c| (worth(c), commonness(c)));
        best.ok_or_else(|| "no chain of six words was found for it; find one in the Plan view".into())
    }

    /// Some chains of six of these words.
    fn chains(&self, words: &[&CourseWord], limits: &Limits) -> Vec<Chain> {
        let list = WordList {
            range: Range::Given(words.iter().map(|e| e.word.clone()).collect()),
            block: self.block.clone(),
            overrides: self.overrides.clone(),
        };
        self.chains_in(&Graph::new(&list, self.rules), limits)
    }

    fn chains_in(&self, graph: &Graph, limits: &Limits) -> Vec<Chain> {
        let seeds = (0..CHAINS).map(|turn| (self.today as u64).wrapping_mul(CHAINS).wrapping_add(turn));
        seeds.filter_map(|seed| six(graph, limits, seed)).collect()
    }
}

/// Every choice but what is known by heart.
pub fn plain_choices() -> impl Iterator<Item = Choice> {
    Choice::ALL.iter().copied().filter(|c| *c != Choice::Irregular)
}

fn one_syllable() -> Limits {
    Limits {
        syllables: Some(1..=1),
        ..Limits::default()
    }
}

/// How common the words of a chain are together, in hundredths on the Zipf scale.
fn commonness(chain: &Chain) -> usize {
    let zipf = |word: &str| CourseWords::wider().get(word).map_or(0.0, |e| e.zipf);
    chain.steps.iter().map(|s| (100.0 * zipf(&s.word)) as usize).sum()
}

/// What a choice is met with though it is not what is taught: what stands at the end is parted by what stands before it (duck, but
/// desk), and jump and pink have letters of their own.
fn met_by_the_way(choice: Choice) -> &'static [Choice] {
    match choice {
        Choice::KSpelling => &[Choice::EndCluster, Choice::StartCluster],
        Choice::ChSpelling | Choice::JSpelling => &[
            Choice::EndCluster,
            Choice::LostNasal,
            Choice::StartCluster,
            Choice::KSpelling,
        ],
        Choice::LostNasal => &[
            Choice::StartCluster,
            Choice::Digraph,
            Choice::KSpelling,
            Choice::JSpelling,
        ],
        Choice::ShortVowel
        | Choice::Digraph
        | Choice::StartCluster
        | Choice::EndCluster
        | Choice::DoubledEnd
        | Choice::Irregular => &[],
        _ => &[
            Choice::Digraph,
            Choice::StartCluster,
            Choice::LostNasal,
            Choice::DoubledEnd,
            Choice::KSpelling,
        ],
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

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::course::is_function_word;

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
    fn a_slip_of_the_fingers_is_asked_about_and_never_taken_for_what_was_meant() {
        for (text, meant) in [
            ("shrot e and short i", "Did you mean: short e and short i?"),
            ("lnog a", "Did you mean: long a?"),
            ("doubeled letter inside", "Did you mean: doubled letter inside?"),
        ] {
            let line = LessonTopic::read(text).unwrap_err();
            assert!(line.contains(meant), "{text}: {line}");
        }
        // Nothing near to it means something here.
        assert!(LessonTopic::read("homework").unwrap_err().contains("write such as"));
        // Letters are what they are.
        assert!(LessonTopic::read("zx and q").unwrap_err().contains("write such as"));
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
            ("Spellings to learn by heart", Choice::Irregular),
            ("A double letter inside a word", Choice::InnerDouble),
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
        assert_eq!(of_k.title, "The k sound (ck, k or c)");
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

    /// What was taught is left open, as for a child whose writing nobody read.
    fn made(about: LessonTopic) -> Result<Plan, String> {
        let none = NamedChoices::default();
        let question = PlanRequest {
            about,
            tries: &[],
            named: &none,
            today: 20_000,
            rules: &Rules::default(),
            overrides: &Overrides::default(),
            block: &BlockList::builtin(),
        };
        question.answer()
    }

    fn said(word: &str) -> Vec<Sound> {
        let entry = soundbead_data::lexicon::look_up(word).unwrap();
        entry.variants().next().unwrap().sounds().to_vec()
    }

    /// Words and sentences to write.
    fn written(plan: &Plan) -> (Vec<String>, &[String]) {
        match &plan.items.last().unwrap().content {
            Content::Dictation { words, sentences } => (words.iter().map(|w| w.spelling.clone()).collect(), sentences),
            other => panic!("{other:?}"),
        }
    }

    /// What is written, and the words of the chain and the cards, to be read by a person.
    fn told(plan: &Plan) -> String {
        let words = |item: &PlanItem| item.words().map(|w| w.spelling.clone()).collect::<Vec<_>>();
        let each: Vec<Vec<String>> = plan.items.iter().take(2).map(words).collect();
        format!("{:?} {each:?}", written(plan))
    }

    fn words_in(sentence: &str) -> Vec<String> {
        let lower = sentence.to_lowercase();
        let words = lower.split(|c: char| !c.is_alphabetic() && c != '\'');
        words.filter(|w| !w.is_empty()).map(str::to_owned).collect()
    }

    /// Each sentence holds a word to write, and no word that is rare (under four in a million, wordfreq's scale) or longer than three
    /// syllables.
    fn sentences_fit(plan: &Plan) {
        let (words, sentences) = written(plan);
        assert!(
            words.len() >= DICTATED && sentences.len() == SENTENCES,
            "{}: {words:?} {sentences:?}",
            plan.title
        );
        for sentence in sentences {
            let held = words_in(sentence);
            assert!(
                held.iter().any(|w| words.contains(w)),
                "{}: {sentence} {words:?}",
                plan.title
            );
            for word in held.iter().filter(|w| !words.contains(w)) {
                let entry = soundbead_data::lexicon::look_up(word).unwrap_or_else(|| panic!("{word}"));
                let syllables = said(word).iter().filter(|s| s.is_vowel()).count();
                assert!(
                    entry.zipf() >= 3.6 && syllables <= 3,
                    "{}: {sentence} {word}",
                    plan.title
                );
            }
        }
    }

    /// For every choice of the course: what is written shows it, the first column of the cards too where the other is without it, and
    /// nothing else has to be known by heart.
    #[test]
    fn a_lesson_on_any_choice_holds_words_that_show_it() {
        for choice in Choice::ALL {
            let plan = made(LessonTopic::Choice(*choice)).unwrap_or_else(|line| panic!("{choice}: {line}"));
            println!("{choice}: {}", told(&plan));
            sentences_fit(&plan);
            let course = CourseWords::wider();
            let shows = |word: &String| course.get(word).is_some_and(|e| e.shows(*choice));
            let (words, _) = written(&plan);
            assert!(words.iter().all(shows), "{choice}: {words:?}");
            if let Content::Sort(groups) = &plan.items[1].content
                && groups[1].heading.starts_with("not ")
            {
                assert!(
                    groups[0].words.iter().all(|w| shows(&w.spelling)),
                    "{choice}: {groups:?}"
                );
                assert!(
                    !groups[1]
                        .words
                        .iter()
                        .any(|w| course.get(&w.spelling).unwrap().meets(*choice)),
                    "{choice}: {groups:?}"
                );
            }
            let by_heart = *choice == Choice::Irregular;
            for word in plan.items.iter().flat_map(PlanItem::words) {
                let entry = course
                    .get(&word.spelling)
                    .unwrap_or_else(|| panic!("{choice}: {}", word.spelling));
                assert!(entry.is_plain() || by_heart, "{choice}: {}", word.spelling);
            }
        }
    }

    /// What the lesson on a choice of one syllable chains shows the choice in every word (common practice, no source).
    #[test]
    fn the_chain_of_a_choice_shows_it_too() {
        for choice in [
            Choice::Digraph,
            Choice::StartCluster,
            Choice::EndCluster,
            Choice::LostNasal,
            Choice::DoubledEnd,
            Choice::KSpelling,
            Choice::SilentE,
            Choice::VowelTeam,
            Choice::RVowel,
        ] {
            let plan = made(LessonTopic::Choice(choice)).unwrap();
            let shows = |w: &PlanWord| CourseWords::wider().get(&w.spelling).unwrap().shows(choice);
            assert!(plan.items[0].words().all(shows), "{choice}: {:?}", plan.items[0]);
        }
    }

    /// Every two sounds that a card says are taken for each other.
    fn contrasts() -> Vec<(Sound, Sound)> {
        let mut pairs = Vec::new();
        for entry in inventory::all() {
            let others = entry.also.iter().filter_map(|m| m.with.as_ref());
            for other in others.chain([&entry.confused.with]) {
                if let ([a], [b]) = (entry.arpabet.sounds(), other.sounds())
                    && a != b
                    && !pairs.contains(&(*b, *a))
                    && !pairs.contains(&(*a, *b))
                {
                    pairs.push((*a, *b));
                }
            }
        }
        pairs
    }

    /// For every contrast: both sounds in the chain, on the cards, in the words to write and in the sentences; or one line that says
    /// there are too few plain words.
    #[test]
    fn a_lesson_on_any_two_sounds_holds_both_everywhere() {
        let pairs = contrasts();
        let mut refused = 0;
        for (a, b) in &pairs {
            let plan = match made(LessonTopic::MixUp(*a, *b)) {
                Ok(plan) => plan,
                Err(line) => {
                    println!("{a} {b}: {line}");
                    assert!(line.contains("plain words") && !line.contains('\n'), "{line}");
                    refused += 1;
                    continue;
                }
            };
            println!("{a} {b}: {}", told(&plan));
            sentences_fit(&plan);
            let (words, sentences) = written(&plan);
            for sound in [a, b] {
                let has = |word: &str| said(word).contains(sound);
                assert!(words.iter().filter(|w| has(w)).count() >= 2, "{a} {b}: {words:?}");
                let holds = |s: &String| words_in(s).iter().any(|w| words.contains(w) && has(w));
                assert!(sentences.iter().any(holds), "{a} {b}: {words:?} {sentences:?}");
                assert!(
                    plan.items[0].words().any(|w| has(&w.spelling)),
                    "{a} {b}: {:?}",
                    plan.items[0]
                );
            }
            for word in plan.items.iter().flat_map(PlanItem::words) {
                let sounds = word.pronunciation(&Overrides::default()).sounds().to_vec();
                let vowels = sounds.iter().filter(|s| s.is_vowel()).count();
                assert_eq!(vowels, 1, "{a} {b}: {}", word.spelling);
            }
            let shown = plan.items[1..].iter().flat_map(PlanItem::words);
            for word in shown {
                assert!(
                    CourseWords::wider().get(&word.spelling).is_some(),
                    "{a} {b}: {}",
                    word.spelling
                );
            }
        }
        println!("{refused} of {} refused", pairs.len());
        assert!(4 * refused <= pairs.len(), "{refused} of {} refused", pairs.len());
    }

    /// One vowel by its name is a lesson that tells it from its neighbor: long a holds long a.
    #[test]
    fn a_vowel_by_its_name_is_told_from_another() {
        let about = |text: &str| LessonTopic::read(text).unwrap();
        assert_eq!(about("long a"), LessonTopic::MixUp(Sound::EY, Sound::AE));
        assert_eq!(about("The long o sound"), LessonTopic::MixUp(Sound::OW, Sound::AA));
        assert_eq!(about("short e"), LessonTopic::MixUp(Sound::EH, Sound::IH));
        assert_eq!(about("long vowel with silent e"), LessonTopic::Choice(Choice::SilentE));
    }
}
