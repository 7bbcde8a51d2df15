use std::path::Path;

use soundbead_data::{Rules, word::Overrides};
use soundbead_dsp::audio;

use super::*;
use crate::drill::picture::Picture;
use crate::drill::{EarOutcome, TaskStanding, TryKept, read};
use crate::recorder::Take;

fn lesson(words: &str) -> Lesson {
    let rules = Rules::default();
    Lesson::new(read(words, &Overrides::default(), &rules).unwrap(), rules)
}

fn a_try() -> Try {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo/01-goat.wav");
    Try {
        number: 0,
        take: Take::from_file(audio::decode(&path).unwrap()),
        speaking: Speaking::Whole,
        cued: None,
        heard: EarOutcome::Not("not asked".into()),
        other_word: None,
        picture: Picture::default(),
        kept: TryKept::Nowhere,
    }
}

#[test]
fn the_first_word_has_no_change_and_the_second_has() {
    let mut lesson = lesson("mud mug");
    let mut steps = vec![(lesson.at(), lesson.step())];
    for _ in 0..6 {
        lesson.skip();
        steps.push((lesson.at(), lesson.step()));
    }
    use WordStep::{Beads, Letters, Which};
    let all = [(0, Beads), (0, Letters), (1, Beads), (1, Which), (1, Letters)];
    assert_eq!(steps[..5], all);
    assert!(steps[5..].iter().all(|s| *s == (1, Letters)), "the last step stays");
}

#[test]
fn words_that_are_not_a_chain_go_without_the_question() {
    let mut lesson = lesson("mud splash");
    assert!(lesson.change().is_none());
    lesson.go_to(1);
    lesson.set_beads(5);
    lesson.go_on();
    assert_eq!(lesson.next(), Next::Step(WordStep::Letters));
    lesson.point(0, false);
    assert_eq!(lesson.work().which.first(), None);
}

#[test]
fn a_mistake_is_never_skipped_by_enter_and_the_first_try_stays() {
    let mut lesson = lesson("mud mug");
    assert!(!lesson.go_on(), "no beads yet");
    lesson.set_beads(2);
    for _ in 0..3 {
        lesson.go_on();
        assert_eq!((lesson.at(), lesson.step()), (0, WordStep::Look));
    }
    assert_eq!(lesson.work().count.standing(), TaskStanding::Hint);
    assert_eq!(lesson.boxes(), 2, "boxes come from the child's own count");
    lesson.set_beads(3);
    assert!(lesson.go_on() && lesson.work().count.settled());
    assert_eq!(
        (lesson.work().count.first(), lesson.work().count.last()),
        (Some(&2), Some(&3))
    );
    lesson.set_beads(5);
    assert_eq!(lesson.work().beads, 3, "what is settled stays");
    lesson.go_on();
    assert_eq!((lesson.step(), lesson.boxes()), (WordStep::Letters, 3));
    for (at, text) in ["m", "o", "d"].into_iter().enumerate() {
        lesson.write(at, text.into());
    }
    for _ in 0..3 {
        lesson.go_on();
        assert_eq!((lesson.at(), lesson.step()), (0, WordStep::Letters));
    }
    use letters::BoxState::{Again, Right};
    assert_eq!(lesson.looks(), [Right, Again, Right]);
    lesson.show();
    assert_eq!(
        lesson.work().letters,
        ["m", "o", "d"],
        "what was shown is not the child's"
    );
    assert_eq!(lesson.work().spelled.standing(), TaskStanding::Shown);
    lesson.go_on();
    assert_eq!(lesson.at(), 1);
}

#[test]
fn a_second_try_that_is_not_it_is_shown_and_both_are_kept() {
    let mut lesson = lesson("stop");
    lesson.set_beads(3);
    lesson.go_on();
    lesson.set_beads(5);
    lesson.go_on();
    assert_eq!(lesson.work().count.standing(), TaskStanding::Shown);
    assert_eq!(lesson.boxes(), 4, "as many as were shown");
    assert_eq!(lesson.work().count.first(), Some(&3));
}

#[test]
fn everything_can_be_undone_in_turn() {
    let mut lesson = lesson("mud mug");
    lesson.set_beads(2);
    lesson.set_beads(3);
    lesson.heard(a_try());
    lesson.rule(Some((Verdict::Same, Author::Parent)));
    lesson.go_on();
    lesson.write(0, "m".into());
    lesson.write(0, "mud".into());
    lesson.go_on();
    assert_eq!(lesson.work().spelled.standing(), TaskStanding::Right);
    lesson.go_on();
    assert_eq!(lesson.at(), 1);
    lesson.undo();
    assert_eq!((lesson.at(), lesson.work().checked()), (0, true));
    lesson.undo();
    assert!(!lesson.work().checked());
    lesson.undo();
    assert!(lesson.work().letters.is_empty(), "typing in a row is one step");
    lesson.undo();
    let ruling = Some((Verdict::Same, Author::Parent));
    assert_eq!((lesson.step(), lesson.work().ruling), (WordStep::Look, ruling));
    lesson.undo();
    assert_eq!(lesson.work().ruling, None);
    assert!(matches!(lesson.undo(), Some(Undone::Try(_))));
    assert_eq!((lesson.step(), lesson.work().beads), (WordStep::Beads, 3));
    assert_eq!(lesson.work().count.first(), None);
    lesson.undo();
    lesson.undo();
    assert_eq!(lesson.work().beads, 0);
    assert!(lesson.undo().is_none() && !lesson.can_undo() && !lesson.begun());
}

#[test]
fn letters_go_back_box_by_box_and_come_again_and_an_answer_that_was_looked_at_stands() {
    let mut lesson = lesson("chess");
    lesson.set_beads(3);
    lesson.go_on();
    lesson.go_on();
    for (at, text) in [(0, "c"), (0, "ch"), (1, "i"), (2, "s"), (1, "e")] {
        lesson.write(at, text.into());
    }
    let letters = |lesson: &Lesson| lesson.work().letters.join(" ");
    assert_eq!(
        (letters(&lesson).as_str(), lesson.letters_behind()),
        ("ch e s", Some(1))
    );
    for left in ["ch i s", "ch i ", "ch  ", ""] {
        lesson.take_letters_back();
        assert_eq!(letters(&lesson), left);
    }
    lesson.take_letters_back();
    assert_eq!(lesson.step(), WordStep::Letters, "it takes back letters alone");
    for come in ["ch  ", "ch i ", "ch i s"] {
        lesson.bring_letters_again();
        assert_eq!(letters(&lesson), come);
    }
    lesson.write(2, "ss".into());
    assert_eq!(lesson.letters_ahead(), None, "something else was typed");
    lesson.go_on();
    lesson.write(1, "e".into());
    lesson.take_letters_back();
    lesson.take_letters_back();
    assert_eq!(letters(&lesson), "ch i ss");
    assert_eq!(
        lesson.work().spelled.standing(),
        TaskStanding::Hint,
        "the first try stands"
    );
}

#[test]
fn a_second_recording_takes_the_place_of_the_first_and_undo_brings_it_back() {
    let mut lesson = lesson("goat");
    lesson.heard(a_try());
    let first = lesson.work().latest.clone().unwrap();
    lesson.rule(Some((Verdict::Fewer, Author::Consultant)));
    lesson.again();
    lesson.heard(a_try());
    assert_eq!(lesson.work().ruling, None, "a ruling is on one recording");
    let Some(Undone::Try(gone)) = lesson.undo() else {
        panic!("no recording was undone")
    };
    assert!(!Arc::ptr_eq(&gone, &first));
    assert!(matches!(lesson.undo(), Some(Undone::Plain)));
    assert!(Arc::ptr_eq(lesson.work().latest.as_ref().unwrap(), &first));
    assert_eq!(lesson.work().ruling, Some((Verdict::Fewer, Author::Consultant)));
}

#[test]
fn the_bead_that_changed_is_the_one_and_no_other() {
    // From, to, the beads that are right as (bead, on the earlier word's string).
    let steps = [
        ("mud", "mug", vec![(2, false), (2, true)]),
        ("back", "black", vec![(1, false)]),
        ("black", "lack", vec![(0, true)]),
    ];
    for (from, to, right) in steps {
        for earlier in [false, true] {
            for at in 0..4 {
                let mut lesson = lesson(&format!("{from} {to}"));
                lesson.go_to(1);
                lesson.skip();
                lesson.point(at, earlier);
                let expected = right.contains(&(at, earlier));
                let pointed = lesson.work().which.last().unwrap();
                assert_eq!((pointed.at, pointed.right), (at, expected), "{from} {to} {earlier}");
            }
        }
    }
}

#[test]
fn no_more_beads_than_fit_and_they_can_be_put_right_beside_the_recording() {
    let mut lesson = lesson("goat");
    lesson.set_beads(40);
    assert_eq!(lesson.work().beads, MOST_BEADS);
    lesson.heard(a_try());
    assert_eq!(lesson.work().count.standing(), TaskStanding::Hint);
    lesson.set_beads(3);
    lesson.go_on();
    assert_eq!(lesson.work().count.standing(), TaskStanding::Right);
}

#[test]
fn without_a_count_the_word_is_written_in_one_box() {
    let mut lesson = lesson("colonel");
    lesson.skip();
    assert_eq!(lesson.boxes(), 1);
    lesson.write(0, "Colonel".into());
    assert_eq!(lesson.looks(), [letters::BoxState::Right]);
    lesson.write(1, "x".into());
    assert_eq!(lesson.work().letters.len(), 1);
    lesson.go_on();
    assert_eq!(lesson.next(), Next::End);
}
