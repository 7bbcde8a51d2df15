//! What is kept in the notebook, what is not, and a lesson that was broken off.

use egui::Key;
use egui_kittest::kittest::Queryable;
use soundbead::notebook::ShownAnswer;
use soundbead_dsp::judgement::Verdict;

use crate::bench::{
    attempts, begin, folder, for_the_grown_up, key, pick_juno, press, record, says, shown, skip, spoken, texts, until,
    window, window_over, write,
};

#[test]
fn a_recording_is_in_the_notebook_before_it_is_shown_with_all_that_was_done() {
    let mut window = window("kept", spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    begin(&mut window, "goat");
    key(&mut window, Key::Num4);
    record(&mut window);
    let kept = attempts(&mut window);
    assert_eq!(kept.len(), 1);
    let kept = &kept[0];
    assert_eq!(
        (kept.word.as_str(), kept.expected, kept.heard, kept.edits.child),
        ("goat", 3, Some(3), Some(4))
    );
    assert!(kept.recording.is_some() && kept.verdict == Some(Verdict::Same));
    assert!(!says(&window, "Nothing is kept"));
    press(&mut window, "Undo");
    assert!(attempts(&mut window).is_empty(), "what is undone leaves the notebook");
}

#[test]
fn without_a_learner_nothing_is_kept_and_that_is_said() {
    let mut window = window("nobody-kept", spoken(&["01-goat.wav"]));
    assert!(says(
        &window,
        "Nobody is picked yet. It is asked before the lesson starts."
    ));
    begin(&mut window, "goat");
    record(&mut window);
    for_the_grown_up(&mut window);
    assert!(says(&window, "Nothing is kept: no learner is picked in the notebook."));
    pick_juno(&mut window);
    assert!(attempts(&mut window).is_empty());
}

#[test]
fn the_childs_answers_and_letters_are_kept_with_the_attempt() {
    let mut window = window("answers", spoken(&["01-goat.wav", "01-goat.wav"]));
    pick_juno(&mut window);
    begin(&mut window, "boat goat");
    skip(&mut window);
    skip(&mut window);
    key(&mut window, Key::Num2);
    record(&mut window);
    key(&mut window, Key::Num3);
    press(&mut window, "Check the beads");
    press(&mut window, "Which sound changed?");
    press(&mut window, "Sound 1 of 3 of this word");
    press(&mut window, "Now the letters");
    for (at, text) in [(1, "g"), (2, "o"), (3, "t")] {
        write(&mut window, at, 3, text);
    }
    press(&mut window, "Check the letters");
    press(&mut window, "Show us");
    let all = attempts(&mut window);
    let goat = all.iter().find(|a| a.word == "goat").unwrap();
    assert_eq!(goat.before.as_deref(), Some("boat"));
    assert_eq!(
        (goat.edits.child, goat.edits.after.child),
        (Some(2), Some(3)),
        "both counts"
    );
    assert!(goat.edits.pointed.as_ref().is_some_and(|p| p.at == 0 && p.right));
    assert_eq!(
        goat.edits.letters,
        ["g", "o", "t"],
        "the child's own, not what was shown"
    );
    assert_eq!(goat.edits.after.shown, [ShownAnswer::Letters]);
}

#[test]
fn a_lesson_that_was_broken_off_goes_on() {
    let folder = folder("resume");
    let mut first = window_over(folder.clone(), spoken(&["01-goat.wav"]));
    pick_juno(&mut first);
    begin(&mut first, "boat goat");
    skip(&mut first);
    skip(&mut first);
    key(&mut first, Key::Num3);
    record(&mut first);
    drop(first);
    let mut again = window_over(folder, spoken(&["01-goat.wav"]));
    pick_juno(&mut again);
    until(&mut again, "the offer", |w| says(w, "A lesson was broken off"));
    assert!(says(&again, "At word 2 of 2."), "{:?}", texts(&again));
    assert!(!says(&again, "goat"), "the child may be looking");
    press(&mut again, "Go on with it");
    until(&mut again, "the counts", |w| w.query_by_label("Say it again").is_some());
    for_the_grown_up(&mut again);
    assert!(says(&again, "The beads: 3 sounds") && says(&again, "The recording: 3 sounds"));
    assert_eq!(attempts(&mut again).len(), 1, "brought back, not recorded twice");
    press(&mut again, "Leave the lesson");
    press(&mut again, "End the lesson now");
    assert!(
        says(&again, "1 word was recorded. It is in the notebook."),
        "{:?}",
        shown(&again)
    );
    again.run_steps(5);
    assert!(!says(&again, "A lesson was broken off"));
}
