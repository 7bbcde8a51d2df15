//! The Writing view and the parent's view of what is due, through the accessibility tree.

#[path = "window_drill/bench.rs"]
#[allow(dead_code, reason = "each test file uses a part")]
mod bench;

use egui::{Key, Role};
use egui_kittest::kittest::Queryable;
use soundbead::ui::MainView;

use bench::{Window, fill, folder, key, pick_juno, press, says, shown, spoken, texts, until, window_over};

fn at_writing(name: &str) -> Window {
    let mut window = window_over(folder(name), spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    window.state_mut().shared.go(MainView::Writing);
    window.run_steps(3);
    window
}

fn dictate(window: &mut Window, words: &str) {
    fill(window, "Words to dictate", words);
    press(window, "Dictate these");
    until(window, "the dictation", |w| says(w, "Listen, then write the word."));
}

/// Types into the field and presses Enter, as often as said.
fn write(window: &mut Window, text: &str, enters: usize) {
    window.run_steps(2);
    window.event(egui::Event::Text(text.into()));
    window.run_steps(3);
    for _ in 0..enters {
        key(window, Key::Enter);
    }
}

#[test]
fn a_word_is_written_by_the_keyboard_alone_and_nothing_tells_how_it_is_spelled() {
    let mut window = at_writing("keys");
    dictate(&mut window, "bridge duck");
    assert!(says(&window, "Word 1 of 2"));
    let told = |w: &Window| texts(w).iter().any(|t| t.contains("bridge") || t.contains("duck"));
    assert!(!told(&window), "{:?}", texts(&window));
    write(&mut window, "brige", 2);
    assert!(
        says(&window, "Word 2 of 2"),
        "Enter twice skips no word: {:?}",
        texts(&window)
    );
    assert!(!told(&window));
    window.key_down(Key::F2);
    window.run_steps(3);
    assert!(says(&window, "duck"), "the parent holds a key to see it");
    window.key_up(Key::F2);
    window.run_steps(3);
    assert!(!told(&window));
    write(&mut window, "duk", 1);
    assert!(says(&window, "You listened and wrote 2 words."), "{:?}", texts(&window));
    assert!(
        !shown(&window).iter().any(|t| t.contains("brige")),
        "what it shows is not for the child"
    );
    key(&mut window, Key::V);
    until(&mut window, "the reading", |w| says(w, "written  brige"));
    assert!(says(&window, "Every sound is there."), "{:?}", texts(&window));
}

#[test]
fn a_second_try_stands_beside_the_first_and_help_is_a_press() {
    let mut window = at_writing("second");
    dictate(&mut window, "bridge duck");
    write(&mut window, "brige", 1);
    press(&mut window, "Word before");
    assert!(says(&window, "You wrote: brige."));
    press(&mut window, "Help used");
    window.get_by_role_and_label(Role::TextInput, "Write the word").focus();
    write(&mut window, "bridge", 1);
    press(&mut window, "That is all");
    key(&mut window, Key::V);
    until(&mut window, "the reading", |w| says(w, "written  brige"));
    assert!(says(&window, "then  bridge") && says(&window, "help after the first try"));
    press(&mut window, "Close the dictation");
    assert!(says(&window, "What was written is in the notebook."));
}

#[test]
fn what_was_misspelled_shows_in_where_the_learner_stands_and_makes_a_plan() {
    let mut window = at_writing("stands");
    dictate(&mut window, "duck");
    write(&mut window, "duk", 1);
    press(&mut window, "Close the dictation");
    window.state_mut().shared.go(MainView::Today);
    until(&mut window, "the string", |w| says(w, "1 bead on your string"));
    window.run_steps(3);
    press(&mut window, "What is due, and what is secure");
    until(&mut window, "the choices", |w| says(w, "kept in 0 of 1 word"));
    let ck = "ck, k or c: Taught";
    window.get_by_role_and_label(Role::Button, ck).click();
    until(&mut window, "the choice", |w| {
        says(w, "kept in 0 of 1 word, counts as taught")
    });
    press(&mut window, "Make tonight's plan of it");
    until(&mut window, "the plan", |w| says(w, "a chain of 6 words"));
}

#[test]
fn a_list_from_paper_is_kept_and_what_nobody_can_read_is_said() {
    let mut window = at_writing("paper");
    window
        .get_by_role_and_label(Role::MultilineTextInput, "Written on paper")
        .focus();
    window.run_steps(2);
    window.event(egui::Event::Text("my siter = sister has a snorbl".into()));
    window.run_steps(3);
    press(&mut window, "Keep it and see what it shows");
    until(&mut window, "the reading", |w| says(w, "written  siter"));
    assert!(
        says(&window, "Not taken in: ") && says(&window, "snorbl"),
        "{:?}",
        texts(&window)
    );
}
