//! The Writing view and the parent's view of what is due, through the accessibility tree.

use egui::{Key, Role};
use egui_kittest::kittest::Queryable;
use soundbead::mic::spoken::KeepingPlayer;
use soundbead::notebook::{Help, NewWriting, WritingSource};
use soundbead::playback::Playback;
use soundbead::ui::MainView;
use soundbead_data::course::{CourseWords, Sitting, WrittenTry, set};

use crate::bench::{Window, fill, folder, key, pick_juno, press, says, shown, spoken, texts, until, window_over};

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

/// A player in the window's place, to see what is played.
fn listening(window: &mut Window) -> KeepingPlayer {
    let player = KeepingPlayer::default();
    window.state_mut().shared.playback = Playback::on(Box::new(player.clone()));
    player
}

/// A word that is said in two ways asks which one is meant, and its sentence says it so.
#[test]
fn a_dictated_word_said_in_two_ways_asks_which() {
    let mut window = at_writing("which");
    fill(&mut window, "Words to dictate", "wind, bridge");
    window.run_steps(3);
    assert!(says(&window, "Which wind?") && !says(&window, "Which bridge?"));
    press(&mut window, "Which wind?: to turn a key or a handle");
    press(&mut window, "Dictate these");
    until(&mut window, "the dictation", |w| {
        says(w, "Listen, then write the word.")
    });
    window.key_down(Key::F2);
    window.run_steps(3);
    let told = texts(&window);
    window.key_up(Key::F2);
    assert!(told.iter().any(|t| t == "Meant: to turn a key or a handle"), "{told:?}");
    assert!(
        told.iter()
            .any(|t| t.contains("Please wind the string around your hand.")),
        "{told:?}"
    );
}

/// Enter right behind the word would answer its question unseen.
#[test]
fn enter_waits_once_for_a_question_that_it_brought_up() {
    let mut window = at_writing("which-enter");
    fill(&mut window, "Words to dictate", "wind");
    key(&mut window, Key::Enter);
    assert!(says(&window, "Which wind?") && says(&window, "press Enter once more"));
    assert!(!says(&window, "Listen, then write the word."));
    key(&mut window, Key::Enter);
    until(&mut window, "the dictation", |w| {
        says(w, "Listen, then write the word.")
    });
}

#[test]
fn a_sentence_is_read_by_key_or_button_and_stands_nowhere() {
    let mut window = at_writing("read-out");
    let player = listening(&mut window);
    dictate(&mut window, "bridge sump");
    assert!(
        texts(&window)
            .iter()
            .any(|t| t.contains("reads a sentence word by word"))
    );
    key(&mut window, Key::F5);
    until(&mut window, "the sentence", |_| player.sounds().len() == 1);
    press(&mut window, "Say the sentence");
    until(&mut window, "the sentence again", |_| player.sounds().len() == 2);
    key(&mut window, Key::F4);
    until(&mut window, "the word", |_| player.sounds().len() == 3);
    let lengths: Vec<usize> = player.sounds().iter().map(Vec::len).collect();
    assert!(lengths[0] == lengths[1] && lengths[0] > 2 * lengths[2], "{lengths:?}");
    assert!(
        !texts(&window).iter().any(|t| t.contains("bridge")),
        "{:?}",
        texts(&window)
    );
    write(&mut window, "brige", 1);
    // Nobody wrote a sentence for this one: none is offered.
    assert!(says(&window, "Word 2 of 2") && window.query_by_label("Say the sentence").is_none());
    key(&mut window, Key::F5);
    window.run_steps(20);
    assert_eq!(player.sounds().len(), 3);
}

#[test]
fn the_parents_own_recording_of_a_word_goes_before_the_computer_voice() {
    let home = folder("own-voice");
    let own = soundbead_dsp::audio::Clip {
        samples: vec![0.1; 4_321],
    };
    soundbead::drill::model::keep(&home, "bridge", &own).expect("the folder can be written");
    let mut window = window_over(home, spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    window.state_mut().shared.go(MainView::Writing);
    window.run_steps(3);
    let player = listening(&mut window);
    dictate(&mut window, "bridge");
    key(&mut window, Key::F4);
    until(&mut window, "the word", |_| player.sounds().len() == 1);
    assert_eq!(player.sounds()[0].len(), own.samples.len());
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
    press(&mut window, "I helped");
    window.get_by_role_and_label(Role::TextInput, "Write the word").focus();
    write(&mut window, "bridge", 1);
    press(&mut window, "Stop here");
    key(&mut window, Key::V);
    until(&mut window, "the reading", |w| says(w, "written  brige"));
    assert!(says(&window, "then  bridge") && says(&window, "help after the first try"));
    press(&mut window, "Close the dictation");
    assert!(says(&window, "What was written is in the notebook."));
}

/// The first words that are asked of a child who writes them right.
fn first_words(count: usize) -> Vec<String> {
    let mut sitting = Sitting::new(set(CourseWords::builtin(), 0));
    for _ in 0..count {
        let entry = sitting.next_word().unwrap();
        sitting.take(WrittenTry {
            day: 0,
            word: entry.word.clone(),
            kept: entry.met.iter().map(|(choice, _)| (*choice, true)).collect(),
        });
    }
    sitting.tries().iter().map(|tried| tried.word.clone()).collect()
}

/// Says about how many are to come, may be left and gone on with, and stops where nothing more would be learned.
#[test]
fn where_a_child_stands_is_asked_word_by_word_and_stops_early() {
    let mut window = at_writing("set");
    press(&mut window, "The first set");
    until(&mut window, "the first word", |w| says(w, "Word 1, about "));
    let about = |w: &Window| -> usize {
        let told = texts(w)
            .into_iter()
            .find(|t| t.contains("to come") && t.starts_with("about "));
        told.map_or(0, |t| t.split(' ').nth(1).unwrap().parse().unwrap())
    };
    let at_first = about(&window);
    let most = set(CourseWords::builtin(), 0).len();
    assert!((most / 2..most).contains(&at_first), "{at_first} of {most}");
    for word in first_words(6) {
        write(&mut window, &word, 1);
    }
    assert!(says(&window, "Word 7, about "), "{:?}", texts(&window));
    let after_six = about(&window);
    assert!(
        (at_first - 6..=most - 7).contains(&after_six),
        "{after_six} of {at_first}"
    );
    press(&mut window, "Leave the dictation");
    until(&mut window, "the offer", |w| says(w, "A dictation was broken off"));
    let whole = format!("6 of about {} words written.", after_six + 7);
    assert!(says(&window, &whole), "{:?}", texts(&window));
    press(&mut window, "Go on with it");
    let mut more = 0;
    while !says(&window, "You listened and wrote") {
        write(&mut window, "zz", 1);
        more += 1;
        assert!(more < 40, "it never stops");
    }
    assert!(6 + more < most, "{more} more of {most}");
    key(&mut window, Key::V);
    until(&mut window, "the reading", |w| says(w, "written  zz"));
    assert!(
        says(&window, "the others would tell nothing more now"),
        "{:?}",
        texts(&window)
    );
}

/// Scrolls until a button can be seen, as a hand would, and presses it.
fn press_in_sight(window: &mut Window, name: &str) {
    window.get_by_role_and_label(Role::Button, name).scroll_to_me();
    window.run_steps(3);
    press(window, name);
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
    press_in_sight(&mut window, "ck, k or c: Taught");
    until(&mut window, "the choice", |w| {
        says(w, "kept in 0 of 1 word, counts as taught")
    });
    press_in_sight(&mut window, "Make today's plan of it");
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

/// Puts what Juno wrote on two days into the notebook, and opens it there.
fn at_notebook(name: &str, written: bool) -> Window {
    let mut window = window_over(folder(name), spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    if written {
        let shared = &window.state().shared;
        let juno = shared.learner.as_ref().unwrap().id;
        let row = |word: &str, tries: &[&str], help: Help, day: i8| NewWriting {
            session: None,
            word: word.into(),
            tries: tries.iter().map(|t| (*t).into()).collect(),
            source: WritingSource::Paper,
            help,
            day: jiff::civil::date(2026, 9, day),
        };
        let rows = [
            row("bridge", &["brige"], Help::None, 3),
            row("land", &["lad"], Help::None, 3),
            row("ship", &["ship"], Help::None, 3),
            row("bridge", &["bridge"], Help::None, 20),
            row("edge", &["ege", "edge"], Help::AfterFirst, 20),
        ];
        let kept = shared.notebook.ask(move |n| n.keep_writings(juno, &rows));
        kept.wait().unwrap();
    }
    window.state_mut().shared.go(MainView::Notebook);
    window.run_steps(3);
    press(&mut window, "Part: Writing");
    window
}

#[test]
fn the_notebook_shows_what_was_written_by_the_keyboard_and_says_where_there_is_nothing() {
    let mut empty = at_notebook("no-rows", false);
    until(&mut empty, "the empty view", |w| says(w, "Nothing written yet"));
    let mut window = at_notebook("rows", true);
    let edge = "edge, written ege, then edge, help after the first try, 20 Sep 2026, paper: j: ge for dge";
    until(&mut window, "the rows", |w| says(w, edge));
    assert!(says(&window, "Word 1 of 5.") && says(&window, "bridge, written bridge. The word's own letters."));
    for (go, at) in [
        (Key::J, "Word 2 of 5."),
        (Key::ArrowDown, "Word 3 of 5."),
        (Key::K, "Word 2 of 5."),
    ] {
        key(&mut window, go);
        assert!(says(&window, at), "{at}: {:?}", texts(&window));
    }
    assert!(says(&window, "The j sound (dge) is written ge"), "{:?}", texts(&window));
    // Each side by its key.
    key(&mut window, Key::Num2);
    until(&mut window, "the matrix", |w| {
        says(
            w,
            "j written ge 2 times, 0 of them the word's own: ege for edge, brige for bridge",
        )
    });
    key(&mut window, Key::Num3);
    until(&mut window, "then and now", |w| {
        says(w, "ge, dge or j: then kept in 0 of 1 word") && says(w, "; now kept in 1 of 2 words")
    });
    key(&mut window, Key::Num4);
    until(&mut window, "the examples", |w| {
        says(w, "for land") && says(w, "One of two consonants side by side was left out.")
    });
}

#[test]
fn the_notebooks_writing_is_looked_through_by_sound() {
    let mut window = at_notebook("by-sound", true);
    until(&mut window, "the rows", |w| says(w, "Word 1 of 5."));
    press(&mut window, "Show: By sound");
    press(&mut window, "The words with the sound d");
    until(&mut window, "the one word", |w| says(w, "Word 1 of 1."));
    assert!(says(&window, "land, written lad"), "{:?}", texts(&window));
    press(&mut window, "Show all");
    until(&mut window, "all of them", |w| says(w, "Word 1 of 5."));
}
