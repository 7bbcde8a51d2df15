//! The opening through the accessibility tree: who is learning, what it is about, and the way to the first recorded word.

use std::path::PathBuf;

use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use soundbead::mic::spoken::KeepingPlayer;
use soundbead::playback::Playback;
use soundbead::ui::{App, MainView};

use crate::bench::{Window, attempts, fill, folder, key, press, says, shown, spoken, texts, until};

/// The program as it opens.
fn opened(folder: PathBuf) -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    let shared = &mut window.state_mut().shared;
    shared.mic = Box::new(spoken(&["19-mud.wav"]));
    shared.playback = Playback::on(Box::new(KeepingPlayer::default()));
    window.run_steps(3);
    window
}

/// Names the first learner: a name and Enter.
fn name(window: &mut Window, name: &str) {
    until(window, "the name", |w| {
        w.query_by_role_and_label(Role::TextInput, "Name").is_some()
    });
    fill(window, "Name", name);
    key(window, Key::Enter);
    let learner = format!("Learner: {name}");
    until(window, "the learner", |w| {
        says(w, &learner) && w.state().shared.learner.is_some()
    });
    // The row of learners finds its place.
    window.run_steps(3);
}

#[test]
fn three_actions_lead_from_opening_to_the_first_recorded_word() {
    let mut window = opened(folder("three"));
    assert_eq!(window.state().shared.place(), MainView::Today);
    // One: a name and Enter. Two: Enter. Three: the space bar, and the word is said.
    name(&mut window, "Juno");
    window.run_steps(3);
    key(&mut window, Key::Enter);
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    key(&mut window, Key::Space);
    until(&mut window, "the recording", |w| {
        w.query_by_label("Say it again").is_some()
    });
    let kept = attempts(&mut window);
    assert_eq!(kept.len(), 1);
    assert!(kept[0].recording.is_some(), "nothing is lost");
}

#[test]
fn who_learned_last_is_in_hand_and_the_others_are_one_press_away() {
    let place = folder("again");
    let mut first = opened(place.clone());
    name(&mut first, "Alby");
    press(&mut first, "Somebody new");
    name(&mut first, "Juno");
    until(&mut first, "Juno", |w| says(w, "Learner: Juno"));
    first.run_steps(3);
    drop(first);
    let mut again = opened(place);
    until(&mut again, "the learners", |w| {
        says(w, "Learner: Alby") && w.state().shared.learner.is_some()
    });
    assert_eq!(again.state().shared.learner.as_ref().unwrap().name, "Juno");
    again.run_steps(3);
    press(&mut again, "Learner: Alby");
    assert_eq!(again.state().shared.learner.as_ref().unwrap().name, "Alby");
}

#[test]
fn without_a_learner_nothing_starts() {
    let mut window = opened(folder("nobody"));
    until(&mut window, "the name", |w| w.query_by_label("Name").is_some());
    press(&mut window, "Start today's lesson");
    assert!(says(&window, "Say who is learning first"), "{:?}", texts(&window));
    assert_eq!(window.state().shared.place(), MainView::Today);
}

#[test]
fn one_line_makes_the_plan_which_survives_closing_and_shows_no_word_of_it() {
    let place = folder("line");
    let mut window = opened(place.clone());
    name(&mut window, "Juno");
    fill(
        &mut window,
        "For the grown-up: what is it about?",
        "short e and short i",
    );
    key(&mut window, Key::Enter);
    let told = "Short e and short i: a chain of 6 words, 8 cards to sort";
    until(&mut window, "the plan", |w| says(w, told));
    let words: Vec<String> = shown(&window);
    window.state_mut().shared.go(MainView::Plan);
    window.run_steps(5);
    let chain = shown(&window)
        .into_iter()
        .find(|t| t.contains(" → "))
        .expect("a chain in the plan");
    for word in chain.split(" → ") {
        let said = |text: &String| text.split(|c: char| !c.is_alphabetic()).any(|w| w == word);
        assert!(!words.iter().any(said), "{word} stands on the opening");
    }
    drop(window);
    let mut again = opened(place);
    until(&mut again, "the plan", |w| says(w, told));
    key(&mut again, Key::Enter);
    until(&mut again, "the lesson", |w| says(w, "Word 1 of 6"));
}

#[test]
fn a_line_that_names_nothing_gets_one_line_with_examples() {
    let mut window = opened(folder("unknown"));
    name(&mut window, "Juno");
    fill(&mut window, "For the grown-up: what is it about?", "homework");
    key(&mut window, Key::Enter);
    until(&mut window, "the line", |w| says(w, "\"homework\" is no mix-up"));
    assert_eq!(window.state().shared.place(), MainView::Today);
}
