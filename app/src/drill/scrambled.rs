//! A sentence in mixed order: its words lie as cards, and the child moves them into order.
//!
//! Several orders of the same words may be good sentences. So the program only says whether it is the sentence as it was written;
//! of another order the parent rules. The first order stays as it was, and is kept with what became of it as a note on the learner.

use super::sorting::stirred;
use crate::equipment::{Equipment, News};
use crate::later::Later;
use crate::notebook::beside::MIXED;
use crate::notebook::{NewNote, Note, NoteBody, NoteSubject, Result};
use crate::plan::{Content, Plan};

/// Fewest and most words of a sentence that is mixed: two words have one other order, and with more cards nobody sees them all.
const WORDS: std::ops::RangeInclusive<usize> = 3..=14;
/// Moves that can be taken back.
const MOST_UNDO: usize = 200;
/// Words that keep their capital wherever they stand; others at the beginning would show where they belong.
const CAPITALS: [&str; 24] = [
    "I",
    "Mom",
    "Dad",
    "Gran",
    "Grandma",
    "Grandpa",
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
    "January",
    "February",
    "March",
    "April",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// What a person wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ScrambledIntent {
    /// Lay out these sentences, one after the other.
    Deal(Vec<String>),
    /// Move a card, by where it lies, to where it is to lie, from 0.
    Move(usize, usize),
    /// Take back the last move.
    Undo,
    /// Look at the order, or go on.
    GoOn,
    /// The parent rules that this order is right too.
    RuleRight,
    /// Show the sentence as it was written, after a first try.
    Show,
    /// Put the cards away.
    Close,
}

/// Where the order stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum OrderStanding {
    /// It was not looked at.
    #[default]
    Open,
    /// It is another order than the sentence's: the parent may rule, or the child moves on.
    Another,
    /// It is the sentence as it was written.
    AsWritten,
    /// The parent ruled that it is right too.
    RightToo,
    /// The sentence was shown.
    Shown,
}

/// Sentences in mixed order.
#[derive(Default)]
pub struct ScrambledSession {
    sentences: Vec<String>,
    at: usize,
    /// The cards as they lie: each word without the capital and the point that would place it.
    cards: Vec<String>,
    /// The same as the sentence has them, and the mark at its end.
    written: Vec<String>,
    mark: String,
    standing: OrderStanding,
    /// As they lay when they were looked at for the first time, and for the last.
    first: Option<Vec<String>>,
    looked: Option<Vec<String>>,
    past: Vec<Vec<String>>,
    /// Whether a card was moved: the order that was dealt is no try.
    touched: bool,
    keeping: Vec<Later<Result<Note>>>,
    news: Vec<News>,
}

/// The sentences of a plan that can be mixed.
pub fn sentences_of(plan: &Plan) -> Vec<String> {
    let each = plan.items.iter().filter_map(|item| match &item.content {
        Content::Dictation { sentences, .. } => Some(sentences),
        _ => None,
    });
    each.flatten().filter(|text| fits(text)).cloned().collect()
}

fn fits(text: &str) -> bool {
    WORDS.contains(&text.split_whitespace().count())
}

impl ScrambledSession {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, intent: ScrambledIntent) {
        match intent {
            ScrambledIntent::Deal(sentences) => self.deal(sentences),
            ScrambledIntent::Move(from, to) => self.lay(from, to),
            ScrambledIntent::Undo if !self.settled() => {
                if let Some(before) = self.past.pop() {
                    self.cards = before;
                }
            }
            ScrambledIntent::Undo => {}
            ScrambledIntent::GoOn if self.settled() => self.next(),
            ScrambledIntent::GoOn => self.look(at),
            ScrambledIntent::RuleRight if self.standing == OrderStanding::Another && !self.moved() => {
                self.settle(at, OrderStanding::RightToo);
            }
            ScrambledIntent::RuleRight => {}
            ScrambledIntent::Show if self.standing == OrderStanding::Another => {
                self.settle(at, OrderStanding::Shown);
                self.cards = self.written.clone();
            }
            ScrambledIntent::Show => {}
            ScrambledIntent::Close => self.close(at),
        }
    }

    fn deal(&mut self, sentences: Vec<String>) {
        *self = ScrambledSession {
            sentences: sentences.into_iter().filter(|text| fits(text)).collect(),
            keeping: std::mem::take(&mut self.keeping),
            news: std::mem::take(&mut self.news),
            ..ScrambledSession::default()
        };
        self.lay_out();
    }

    /// Lays out the cards of the sentence in hand.
    fn lay_out(&mut self) {
        let text = self.sentences.get(self.at).map_or("", String::as_str);
        (self.written, self.mark) = cards_of(text);
        self.cards = mixed(&self.written);
        (self.standing, self.first, self.looked) = (OrderStanding::Open, None, None);
        self.past.clear();
        self.touched = false;
    }

    fn lay(&mut self, from: usize, to: usize) {
        let count = self.cards.len();
        if self.settled() || from >= count || to >= count || from == to {
            return;
        }
        if self.past.len() == MOST_UNDO {
            self.past.remove(0);
        }
        self.past.push(self.cards.clone());
        let card = self.cards.remove(from);
        self.cards.insert(to, card);
        self.touched = true;
    }

    /// Looks at the order. The same once more changes nothing.
    fn look(&mut self, at: &Equipment) {
        if self.cards.is_empty() || !self.moved() {
            return;
        }
        self.first.get_or_insert_with(|| self.cards.clone());
        self.looked = Some(self.cards.clone());
        self.past.clear();
        match self.cards == self.written {
            true => self.settle(at, OrderStanding::AsWritten),
            false => self.standing = OrderStanding::Another,
        }
    }

    fn settle(&mut self, at: &Equipment, standing: OrderStanding) {
        self.standing = standing;
        self.past.clear();
        self.keep(at);
    }

    fn next(&mut self) {
        self.at += 1;
        match self.at < self.sentences.len() {
            true => self.lay_out(),
            false => self.sentences.clear(),
        }
    }

    /// Keeps what was laid as a note on the learner; what was never looked at is no try.
    fn keep(&mut self, at: &Equipment) {
        let (Some(learner), Some(first)) = (at.learner.as_ref().map(|l| l.id), &self.first) else {
            return;
        };
        let became = match self.standing {
            OrderStanding::AsWritten if self.looked.as_ref() == Some(first) => "That was the sentence.",
            OrderStanding::AsWritten => "Then it was the sentence.",
            OrderStanding::RightToo => "Another order; the grown-up said that it is right too.",
            OrderStanding::Shown => "Then the sentence was shown.",
            OrderStanding::Open | OrderStanding::Another => "It was left at another order.",
        };
        let sentence = self.sentences.get(self.at).map_or("", String::as_str);
        let mut text = format!("{MIXED}{sentence} First laid: {}. {became}", first.join(" "));
        if let (OrderStanding::RightToo, Some(last)) = (self.standing, self.looked.as_ref().filter(|l| *l != first)) {
            text += &format!(" Laid then: {}.", last.join(" "));
        }
        let note = NewNote {
            on: NoteSubject::Learner,
            author: *at.author,
            body: NoteBody {
                text,
                ..NoteBody::default()
            },
        };
        self.keeping.push(at.notebook.ask(move |n| n.add_note(learner, &note)));
    }

    fn close(&mut self, at: &Equipment) {
        if self.is_open() && !self.settled() {
            self.keep(at);
        }
        self.sentences.clear();
        self.cards.clear();
    }

    /// Takes in what came.
    pub fn poll(&mut self) {
        let news = &mut self.news;
        self.keeping.retain_mut(|keeping| match keeping.answer() {
            None => true,
            Some(Ok(_)) => false,
            Some(Err(e)) => {
                news.push(News::Failed(format!("The order could not be kept. {e}")));
                false
            }
        });
    }

    /// Whether there are cards.
    pub fn is_open(&self) -> bool {
        !self.sentences.is_empty()
    }

    /// The cards as they lie.
    pub fn cards(&self) -> &[String] {
        &self.cards
    }

    /// The mark at the sentence's end.
    pub fn mark(&self) -> &str {
        &self.mark
    }

    /// The sentence, once it may be seen: with its capital and its mark, in the order that was found.
    pub fn sentence(&self) -> Option<String> {
        match self.standing {
            OrderStanding::AsWritten | OrderStanding::Shown => self.sentences.get(self.at).cloned(),
            OrderStanding::RightToo => Some(format!("{}{}", crate::say::capital(&self.cards.join(" ")), self.mark)),
            OrderStanding::Open | OrderStanding::Another => None,
        }
    }

    /// Where the order stands.
    pub fn standing(&self) -> OrderStanding {
        self.standing
    }

    /// Whether nothing can be moved any more.
    pub fn settled(&self) -> bool {
        !matches!(self.standing, OrderStanding::Open | OrderStanding::Another)
    }

    /// Whether there is an order that was not looked at.
    pub fn moved(&self) -> bool {
        self.touched && self.looked.as_ref() != Some(&self.cards)
    }

    /// Whether a move can be taken back.
    pub fn can_undo(&self) -> bool {
        !self.settled() && !self.past.is_empty()
    }

    /// Number of the sentence in hand, from 0, and how many there are.
    pub fn place(&self) -> (usize, usize) {
        (self.at, self.sentences.len())
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }
}

/// The words of a sentence as cards, in its order, and the mark at its end.
fn cards_of(text: &str) -> (Vec<String>, String) {
    let bare = text.trim().trim_end_matches(['.', '!', '?']);
    let mark = text.trim()[bare.len()..].to_owned();
    let mut words: Vec<String> = bare.split_whitespace().map(str::to_owned).collect();
    if let Some(first) = words.first_mut() {
        let stem = first.split('\'').next().unwrap_or_default();
        if !CAPITALS.contains(&stem.trim_end_matches(',')) {
            *first = first.to_lowercase();
        }
    }
    (words, mark)
}

/// The same cards in another order, the same every time; in their own order only where all are alike.
fn mixed(words: &[String]) -> Vec<String> {
    let mut order: Vec<usize> = (0..words.len()).collect();
    order.sort_by_key(|at| stirred(&format!("{at} {}", words[*at])));
    let lie = |order: &[usize]| order.iter().map(|at| words[*at].clone()).collect::<Vec<_>>();
    for _ in 0..words.len() {
        if lie(&order) != words {
            break;
        }
        order.rotate_left(1);
    }
    lie(&order)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drill::session::Bench;
    use soundbead_data::Rules;

    fn bench(name: &str) -> Bench {
        let folder = std::env::temp_dir().join(format!("soundbead-scrambled-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let mut bench = Bench::over(&folder);
        let juno = bench.notebook.ask(|n| n.add_learner("Juno", &Rules::default()));
        bench.learner = Some(juno.wait().unwrap().into());
        bench
    }

    fn apply(bench: &mut Bench, session: &mut ScrambledSession, intent: ScrambledIntent) {
        bench.lend(|_, at| session.apply(at, intent));
    }

    /// Moves cards until they lie in this order.
    fn lay(bench: &mut Bench, session: &mut ScrambledSession, wanted: &[&str]) {
        for (to, word) in wanted.iter().enumerate() {
            let from = (to..wanted.len()).find(|at| session.cards()[*at] == *word).unwrap();
            apply(bench, session, ScrambledIntent::Move(from, to));
        }
        assert_eq!(session.cards(), wanted);
    }

    fn notes(bench: &mut Bench) -> Vec<String> {
        let juno = bench.learner.as_ref().unwrap().id;
        let notes = bench.notebook.ask(move |n| n.notes(juno)).wait().unwrap();
        notes.into_iter().map(|note| note.body.text).collect()
    }

    #[test]
    fn neither_a_capital_nor_the_order_tells_where_a_card_belongs() {
        let (words, mark) = cards_of("Stars appear after sunset.");
        assert_eq!(
            (words.join(" ").as_str(), mark.as_str()),
            ("stars appear after sunset", ".")
        );
        assert_eq!(cards_of("I'm on the bus!").0[0], "I'm");
        assert_eq!(cards_of("Dad was late.").0[0], "Dad");
        for text in ["Stars appear after sunset.", "The duck and the dog ran.", "a b c"] {
            let (words, _) = cards_of(text);
            let lie = mixed(&words);
            assert_ne!(lie, words);
            assert_eq!(lie, mixed(&words), "the same every time");
            let sorted = |mut words: Vec<String>| {
                words.sort();
                words
            };
            assert_eq!(sorted(lie), sorted(words));
        }
    }

    #[test]
    fn another_order_is_the_parents_to_rule_and_the_first_order_stays() {
        let (mut bench, mut session) = (bench("ruled"), ScrambledSession::default());
        let text = "After lunch the duck slept.".to_owned();
        apply(
            &mut bench,
            &mut session,
            ScrambledIntent::Deal(vec![text, "Too short.".into()]),
        );
        assert_eq!(session.place(), (0, 1));
        apply(&mut bench, &mut session, ScrambledIntent::RuleRight);
        assert_eq!(session.standing(), OrderStanding::Open, "nothing was laid yet");
        lay(&mut bench, &mut session, &["the", "duck", "slept", "after", "lunch"]);
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        assert_eq!((session.standing(), session.sentence()), (OrderStanding::Another, None));
        apply(&mut bench, &mut session, ScrambledIntent::RuleRight);
        assert_eq!(session.sentence().as_deref(), Some("The duck slept after lunch."));
        apply(&mut bench, &mut session, ScrambledIntent::Move(0, 1));
        assert_eq!(session.cards()[0], "the", "what is settled stays");
        assert_eq!(
            notes(&mut bench),
            [
                "A sentence in mixed order: After lunch the duck slept. First laid: the duck slept after lunch. Another order; \
              the grown-up said that it is right too."
            ]
        );
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        assert!(!session.is_open());
    }

    #[test]
    fn a_second_order_that_is_the_sentence_is_kept_behind_the_first() {
        let (mut bench, mut session) = (bench("second"), ScrambledSession::default());
        apply(
            &mut bench,
            &mut session,
            ScrambledIntent::Deal(vec!["The dog and the duck ran.".into()]),
        );
        lay(&mut bench, &mut session, &["the", "dog", "ran", "and", "the", "duck"]);
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        assert_eq!(
            session.standing(),
            OrderStanding::Another,
            "Enter twice is no second try"
        );
        apply(&mut bench, &mut session, ScrambledIntent::Move(2, 5));
        assert!(session.can_undo());
        apply(&mut bench, &mut session, ScrambledIntent::Undo);
        assert_eq!(session.cards()[2], "ran");
        // The two cards with "the" are one as good as the other.
        lay(&mut bench, &mut session, &["the", "dog", "and", "the", "duck", "ran"]);
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        assert_eq!(session.standing(), OrderStanding::AsWritten);
        let kept = notes(&mut bench);
        assert!(
            kept[0].ends_with("First laid: the dog ran and the duck. Then it was the sentence."),
            "{kept:?}"
        );
    }

    #[test]
    fn what_is_left_or_shown_is_kept_as_it_was_and_what_was_never_looked_at_is_not() {
        let (mut bench, mut session) = (bench("left"), ScrambledSession::default());
        let text = || {
            vec![
                "The shell is in the mud.".to_owned(),
                "The goat is on the path.".to_owned(),
            ]
        };
        apply(&mut bench, &mut session, ScrambledIntent::Deal(text()));
        apply(&mut bench, &mut session, ScrambledIntent::Show);
        assert_eq!(session.standing(), OrderStanding::Open, "a first try comes first");
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        assert_eq!(
            session.standing(),
            OrderStanding::Open,
            "the order that was dealt is no try"
        );
        apply(&mut bench, &mut session, ScrambledIntent::Close);
        assert!(notes(&mut bench).is_empty());
        apply(&mut bench, &mut session, ScrambledIntent::Deal(text()));
        lay(&mut bench, &mut session, &["the", "mud", "is", "in", "the", "shell"]);
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        apply(&mut bench, &mut session, ScrambledIntent::Show);
        assert_eq!(session.cards().join(" "), "the shell is in the mud");
        assert_eq!(session.sentence().as_deref(), Some("The shell is in the mud."));
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        assert_eq!(session.place(), (1, 2));
        lay(&mut bench, &mut session, &["the", "path", "is", "on", "the", "goat"]);
        apply(&mut bench, &mut session, ScrambledIntent::GoOn);
        apply(&mut bench, &mut session, ScrambledIntent::Close);
        let kept = notes(&mut bench);
        assert_eq!(kept.len(), 2, "{kept:?}");
        assert!(kept.iter().any(|t| t.ends_with("Then the sentence was shown.")));
        assert!(kept.iter().any(|t| t.ends_with("It was left at another order.")));
        session.poll();
        assert!(session.news().is_empty());
    }
}
