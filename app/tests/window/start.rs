//! The opening through the accessibility tree: who is learning, what it is about, and the way to the first recorded word.

use std::path::PathBuf;

use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use soundbead::mic::spoken::KeepingPlayer;
use soundbead::notebook::{Help, NewWriting, WritingSource};
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

/// Writes these words as Juno wrote them some days ago.
fn wrote(window: &mut Window, pairs: &[(&str, &str)]) {
    let shared = &window.state().shared;
    let juno = shared.learner.as_ref().unwrap().id;
    let day = jiff::Zoned::now().date().saturating_sub(jiff::Span::new().days(5));
    let new = pairs.iter().map(|(word, wrote)| NewWriting {
        session: None,
        word: (*word).into(),
        tries: vec![(*wrote).into()],
        source: WritingSource::Dictation,
        help: Help::None,
        day,
    });
    let new: Vec<NewWriting> = new.collect();
    shared
        .notebook
        .ask(move |n| n.keep_writings(juno, &new))
        .wait()
        .unwrap();
    // The opening looks anew when it is gone to.
    window.state_mut().shared.go(MainView::Sounds);
    window.run_steps(2);
    window.state_mut().shared.go(MainView::Today);
}

#[test]
fn what_comes_back_from_earlier_is_said_before_the_start_without_a_word_of_it() {
    let mut window = opened(folder("coming-back"));
    name(&mut window, "Juno");
    wrote(&mut window, &[("pen", "pen")]);
    until(&mut window, "the bead", |w| says(w, "1 bead on your string"));
    assert!(
        !says(&window, "Coming back") && !says(&window, "Due"),
        "{:?}",
        texts(&window)
    );
    wrote(&mut window, &[("bed", "bid"), ("pot", "pat"), ("bell", "bill")]);
    let line = "Coming back today: short e, short o.";
    until(&mut window, "what comes back", |w| says(w, line));
    let words = shown(&window);
    for word in ["bed", "pot", "bell"] {
        assert!(!words.iter().any(|text| text.contains(word)), "{word}: {words:?}");
    }
    // A plan on something else brings none of it.
    fill(&mut window, "For the grown-up: what is it about?", "s and sh");
    key(&mut window, Key::Enter);
    until(&mut window, "the plan", |w| says(w, "S and sh: "));
    assert!(
        says(&window, "Due, but not in this plan: short e, short o."),
        "{:?}",
        texts(&window)
    );
}

/// The places of all lines that stand on the screen, but for the one that says `own`.
fn other_lines(window: &Window, own: &str) -> Vec<(String, egui::Rect)> {
    let lines = window.query_all_by(|node| matches!(node.role(), Role::Label | Role::Heading));
    let each = lines.map(|node| {
        let said = node.accesskit_node();
        (said.value().or(said.label()).unwrap_or_default(), node.rect())
    });
    each.filter(|(text, _)| text != own && !text.trim().is_empty())
        .collect()
}

/// Where a line stands.
fn line_at(window: &Window, text: &str) -> egui::Rect {
    let mut lines = window.query_all_by(|node| {
        let says = node.value().or(node.label());
        matches!(node.role(), Role::Label | Role::Heading) && says.as_deref() == Some(text)
    });
    let found = lines.next().map(|line| line.rect());
    found.unwrap_or_else(|| panic!("{text}: {:?}", texts(window)))
}

#[test]
fn the_hint_of_the_start_lies_over_no_line_and_over_nothing_to_press() {
    let mut window = opened(folder("hint"));
    name(&mut window, "Juno");
    for size in [vec2(1280.0, 800.0), vec2(1024.0, 700.0), vec2(1920.0, 1080.0)] {
        window.set_size(size);
        window.run_steps(3);
        let button = window
            .get_by_role_and_label(Role::Button, "Start today's lesson")
            .rect();
        window.hover_at(egui::pos2(1.0, 1.0));
        window.run_steps(3);
        window.hover_at(button.center());
        let hint = "Start today's lesson   Enter";
        until(&mut window, "the hint", |w| says(w, hint));
        let at = line_at(&window, hint);
        for (text, place) in other_lines(&window, hint) {
            assert!(!place.intersects(at), "{size}: {text} {place:?} {at:?}");
        }
        for node in window.query_all_by_role(Role::Button) {
            assert!(
                !node.rect().intersects(at),
                "{size}: {:?}",
                node.accesskit_node().label()
            );
        }
    }
}

#[test]
fn the_line_over_a_replaced_plan_covers_no_word_of_it() {
    let mut window = opened(folder("replaced"));
    name(&mut window, "Juno");
    for (about, title) in [("s and sh", "S and sh"), ("short e and short i", "Short e and short i")] {
        fill(&mut window, "For the grown-up: what is it about?", about);
        key(&mut window, Key::Enter);
        until(&mut window, title, |w| says(w, &format!("{title}: a chain")));
    }
    window.state_mut().shared.go(MainView::Plan);
    let line = "Today's plan is now \u{201c}Short e and short i\u{201d}.";
    until(&mut window, "the chain", |w| {
        shown(w).iter().any(|text| text.contains(" → "))
    });
    window.run_steps(5);
    let at = line_at(&window, line);
    for (text, place) in other_lines(&window, line) {
        assert!(!place.intersects(at), "{text}: {place:?} {at:?}");
    }
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
