//! A sort: cards under headings, then the rule in one's own words, then how often it holds.
//!
//! What is under the wrong heading at first gets a second look before anything is shown; where each card lay at first is kept as it
//! was. Dealing the cards takes no chance: the same plan deals the same way.

mod keep;

use serde::{Deserialize, Serialize};
use soundbead_data::chain::WordList;
use soundbead_data::sort::{self, Corpus, Sorted};

use keep::SortKeeper;

use super::task::TaskStanding;
use crate::equipment::{Equipment, News};
use crate::later::{Later, WorkResult};
use crate::notebook::beside::{SORT, SORT_RULE};
use crate::notebook::{NewNote, Note, NoteBody, NoteSubject, Result};
use crate::plan::SortGroup;
use crate::say::many;

/// What is said once the notebook has a sort, without a rule and with one.
const KEPT_FIRST: &str = "The sort is in the notebook.";
const KEPT_RULE: &str = "The sort is in the notebook, and the rule in your words.";

/// A card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SortCard {
    /// Its word.
    pub word: String,
    /// The column that it belongs to, from 0.
    belongs: usize,
    /// The column that it lies in; none while it is in the hand.
    pub lies: Option<usize>,
    /// Where it lay when the cards were looked at for the first time.
    pub first: Option<usize>,
    /// Whether it is to be looked at again.
    pub again: bool,
}

/// Where the child is with a sort.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SortStep {
    /// Lays the cards.
    #[default]
    Cards,
    /// Says what decides.
    Rule,
    /// Sees how often it holds.
    Shares,
}

/// What a person wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SortIntent {
    /// Deal the cards of these columns.
    Deal(Vec<SortGroup>),
    /// Lay a card, by its number, into a column, or take it back into the hand.
    Lay(usize, Option<usize>),
    /// Take back what was laid last.
    Undo,
    /// Look at the cards, or go on.
    GoOn,
    /// The rule as it is typed.
    Say(String),
    /// Put the cards away.
    Close,
}

/// A sort under way.
#[derive(Default)]
pub struct SortSession {
    headings: Vec<String>,
    cards: Vec<SortCard>,
    step: SortStep,
    standing: TaskStanding,
    rule: String,
    past: Vec<Vec<SortCard>>,
    counting: Option<Later<Vec<String>>>,
    shares: Option<Vec<String>>,
    /// A note on its way, and the line that is said once it is in the notebook.
    keeping: Option<(Option<&'static str>, Later<Result<Note>>)>,
    /// Whether the notebook has where the cards lay at first.
    kept_first: bool,
    /// Keeps the cards as they lie.
    keeper: SortKeeper,
    /// Whether it was left before it was done: the cards stay as they lie.
    left: bool,
    news: Vec<News>,
}

impl SortSession {
    /// Does what a person wants.
    pub fn apply(&mut self, at: &mut Equipment, intent: SortIntent) {
        match intent {
            SortIntent::Deal(groups) => {
                if !self.is_same(&SortSession::dealt(&groups)) {
                    // The cards before make way: what was seen of them stays.
                    self.keep_looked(at, Some(KEPT_FIRST));
                }
                self.deal(&groups);
                self.count_again(at);
            }
            SortIntent::Lay(card, column) => self.lay(card, column),
            SortIntent::Undo => {
                if let Some(before) = self.past.pop() {
                    self.cards = before;
                }
            }
            SortIntent::GoOn => self.go_on(at),
            SortIntent::Say(text) => self.rule = text,
            SortIntent::Close => self.close(at),
        }
        self.keep_cards(at);
    }

    /// Whether these are the cards of another sort, under its headings.
    fn is_same(&self, other: &SortSession) -> bool {
        let pairs = self.cards.iter().zip(&other.cards);
        self.headings == other.headings
            && self.cards.len() == other.cards.len()
            && pairs
                .into_iter()
                .all(|(one, two)| one.word == two.word && one.belongs == two.belongs)
    }

    /// Whether a card was laid.
    fn begun(&self) -> bool {
        self.cards.iter().any(|card| card.lies.is_some())
    }

    /// Deals the cards, or goes on where the same cards were left.
    fn deal(&mut self, groups: &[SortGroup]) {
        let fresh = SortSession::dealt(groups);
        if self.left && self.is_same(&fresh) {
            self.left = false;
        } else {
            self.become_other(fresh);
        }
    }

    /// Another sort in the place of this one. A note on its way still arrives: the notebook's own thread has it.
    fn become_other(&mut self, other: SortSession) {
        *self = SortSession {
            keeping: self.keeping.take(),
            keeper: std::mem::take(&mut self.keeper),
            news: std::mem::take(&mut self.news),
            ..other
        };
    }

    fn dealt(groups: &[SortGroup]) -> SortSession {
        let mut cards: Vec<SortCard> = Vec::new();
        for (belongs, group) in groups.iter().enumerate() {
            cards.extend(group.words.iter().map(|word| SortCard {
                word: word.spelling.clone(),
                belongs,
                lies: None,
                first: None,
                again: false,
            }));
        }
        cards.sort_by_key(|card| stirred(&card.word));
        SortSession {
            headings: groups.iter().map(|group| group.heading.clone()).collect(),
            cards,
            ..SortSession::default()
        }
    }

    fn lay(&mut self, card: usize, column: Option<usize>) {
        let fits = column.is_none_or(|column| column < self.headings.len());
        if self.step != SortStep::Cards || self.settled() || !fits {
            return;
        }
        let before = self.cards.clone();
        let looked = self.standing == TaskStanding::Hint;
        if let Some(card) = self.cards.get_mut(card).filter(|card| card.lies != column) {
            card.lies = column;
            // Back where it was looked at, it is to be looked at again.
            card.again = looked && column == card.first && column != Some(card.belongs);
            self.past.push(before);
        }
    }

    fn go_on(&mut self, at: &mut Equipment) {
        match self.step {
            SortStep::Cards if self.settled() => {
                self.step = SortStep::Rule;
                self.count(at);
            }
            SortStep::Cards if self.ready() => self.look(),
            SortStep::Cards => {}
            SortStep::Rule => {
                let said = match self.rule.trim().is_empty() {
                    true => KEPT_FIRST,
                    false => KEPT_RULE,
                };
                self.keep(at, Some(said));
                self.step = SortStep::Shares;
            }
            SortStep::Shares => self.put_away(),
        }
    }

    /// Looks at where the cards lie. What is wrong for the second time is laid where it belongs, and marked.
    fn look(&mut self) {
        self.past.clear();
        for card in &mut self.cards {
            card.first = card.first.or(card.lies);
            card.again = card.lies != Some(card.belongs);
        }
        let right = !self.cards.iter().any(|card| card.again);
        self.standing = match (right, self.standing) {
            (true, _) => TaskStanding::Right,
            (false, TaskStanding::Open) => TaskStanding::Hint,
            (false, _) => TaskStanding::Shown,
        };
        if self.standing == TaskStanding::Shown {
            self.cards.iter_mut().for_each(|card| card.lies = Some(card.belongs));
        }
    }

    /// Counts anew for a sort that was left after its cards were laid.
    fn count_again(&mut self, at: &Equipment) {
        if self.step == SortStep::Rule && self.shares.is_none() && self.counting.is_none() {
            self.count(at);
        }
    }

    /// Counts how often each rule of these columns holds, elsewhere.
    fn count(&mut self, at: &Equipment) {
        let (headings, cards) = (self.headings.clone(), self.cards.clone());
        self.counting = Some(Later::start(at.wake.clone(), "Counting the words", move |_| {
            shares(&headings, &cards)
        }));
    }

    /// Keeps where the cards lay at first, and the rule as it was said, as a note on the learner; `said` is the line that
    /// tells of it.
    fn keep(&mut self, at: &Equipment, said: Option<&'static str>) {
        let (Some(learner), Some(text)) = (at.learner.as_ref().map(|l| l.id), self.note()) else {
            return;
        };
        let note = NewNote {
            on: NoteSubject::Learner,
            author: *at.author,
            body: NoteBody {
                text,
                ..NoteBody::default()
            },
        };
        self.kept_first = true;
        self.keeping = Some((said, at.notebook.ask(move |n| n.add_note(learner, &note))));
    }

    /// Keeps where the cards lay at the first look, if there was one and the notebook does not have it.
    fn keep_looked(&mut self, at: &Equipment, said: Option<&'static str>) {
        if !self.kept_first && self.cards.iter().any(|card| card.first.is_some()) {
            self.keep(at, said);
        }
    }

    /// What is kept of the sort; none where nothing of it is new to the notebook.
    fn note(&self) -> Option<String> {
        let said = self.rule.trim();
        let first = (!self.kept_first).then(|| format!(" {}", self.told_first()));
        let rule = (!said.is_empty()).then(|| format!("{SORT_RULE}{said}"));
        let parts: String = first.into_iter().chain(rule).collect();
        (!parts.is_empty()).then(|| format!("{SORT}{}.{parts}", self.headings.join(" / ")))
    }

    /// Where the cards lay when they were looked at for the first time.
    fn told_first(&self) -> String {
        let heading = |at: Option<usize>| at.and_then(|at| self.headings.get(at)).map_or("none", String::as_str);
        let elsewhere = self.at_first(|card| card.first != Some(card.belongs));
        let each: Vec<String> = elsewhere
            .map(|card| format!("{} (under {})", card.word, heading(card.first)))
            .collect();
        let cards = many(self.cards.len(), "card");
        match each.len() {
            0 => format!("All {cards} lay right at the first look."),
            n => format!(
                "Of {cards} {} lay right at the first look; not {}.",
                self.cards.len() - n,
                each.join(", ")
            ),
        }
    }

    /// Leaves the sort, and keeps what was done of it.
    fn close(&mut self, at: &Equipment) {
        if self.settled() {
            self.keep_looked(at, Some(KEPT_FIRST));
        }
        self.leave();
    }

    /// Cards that were laid stay as they lie, for whoever opens the sort again.
    fn leave(&mut self) {
        if self.begun() && self.step != SortStep::Shares {
            self.left = true;
            self.news.push(News::Said("The cards stay as they lie.".into()));
        } else {
            self.put_away();
        }
    }

    fn put_away(&mut self) {
        self.become_other(SortSession::default());
    }

    /// Follows the learner in hand: the cards belong to whoever laid them. Cards that were laid before anyone was picked go
    /// to who is picked first.
    fn follow(&mut self, at: &Equipment) {
        let learner = at.learner.as_ref().map(|l| l.id);
        if self.keeper.learner != learner {
            if self.keeper.learner.is_some() {
                self.put_away();
            }
            self.keeper = SortKeeper::of(at.notebook, learner);
        }
        if let Some(left) = self.keeper.left() {
            self.take_up(at, left);
        }
    }

    /// Takes up a sort that was left when the window was closed, unless other cards were laid meanwhile.
    fn take_up(&mut self, at: &Equipment, mut left: SortSession) {
        // That evening is over: what it showed becomes a note now, whether the sort goes on or not.
        if left.settled() || self.begun() {
            left.keep_looked(at, None);
            self.keeping = left.keeping.take().or(self.keeping.take());
        }
        if self.cards.is_empty() {
            self.become_other(left);
        } else if self.is_same(&left) && !self.begun() {
            left.left = false;
            self.become_other(left);
            self.count_again(at);
        }
    }

    /// Keeps the cards as they lie.
    fn keep_cards(&mut self, at: &Equipment) {
        // Until the learner in hand is known to be the cards' own, nothing is written over.
        if self.keeper.learner == at.learner.as_ref().map(|l| l.id) {
            let text = keep::text(self);
            let failed = self.keeper.keep(at.notebook, text);
            self.news
                .extend(failed.map(|why| News::Failed(format!("The cards could not be kept as they lie. {why}"))));
        }
    }

    /// Takes in what came.
    pub fn poll(&mut self, at: &Equipment) {
        self.follow(at);
        match self.counting.as_mut().and_then(Later::take) {
            Some(WorkResult::Done(shares)) => (self.shares, self.counting) = (Some(shares), None),
            Some(WorkResult::Cancelled | WorkResult::Failed) => (self.shares, self.counting) = (Some(Vec::new()), None),
            None => {}
        }
        if let Some((said, kept)) = self
            .keeping
            .as_mut()
            .and_then(|(said, note)| Some((*said, note.answer()?)))
        {
            self.keeping = None;
            self.news.extend(match kept {
                Ok(_) => said.map(|line| News::Said(line.into())),
                Err(e) => Some(News::Failed(format!("The sort could not be kept. {e}"))),
            });
        }
        self.keep_cards(at);
    }

    /// Whether there are cards.
    pub fn is_open(&self) -> bool {
        !self.cards.is_empty() && !self.left
    }

    /// What stands over the columns.
    pub fn headings(&self) -> &[String] {
        &self.headings
    }

    /// The cards, in the order in which they were dealt.
    pub fn cards(&self) -> &[SortCard] {
        &self.cards
    }

    /// Where the child is.
    pub fn step(&self) -> SortStep {
        self.step
    }

    /// Where the laying stands.
    pub fn standing(&self) -> TaskStanding {
        self.standing
    }

    /// Whether the cards lie as they belong.
    pub fn settled(&self) -> bool {
        matches!(self.standing, TaskStanding::Right | TaskStanding::Shown)
    }

    /// Whether every card is laid, and something lies elsewhere than when they were looked at.
    pub fn ready(&self) -> bool {
        let elsewhere = |card: &SortCard| card.lies != card.first;
        let moved = self.standing == TaskStanding::Open || self.cards.iter().any(elsewhere);
        moved && self.cards.iter().all(|card| card.lies.is_some())
    }

    /// Whether something can be taken back.
    pub fn can_undo(&self) -> bool {
        self.step == SortStep::Cards && !self.past.is_empty()
    }

    /// What the child did, once the cards lie as they belong: told to the child.
    pub fn deed(&self) -> Option<String> {
        let cards = many(self.cards.len(), "card");
        let moved = self.at_first(|card| card.first != Some(card.belongs)).count();
        self.settled().then(|| match (self.standing, moved) {
            (TaskStanding::Right, 1..) => {
                format!("You sorted {cards}, looked at {moved} again, and moved what had to be moved.")
            }
            _ => format!("You sorted {cards}."),
        })
    }

    /// Those cards of which this holds, once all were looked at.
    fn at_first(&self, holds: impl Fn(&SortCard) -> bool) -> impl Iterator<Item = &SortCard> {
        self.cards
            .iter()
            .filter(move |card| card.first.is_some() && holds(card))
    }

    /// The rule as it is typed.
    pub fn rule(&self) -> &str {
        &self.rule
    }

    /// How often the rules of these columns hold, a line each, once it is counted.
    pub fn shares(&self) -> Option<&[String]> {
        self.shares.as_deref()
    }

    /// The lines that came up since this was asked last.
    pub fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.news)
    }
}

/// A number by which words lie mixed, the same every time (the hash of Fowler, Noll and Vo, 1a, 32 bits).
pub(super) fn stirred(word: &str) -> u32 {
    word.bytes().fold(0x811c_9dc5, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}

/// The rules of the sort that these columns are of, and the choices, with how often each holds among common words.
fn shares(headings: &[String], cards: &[SortCard]) -> Vec<String> {
    let corpus = Corpus::new(&WordList::default());
    let own = |sort: &&sort::Sort| headings.iter().all(|heading| sort.columns.contains(&heading.as_str()));
    let sorted: Vec<Sorted> = sort::all().iter().filter(own).map(|sort| corpus.sort(sort)).collect();
    // Several sorts may have columns of these names: the one that has most of the cards under them is meant.
    let best = sorted.iter().max_by_key(|sorted| cards_in(sorted, headings, cards));
    best.filter(|sorted| 2 * cards_in(sorted, headings, cards) > cards.len())
        .map_or_else(Vec::new, |sorted| lines(sorted, headings))
}

fn cards_in(sorted: &Sorted, headings: &[String], cards: &[SortCard]) -> usize {
    let lies = |card: &&SortCard| {
        let mut columns = sorted.columns.iter().filter(|c| c.heading == headings[card.belongs]);
        columns.any(|c| c.members.iter().any(|m| m.word == card.word))
    };
    cards.iter().filter(lies).count()
}

fn lines(sorted: &Sorted, headings: &[String]) -> Vec<String> {
    let speaks = |rule: &&sort::HeldRule| {
        let shown = |heading: &String| rule.shares.iter().any(|(column, _)| column == heading);
        rule.of > 0 && headings.iter().any(shown)
    };
    let told = |rule: &sort::HeldRule| match rule.is_choice() {
        true => format!("{}: {} (no firm rule)", rule.when, rule.choices()),
        false => format!("{}: {}, in {} of {} words", rule.when, rule.then, rule.holds, rule.of),
    };
    sorted.rules.iter().filter(speaks).map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::PlanWord;

    fn groups() -> Vec<SortGroup> {
        let group = |heading: &str, words: &[&str]| SortGroup {
            heading: heading.into(),
            words: words.iter().map(|word| PlanWord::new(*word)).collect(),
        };
        vec![
            group("ck", &["duck", "sock", "back"]),
            group("k", &["milk", "desk", "book"]),
        ]
    }

    fn at(session: &SortSession, word: &str) -> usize {
        session.cards.iter().position(|card| card.word == word).unwrap()
    }

    #[test]
    fn a_card_laid_wrong_gets_a_second_look_before_it_is_shown_and_where_it_lay_at_first_stays() {
        let mut session = SortSession::dealt(&groups());
        assert!(!session.ready(), "the cards are in the hand");
        for word in ["duck", "sock", "back", "book"] {
            session.lay(at(&session, word), Some(0));
        }
        for word in ["milk", "desk"] {
            session.lay(at(&session, word), Some(1));
        }
        session.look();
        assert_eq!(session.standing(), TaskStanding::Hint);
        let again: Vec<&str> = session
            .cards
            .iter()
            .filter(|c| c.again)
            .map(|c| c.word.as_str())
            .collect();
        assert_eq!(again, ["book"]);
        assert!(!session.ready(), "nothing moved: looking again would only show it");
        session.lay(at(&session, "book"), None);
        assert!(!session.ready());
        session.lay(at(&session, "book"), Some(1));
        assert!(session.ready());
        session.look();
        assert_eq!(session.standing(), TaskStanding::Right);
        assert_eq!(session.cards[at(&session, "book")].first, Some(0));
        assert_eq!(
            session.note().unwrap(),
            "A sort, ck / k. Of 6 cards 5 lay right at the first look; not book (under ck)."
        );
        assert!(session.deed().unwrap().contains("looked at 1 again"));
        session.lay(0, None);
        assert!(session.cards[0].lies.is_some(), "what is settled stays");
    }

    #[test]
    fn cards_that_are_left_lie_there_when_the_same_are_dealt_again() {
        let mut session = SortSession::dealt(&groups());
        session.lay(0, Some(1));
        session.leave();
        assert!(!session.is_open());
        session.deal(&groups());
        assert!(session.is_open() && session.cards[0].lies == Some(1));
        session.leave();
        session.deal(&groups()[..1]);
        assert!(
            session.cards.iter().all(|card| card.lies.is_none()),
            "other cards are dealt anew"
        );
        session.leave();
        session.deal(&groups());
        assert!(session.cards.iter().all(|card| card.lies.is_none()), "nothing was laid");
    }

    #[test]
    fn a_sort_that_was_looked_at_once_is_read_back_as_it_lay_and_what_is_no_sort_is_not() {
        let mut session = SortSession::dealt(&groups());
        assert_eq!(keep::text(&session), "", "nothing was laid");
        for card in 0..6 {
            session.lay(card, Some(0));
        }
        session.look();
        session.lay(at(&session, "milk"), Some(1));
        let text = keep::text(&session);
        let mut back = keep::read(&text).unwrap();
        assert!(!back.is_open(), "it waits until its cards are dealt");
        back.deal(&groups());
        assert!(back.is_open());
        assert_eq!((back.cards(), back.standing()), (session.cards(), TaskStanding::Hint));
        assert!(back.ready(), "a card was moved since the look");
        back.lay(at(&back, "milk"), Some(0));
        assert!(
            !back.ready() && back.cards[at(&back, "milk")].again,
            "as it was looked at"
        );
        session.step = SortStep::Shares;
        assert_eq!(keep::text(&session), "", "all of it is a note");
        for odd in ["", "{}", "[]", &text.replace("\"belongs\":1", "\"belongs\":9")] {
            assert!(keep::read(odd).is_none(), "{odd}");
        }
    }

    /// Common practice, no source: right after a short vowel ck stands at the end of a short word.
    #[test]
    fn the_shares_are_those_of_the_sort_that_has_the_cards() {
        let session = SortSession::dealt(&groups());
        let lines = shares(&session.headings, &session.cards);
        assert!(lines.iter().any(|line| line.contains(": ck, in ")), "{lines:?}");
        let strange = [SortGroup {
            heading: "blue things".into(),
            words: vec![PlanWord::new("sky")],
        }];
        let strange = SortSession::dealt(&strange);
        assert!(shares(&strange.headings, &strange.cards).is_empty());
    }
}
