use std::path::Path;

use soundbead_data::{Rules, word::Overrides};
use soundbead_dsp::audio;

use super::*;
use crate::drill::picture::Picture;
use crate::drill::{Heard, Kept, read};
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
        heard: Heard::Not("not asked".into()),
        picture: Picture::default(),
        kept: Kept::Nowhere,
    }
}

#[test]
fn the_first_word_has_no_change_and_the_second_has() {
    let mut lesson = lesson("mud mug");
    let mut steps = vec![(lesson.at(), lesson.step())];
    while lesson.go_on() {
        steps.push((lesson.at(), lesson.step()));
    }
    use Step::{Beads, Letters, Which};
    assert_eq!(steps, [(0, Beads), (0, Letters), (1, Beads), (1, Which), (1, Letters)]);
}

#[test]
fn words_that_are_not_a_chain_go_without_the_question() {
    let mut lesson = lesson("mud splash");
    assert!(lesson.change().is_none());
    lesson.go_on();
    lesson.go_on();
    assert_eq!((lesson.at(), lesson.coming()), (1, Some(Coming::Step(Step::Letters))));
    lesson.point(0, false);
    assert_eq!(lesson.work().pointed, None);
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
    lesson.write(0, "mm".into());
    lesson.check();
    lesson.go_on();
    assert_eq!(lesson.at(), 1);
    lesson.undo();
    assert_eq!((lesson.at(), lesson.work().checked), (0, true));
    lesson.undo();
    assert!(!lesson.work().checked);
    lesson.undo();
    assert!(lesson.work().letters.is_empty(), "typing in a row is one step");
    lesson.undo();
    assert_eq!(
        (lesson.step(), lesson.work().ruling),
        (Step::Look, Some((Verdict::Same, Author::Parent)))
    );
    lesson.undo();
    assert_eq!(lesson.work().ruling, None);
    assert!(matches!(lesson.undo(), Some(Undone::Try(_))));
    assert_eq!((lesson.step(), lesson.work().beads), (Step::Beads, 3));
    lesson.undo();
    lesson.undo();
    assert_eq!(lesson.work().beads, 0);
    assert!(lesson.undo().is_none() && !lesson.can_undo() && !lesson.begun());
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
        let mut lesson = lesson(&format!("{from} {to}"));
        lesson.go_to(1);
        for earlier in [false, true] {
            for at in 0..4 {
                lesson.point(at, earlier);
                let pointed = lesson.work().pointed.unwrap();
                assert_eq!(
                    pointed,
                    Pointed {
                        at,
                        right: right.contains(&(at, earlier))
                    },
                    "{from} {to} {earlier}"
                );
            }
        }
    }
}

#[test]
fn no_more_beads_than_fit_and_none_after_the_recording() {
    let mut lesson = lesson("goat");
    lesson.set_beads(40);
    assert_eq!(lesson.work().beads, MOST_BEADS);
    lesson.heard(a_try());
    lesson.set_beads(1);
    assert_eq!(lesson.work().beads, MOST_BEADS);
}

#[test]
fn a_word_that_cannot_be_divided_has_one_box() {
    let mut lesson = lesson("colonel");
    assert_eq!((lesson.word().boxes.len(), lesson.boxes()), (0, 1));
    lesson.write(0, "Colonel".into());
    assert_eq!(lesson.looks(), [letters::Look::Right]);
    lesson.write(1, "x".into());
    assert_eq!(lesson.work().letters.len(), 1);
    lesson.show_letters();
    assert!(lesson.work().checked);
}
