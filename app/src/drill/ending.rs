//! How a lesson ends: what the child did, what was new, one thing to try tomorrow.
//!
//! Praise is for a deed that two answers bear out, or for a second try that found it. A single answer that was right may have
//! been luck, and is not praised. A word is named only once the child has written it or was shown it.

use std::collections::BTreeSet;

use soundbead_data::chain::Unit;

use super::lesson::Lesson;
use super::plan_parts::PlanPart;
use super::task::TaskStanding;
use super::work::WordWork;
use super::{LessonWord, words};
use crate::plan::{Plan, PlanItem};
use crate::say::many;

/// Most deeds that are told: a child remembers a few.
const MOST_DEEDS: usize = 3;

/// What can always be tried.
const OTHER_THINGS: &str = "Find three things at home, and count the sounds of each.";

/// The end of a lesson.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LessonEnding {
    /// The words that were worked on, in order; a bead for each.
    pub worked: Vec<String>,
    /// Those of them that the child wrote, or was shown: only these are named.
    pub written: Vec<String>,
    /// Whether these are all the words of the lesson.
    pub whole: bool,
    /// What the child did, a line each.
    pub deeds: Vec<String>,
    /// One thing to try.
    pub tomorrow: String,
    /// Other parts of the plan that were done on the same evening.
    pub besides: Vec<PartDone>,
    /// What was recorded, and whether it is kept.
    pub kept: String,
    /// Beads that were on the string before, and words that the child had met before; none before the notebook has said so,
    /// or where nothing is kept.
    pub before: Option<BeforeLesson>,
}

/// A part of the plan beside its words, done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartDone {
    /// Which.
    pub part: PlanPart,
    /// The deed, as it is told to the child.
    pub deed: String,
    /// Beads that it put on the string.
    pub beads: usize,
    /// Words that the child wrote right in it.
    pub words: Vec<String>,
}

/// What was there before the lesson.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BeforeLesson {
    /// Beads on the string.
    pub beads: usize,
    /// Words that the child had met.
    pub words: BTreeSet<String>,
}

/// What kind of deed it is; several of one kind are told once.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum DeedKind {
    FoundIt,
    HeardOne,
    Change,
    Mended,
    EverySound,
}

impl LessonEnding {
    /// The end of this lesson; none where nothing was done.
    pub fn of(lesson: &Lesson) -> Option<LessonEnding> {
        let works = || lesson.words().iter().zip(lesson.works());
        let those = |done: fn(&WordWork) -> bool| -> Vec<String> {
            let done = works().filter(|(_, work)| done(work));
            done.map(|(word, _)| word.spelling.clone()).collect()
        };
        let worked = those(WordWork::answered);
        if worked.is_empty() {
            return None;
        }
        Some(LessonEnding {
            deeds: told(lesson, worked.len()),
            tomorrow: tomorrow(lesson),
            besides: Vec::new(),
            kept: String::new(),
            whole: worked.len() == lesson.words().len(),
            worked,
            written: those(named),
            before: None,
        })
    }

    /// The end of a lesson whose words were another evening's.
    pub fn of_part(done: PartDone) -> LessonEnding {
        LessonEnding {
            worked: Vec::new(),
            written: Vec::new(),
            whole: false,
            deeds: Vec::new(),
            tomorrow: OTHER_THINGS.into(),
            besides: vec![done],
            kept: String::new(),
            before: None,
        }
    }

    /// Whether this was the lesson of that plan, all of it.
    pub fn is_of(&self, plan: &Plan) -> bool {
        let has = |word: &String| plan.items.iter().flat_map(PlanItem::words).any(|w| w.spelling == *word);
        self.whole && self.worked.iter().all(has)
    }

    /// Another part of the plan is done, in order behind the words. Told again, it takes the place of what was told before.
    pub fn add(&mut self, done: PartDone) {
        self.besides.retain(|other| other.part != done.part);
        self.besides.push(done);
        self.besides.sort_by_key(|done| done.part);
    }

    /// Beads that this evening put on the string.
    pub fn beads(&self) -> usize {
        self.worked.len() + self.besides.iter().map(|done| done.beads).sum::<usize>()
    }

    /// The words that the child wrote today and had not met before, once that is known.
    pub fn new_words(&self) -> Vec<&str> {
        let Some(before) = &self.before else { return Vec::new() };
        let besides = self.besides.iter().flat_map(|done| &done.words);
        let mut fresh: Vec<&str> = Vec::new();
        for word in self.written.iter().chain(besides) {
            if !before.words.contains(word) && !fresh.contains(&word.as_str()) {
                fresh.push(word);
            }
        }
        fresh
    }

    /// How many words the child has met by now, with those of today.
    pub fn met(&self) -> usize {
        let before = self.before.as_ref();
        let fresh = self
            .worked
            .iter()
            .filter(|word| before.is_none_or(|b| !b.words.contains(*word)));
        before.map_or(0, |b| b.words.len()) + fresh.count()
    }
}

/// The deeds, one of each kind, those of a second try first.
fn told(lesson: &Lesson, worked: usize) -> Vec<String> {
    let mut all: Vec<(DeedKind, String)> = (0..lesson.words().len()).flat_map(|at| deeds(lesson, at)).collect();
    all.sort_by_key(|(kind, _)| *kind);
    all.dedup_by_key(|(kind, _)| *kind);
    let told: Vec<String> = all.into_iter().take(MOST_DEEDS).map(|(_, line)| line).collect();
    match (told.is_empty(), worked == lesson.words().len()) {
        (false, _) => told,
        (true, true) => vec!["You stayed with every word to the end.".into()],
        (true, false) => vec![format!("You worked on {}.", many(worked, "word"))],
    }
}

fn deeds(lesson: &Lesson, at: usize) -> Vec<(DeedKind, String)> {
    let (word, work) = (&lesson.words()[at], &lesson.works()[at]);
    if !named(work) {
        return Vec::new();
    }
    let mut deeds = Vec::new();
    let spelling = &word.spelling;
    let found = |right: bool, at_once: bool| right && !at_once;
    if found(work.count.standing() == TaskStanding::Right, work.count.right_at_once()) {
        deeds.push((
            DeedKind::FoundIt,
            format!("You listened to {spelling} once more, and found its sounds yourself."),
        ));
    }
    if found(
        work.spelled.standing() == TaskStanding::Right,
        work.spelled.right_at_once(),
    ) {
        deeds.push((
            DeedKind::Mended,
            format!("You looked at {spelling} once more, and mended it yourself."),
        ));
    }
    let both = work.count.right_at_once() && work.spelled.right_at_once();
    match hidden(word).filter(|_| both) {
        Some(sound) => deeds.push((DeedKind::HeardOne, format!("You heard the {sound} in {spelling}."))),
        None if both => deeds.push((
            DeedKind::EverySound,
            format!("You heard every sound of {spelling}, and wrote each one."),
        )),
        None => {}
    }
    let change = at.checked_sub(1).and_then(|before| lesson.words()[before].change(word));
    if let (Some(change), true) = (change, work.which.right_at_once() && work.spelled.right_at_once()) {
        deeds.push((
            DeedKind::Change,
            format!("You heard what changed. {}", words::changed(&change)),
        ));
    }
    deeds
}

/// Whether the word may be named: the child has written it, or was shown it.
fn named(work: &WordWork) -> bool {
    work.spelled.settled()
}

/// The consonant that hides beside another: the n of *tent*, the l of *black*.
fn hidden(word: &LessonWord) -> Option<String> {
    let consonant = |unit: &Unit| unit.sounds().all(|s| !s.is_vowel());
    let units = &word.units;
    let last = units
        .len()
        .checked_sub(2)
        .filter(|&i| consonant(&units[i]) && consonant(&units[i + 1]));
    let first = (units.len() > 2 && consonant(&units[0]) && consonant(&units[1])).then_some(1);
    last.or(first).map(|i| words::plain(units[i]))
}

/// One thing to try: the first that had to be shown, or something to show to others.
fn tomorrow(lesson: &Lesson) -> String {
    let shown = |standing: TaskStanding| standing == TaskStanding::Shown;
    for (at, (word, work)) in lesson.words().iter().zip(lesson.works()).enumerate() {
        let spelling = &word.spelling;
        let before = at.checked_sub(1).map(|i| &lesson.words()[i].spelling);
        if !named(work) {
            continue;
        }
        if shown(work.count.standing()) {
            return format!("Say {spelling} slowly, and put out a finger for each sound.");
        }
        if let (true, Some(before)) = (shown(work.which.standing()), before) {
            return format!("Say {before} and {spelling}, one after the other, and find the sound that changes.");
        }
        if shown(work.spelled.standing()) {
            return format!("Write {spelling} once more, and say each sound as you write it.");
        }
    }
    let pair = lesson.words().windows(2).zip(lesson.works().windows(2));
    let known = pair
        .filter(|(_, works)| works.iter().all(named))
        .map(|(words, _)| words)
        .next();
    match known {
        Some([from, to]) => format!("Show somebody how {} turns into {}.", from.spelling, to.spelling),
        _ => OTHER_THINGS.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drill::read;
    use soundbead_data::{Rules, word::Overrides};

    fn lesson(words: &str) -> Lesson {
        let rules = Rules::default();
        Lesson::new(read(words, &Overrides::default(), &rules).unwrap(), rules)
    }

    fn count(lesson: &mut Lesson, beads: &[usize]) {
        for beads in beads {
            lesson.set_beads(*beads);
            lesson.go_on();
        }
        lesson.go_on();
    }

    fn write(lesson: &mut Lesson, letters: &[&str]) {
        for (at, text) in letters.iter().enumerate() {
            lesson.write(at, (*text).into());
        }
        lesson.go_on();
    }

    #[test]
    fn a_deed_is_praised_where_two_answers_bear_it_out() {
        let mut done = lesson("tent");
        count(&mut done, &[4]);
        write(&mut done, &["t", "e", "n", "t"]);
        assert_eq!(LessonEnding::of(&done).unwrap().deeds, ["You heard the n in tent."]);
        let mut luck = lesson("tent");
        count(&mut luck, &[4]);
        write(&mut luck, &["t", "e", "m", "t"]);
        write(&mut luck, &["d", "e", "m", "t"]);
        let end = LessonEnding::of(&luck).unwrap();
        assert_eq!(
            end.deeds,
            ["You stayed with every word to the end."],
            "a count alone may be luck"
        );
        assert!(end.tomorrow.contains("Write tent once more"), "{}", end.tomorrow);
    }

    #[test]
    fn what_else_was_done_is_told_in_order_and_once() {
        let mut done = lesson("pig");
        count(&mut done, &[3]);
        let mut end = LessonEnding::of(&done).unwrap();
        let part = |part, deed: &str, beads| PartDone {
            part,
            deed: deed.into(),
            beads,
            words: vec!["lunch".into(); beads.min(1)],
        };
        end.add(part(PlanPart::Writing, "You listened and wrote 4 words.", 4));
        end.add(part(PlanPart::Cards, "You sorted 7 cards.", 0));
        end.add(part(PlanPart::Cards, "You sorted 8 cards.", 0));
        let deeds: Vec<&str> = end.besides.iter().map(|done| done.deed.as_str()).collect();
        assert_eq!(deeds, ["You sorted 8 cards.", "You listened and wrote 4 words."]);
        assert_eq!(end.beads(), 5, "one of the words, four of the writing");
        end.before = Some(BeforeLesson::default());
        assert_eq!(end.new_words(), ["lunch"], "pig was counted and not written");
    }

    #[test]
    fn a_second_try_that_found_it_comes_first() {
        let mut done = lesson("pig");
        count(&mut done, &[2, 3]);
        write(&mut done, &["p", "i", "g"]);
        let end = LessonEnding::of(&done).unwrap();
        assert_eq!(
            end.deeds,
            ["You listened to pig once more, and found its sounds yourself."]
        );
    }

    #[test]
    fn a_word_that_was_not_written_is_not_named() {
        let mut left = lesson("pig peg");
        left.set_beads(3);
        left.go_on();
        let end = LessonEnding::of(&left).unwrap();
        assert!(
            !end.deeds.concat().contains("pig") && !end.tomorrow.contains("pig"),
            "{end:?}"
        );
        assert_eq!(end.deeds, ["You worked on 1 word."]);
        assert_eq!(LessonEnding::of(&lesson("pig peg")), None);
    }

    #[test]
    fn what_is_new_is_known_once_the_notebook_has_said_what_was_there() {
        let mut done = lesson("pig");
        count(&mut done, &[3]);
        let mut counted = LessonEnding::of(&done).unwrap();
        counted.before = Some(BeforeLesson::default());
        assert!(counted.new_words().is_empty(), "it was counted and never written");
        assert_eq!(counted.met(), 1);
        write(&mut done, &["p", "i", "g"]);
        let mut end = LessonEnding::of(&done).unwrap();
        assert!(end.new_words().is_empty());
        end.before = Some(BeforeLesson::default());
        assert_eq!(end.new_words(), ["pig"]);
        end.before = Some(BeforeLesson {
            beads: 7,
            words: BTreeSet::from(["pig".to_owned()]),
        });
        assert!(end.new_words().is_empty());
    }
}
