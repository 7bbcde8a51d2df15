//! What is done beside the lesson: a sort by hand and by keyboard, and the grown-up's own practice.

use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable;
use soundbead::mic::spoken::{KeepingPlayer, SpokenFiles};
use soundbead::notebook::{Help, NewWriting, WritingSource};
use soundbead::plan::{Content, Plan, PlanItem, PlanWord, SortGroup};
use soundbead::playback::Playback;
use soundbead::ui::MainView;

use crate::bench::{
    Window, attempts, fill, folder, key, pick_juno, press, says, spoken, texts, until, window, window_over, write,
};

/// A plan with a chain and eight cards.
fn plan() -> Plan {
    let group = |heading: &str, words: [&str; 4]| SortGroup {
        heading: heading.into(),
        words: words.map(PlanWord::new).to_vec(),
    };
    Plan {
        title: "ck and k".into(),
        items: vec![
            PlanItem::of(Content::Chain(["back", "black"].map(PlanWord::new).to_vec())),
            PlanItem::of(Content::Sort(vec![
                group("ck", ["duck", "sock", "back", "neck"]),
                group("k", ["milk", "desk", "book", "week"]),
            ])),
            PlanItem::of(Content::Dictation {
                words: vec![PlanWord::new("lunch")],
                sentences: vec!["After lunch the duck slept.".into()],
            }),
        ],
        ..Plan::default()
    }
}

/// Before the lesson of the plan.
fn at_the_plan(name: &str) -> Window {
    at_the_plan_over(folder(name))
}

/// The same over what is kept in this folder.
fn at_the_plan_over(folder: std::path::PathBuf) -> Window {
    let mut window = window_over(folder, spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    window.state_mut().shared.plan = Some(plan());
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    press(&mut window, "Leave the lesson");
    until(&mut window, "the start", |w| says(w, "Sort the cards"));
    window
}

#[test]
fn a_plan_goes_on_from_its_words_to_its_cards_to_its_writing() {
    let mut window = window("goes-on", spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    let mut whole = plan();
    whole.items[0] = PlanItem::of(Content::Chain(vec![PlanWord::new("goat")]));
    in_hand(&mut window, &whole);
    window.state_mut().shared.plan = Some(whole);
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    key(&mut window, Key::Num3);
    press(&mut window, "Check without recording");
    press(&mut window, "Now the letters");
    for (at, text) in [(1, "g"), (2, "oa"), (3, "t")] {
        write(&mut window, at, 3, text);
    }
    press(&mut window, "Check the letters");
    assert!(!says(&window, "End the lesson"), "there is more of it");
    press(&mut window, "Done with the words");
    assert!(says(&window, "The words are done, Juno."), "{:?}", texts(&window));
    key(&mut window, Key::Enter);
    assert!(
        says(&window, "Lay each card under its heading."),
        "{:?}",
        texts(&window)
    );
    key(&mut window, Key::ArrowRight);
    for _ in 0..8 {
        key(&mut window, Key::Num1);
    }
    key(&mut window, Key::Enter);
    // One card is moved, and the second look lays the others where they belong.
    key(&mut window, Key::ArrowRight);
    key(&mut window, Key::Num2);
    for _ in 0..2 {
        key(&mut window, Key::Enter);
    }
    assert!(
        says(&window, "How do you know where a card goes?"),
        "{:?}",
        texts(&window)
    );
    press(&mut window, "Go on without");
    press(&mut window, "Done");
    assert!(
        says(&window, "The words and the cards are done, Juno."),
        "{:?}",
        texts(&window)
    );
    assert!(says(&window, "You sorted 8 cards."), "{:?}", texts(&window));
    key(&mut window, Key::Enter);
    assert_eq!(window.state().shared.place(), MainView::Writing);
    assert!(
        says(&window, "Listen, then write the word."),
        "its words come at once: {:?}",
        texts(&window)
    );
    fill(&mut window, "Write the word", "lunch");
    key(&mut window, Key::Enter);
    assert!(!says(&window, "After lunch the duck slept."));
    window.key_down(Key::F2);
    window.run_steps(3);
    assert!(says(&window, "After lunch the duck slept."), "{:?}", texts(&window));
    window.key_up(Key::F2);
    // Not at once: the Enter of the last word may be pressed twice.
    window.run_steps(8);
    key(&mut window, Key::Enter);
    for told in [
        "That was today's lesson, Juno.",
        "You sorted 8 cards.",
        "You listened and wrote 1 word.",
        "2 beads on your string",
        "No voice was recorded. The answers are in the notebook.",
        "The cards once more",
        "The writing once more",
    ] {
        assert!(says(&window, told), "{told}: {:?}", texts(&window));
    }
    let again = "What was written is in the notebook.";
    assert!(!says(&window, again), "no line lies over the end, which says it");
    // The end is for whoever had the lesson.
    window.state_mut().shared.learner = None;
    window.run_steps(3);
    assert!(!says(&window, "That was today's lesson"), "{:?}", texts(&window));
}

/// Takes a plan in hand, as one that was left another day.
fn in_hand(window: &mut Window, plan: &Plan) {
    let juno = window.state_mut().shared.learner.take();
    window.run_steps(3);
    let (id, text) = (juno.as_ref().map(|l| l.id), plan.to_text());
    let shared = &mut window.state_mut().shared;
    let kept = shared.notebook.ask(move |n| n.keep_draft(id, "plan", &text));
    kept.wait().unwrap();
    window.state_mut().shared.learner = juno;
    window.state_mut().shared.go(MainView::Writing);
    until(window, "the plan's writing", |w| says(w, "The words of today's plan"));
    window.state_mut().shared.go(MainView::Drill);
}

/// At the cards of the plan.
fn at_the_cards(name: &str) -> Window {
    let mut window = at_the_plan(name);
    press(&mut window, "Sort the cards");
    window
}

/// Lays each of these cards under a heading, by its number from 1.
fn lay(window: &mut Window, column: usize, words: &[&str]) {
    for word in words {
        let card = format!("Card {word}");
        press(window, &card);
        press(window, &format!("Column {column}: {}", ["ck", "k"][column - 1]));
    }
}

#[test]
fn cards_lie_where_they_lay_when_the_window_is_opened_again_and_the_first_look_stays() {
    let folder = folder("sort-again");
    let mut first = at_the_plan_over(folder.clone());
    press(&mut first, "Sort the cards");
    lay(&mut first, 1, &["duck", "sock"]);
    drop(first);
    let mut second = at_the_plan_over(folder.clone());
    press(&mut second, "Sort the cards");
    assert!(says(&second, "Card duck, under ck") && says(&second, "Card sock, under ck"));
    assert!(!says(&second, "Card milk, under"), "{:?}", texts(&second));
    lay(&mut second, 1, &["back", "neck", "book"]);
    lay(&mut second, 2, &["milk", "desk", "week"]);
    press(&mut second, "Check the cards");
    assert!(says(&second, "Card book, under ck, look again"));
    drop(second);
    let mut third = at_the_plan_over(folder.clone());
    press(&mut third, "Sort the cards");
    assert!(says(&third, "Card book, under ck, look again"), "{:?}", texts(&third));
    press(&mut third, "Card book, under ck, look again");
    press(&mut third, "Column 2: k");
    press(&mut third, "Check the cards");
    assert!(says(&third, "Every card lies where it belongs."));
    assert!(notes(&third).is_empty());
    drop(third);
    // The evening is over before the rule was said: what the first look showed is a note all the same.
    let mut fourth = at_the_plan_over(folder);
    until(&mut fourth, "the note", |w| !notes(w).is_empty());
    press(&mut fourth, "Sort the cards");
    press(&mut fourth, "Now the rule");
    fill_rule(&mut fourth, "after a short one its ck");
    until(&mut fourth, "the shares", |w| says(w, ": ck, in "));
    let mut kept = notes(&fourth);
    kept.sort();
    assert_eq!(
        kept,
        [
            "A sort, ck / k. Of 8 cards 7 lay right at the first look; not book (under ck).",
            "A sort, ck / k. What decides, in the learner's own words: after a short one its ck",
        ]
    );
}

#[test]
fn cards_that_one_learner_left_are_not_dealt_to_another() {
    let mut window = at_the_cards("sort-two");
    lay(&mut window, 1, &["duck"]);
    let shared = &mut window.state_mut().shared;
    let juno = shared.learner.clone();
    let add = shared
        .notebook
        .ask(|n| n.add_learner("Alby", &soundbead_data::Rules::default()));
    shared.learner = Some(add.wait().unwrap().into());
    window.run_steps(3);
    assert!(!says(&window, "Card duck"), "{:?}", texts(&window));
    window.state_mut().shared.plan = Some(plan());
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    press(&mut window, "Leave the lesson");
    until(&mut window, "the start", |w| says(w, "Sort the cards"));
    press(&mut window, "Sort the cards");
    assert!(says(&window, "Card duck") && !says(&window, "Card duck, under"));
    window.state_mut().shared.learner = juno;
    window.run_steps(3);
    window.state_mut().shared.plan = Some(plan());
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    press(&mut window, "Leave the lesson");
    until(&mut window, "the start", |w| says(w, "Sort the cards"));
    press(&mut window, "Sort the cards");
    assert!(says(&window, "Card duck, under ck"), "{:?}", texts(&window));
}

/// Says the rule, whose field has the keyboard by itself.
fn fill_rule(window: &mut Window, text: &str) {
    window.event(egui::Event::Text(text.into()));
    window.run_steps(3);
    key(window, Key::Enter);
}

/// What the notebook has noted of Juno.
fn notes(window: &Window) -> Vec<String> {
    let shared = &window.state().shared;
    let juno = shared.learner.as_ref().unwrap().id;
    let notes = shared.notebook.ask(move |n| n.notes(juno)).wait().unwrap();
    notes.into_iter().map(|note| note.body.text).collect()
}

/// The words of the cards, in the order in which they lie.
fn laid(window: &Window) -> Vec<String> {
    let card = |text: String| {
        let (at, word) = text.strip_prefix("Card ")?.split_once(" of 5: ")?;
        Some((at.parse::<usize>().ok()?, word.to_owned()))
    };
    let mut cards: Vec<(usize, String)> = texts(window).into_iter().filter_map(card).collect();
    cards.sort();
    cards.dedup();
    cards.into_iter().map(|(_, word)| word).collect()
}

/// Drags the card with this word to the left or the right end of the row.
fn drag_word(window: &mut Window, word: &str, to_the_right: bool) {
    let place = |window: &Window, word: &str| window.get_by_label_contains(&format!(" of 5: {word}")).rect();
    let from = place(window, word).center();
    let all = laid(window);
    let end = place(window, if to_the_right { &all[4] } else { &all[0] });
    let to = match to_the_right {
        true => end.right_center() + egui::vec2(30.0, 0.0),
        false => end.left_center() + egui::vec2(4.0, 0.0),
    };
    window.drag_at(from);
    window.run_steps(1);
    window.hover_at(to);
    window.run_steps(2);
    window.drop_at(to);
    window.run_steps(3);
}

#[test]
fn a_sentence_is_dragged_into_order_and_of_another_order_the_parent_rules() {
    let mut window = at_the_plan("sentence");
    press(&mut window, "A sentence to put in order");
    let dealt = laid(&window);
    assert_eq!(dealt.len(), 5, "{:?}", texts(&window));
    assert!(
        !says(&window, "After lunch the duck"),
        "the sentence is not told before"
    );
    for word in ["the", "duck", "slept", "after", "lunch"] {
        drag_word(&mut window, word, true);
    }
    assert_eq!(laid(&window), ["the", "duck", "slept", "after", "lunch"]);
    press(&mut window, "Look at the order");
    assert!(says(&window, "Another order. Read it aloud: does it say something?"));
    assert!(!texts(&window).iter().any(|t| t.to_lowercase().contains("wrong")));
    press(&mut window, "The grown-up: it is right too");
    assert!(says(&window, "The duck slept after lunch."), "{:?}", texts(&window));
    press(&mut window, "Done");
    assert!(says(&window, "Start the plan"));
    let kept = notes(&window);
    assert_eq!(kept.len(), 1);
    assert!(kept[0].contains("First laid: the duck slept after lunch."), "{kept:?}");
}

#[test]
fn a_sentence_is_put_in_order_by_the_keyboard() {
    let mut window = at_the_plan("sentence-keys");
    press(&mut window, "A sentence to put in order");
    let wanted = ["after", "lunch", "the", "duck", "slept"];
    for (to, word) in wanted.iter().enumerate() {
        let from = laid(&window).iter().position(|w| w == word).unwrap();
        let card = format!("Card {} of 5: {word}", from + 1);
        if from == to {
            continue;
        }
        press(&mut window, &card);
        for _ in to..from {
            window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
            window.run_steps(2);
        }
        // Put down by choosing it once more is a move to its own place: nothing changes.
        let card = format!("Card {} of 5: {word}", to + 1);
        press(&mut window, &card);
    }
    assert_eq!(laid(&window), wanted);
    key(&mut window, Key::Enter);
    assert!(says(&window, "That is the sentence."), "{:?}", texts(&window));
    assert!(says(&window, "After lunch the duck slept."));
}

/// Puts words into the notebook as written by Juno.
fn written(window: &mut Window, words: &[&str]) {
    let shared = &window.state().shared;
    let juno = shared.learner.as_ref().unwrap().id;
    let each = |word: &&str| NewWriting {
        session: None,
        word: (*word).into(),
        tries: vec![(*word).into()],
        source: WritingSource::Dictation,
        help: Help::None,
        day: jiff::Zoned::now().date(),
    };
    let new: Vec<NewWriting> = words.iter().map(each).collect();
    shared
        .notebook
        .ask(move |n| n.keep_writings(juno, &new))
        .wait()
        .unwrap();
}

const TAUGHT: [&str; 8] = ["cat", "ship", "duck", "fan", "goat", "lamb", "mud", "shell"];

/// A step of the window is a share of a second, whatever the clock says.
#[test]
fn a_minute_of_reading_goes_by_is_told_and_kept() {
    let mut window = window("minute", spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    written(&mut window, &TAUGHT);
    press(&mut window, "A minute of reading");
    until(&mut window, "the words", |w| says(w, "8 words"));
    assert!(!texts(&window).iter().any(|t| t.starts_with("The word: ")));
    key(&mut window, Key::Enter);
    for _ in 0..5 {
        assert!(
            texts(&window).iter().any(|t| t.starts_with("The word: ")),
            "{:?}",
            texts(&window)
        );
        key(&mut window, Key::ArrowRight);
    }
    key(&mut window, Key::ArrowLeft);
    press(&mut window, "Undo");
    key(&mut window, Key::ArrowLeft);
    until(&mut window, "the end of the minute", |w| {
        says(w, "This word still counts.")
    });
    key(&mut window, Key::Space);
    until(&mut window, "what is told", |w| says(w, "6 words today."));
    until(&mut window, "the note", |w| says(w, "This minute is in the notebook."));
    assert!(says(&window, "To look at once more"), "{:?}", texts(&window));
    key(&mut window, Key::Enter);
    assert!(says(&window, "Your own words"));
    let kept = notes(&window);
    assert!(
        kept[0].starts_with("A minute of quick reading: 6 words at once."),
        "{kept:?}"
    );
}

#[test]
fn a_minute_of_reading_is_offered_today_once_words_were_taught() {
    let mut window = window("minute-today", spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    window.state_mut().shared.go(MainView::Today);
    until(&mut window, "the opening", |w| says(w, "Each word puts a bead"));
    assert!(!says(&window, "A minute of reading"));
    written(&mut window, &TAUGHT);
    window.state_mut().shared.go(MainView::Sounds);
    window.run_steps(2);
    window.state_mut().shared.go(MainView::Today);
    until(&mut window, "the way to it", |w| says(w, "A minute of reading"));
    press(&mut window, "A minute of reading");
    until(&mut window, "the words", |w| says(w, "Begin the minute"));
    key(&mut window, Key::Enter);
    key(&mut window, Key::ArrowRight);
    key(&mut window, Key::Escape);
    assert!(says(&window, "Nothing of it is counted or kept."));
    assert!(notes(&window).is_empty());
    key(&mut window, Key::Escape);
    assert_eq!(window.state().shared.place(), MainView::Drill);
}

/// Drags a card to a column, by its number from 1.
fn drag(window: &mut Window, card: &str, column: usize) {
    let from = window
        .get_by_role_and_label(Role::Button, &format!("Card {card}"))
        .rect()
        .center();
    let heading = ["ck", "k"][column - 1];
    let to = window
        .get_by_label(&format!("Column {column}: {heading}"))
        .rect()
        .center();
    let to = to + egui::vec2(60.0, 120.0);
    window.drag_at(from);
    window.run_steps(1);
    window.hover_at(to);
    window.run_steps(2);
    window.drop_at(to);
    window.run_steps(3);
}

#[test]
fn cards_are_dragged_the_rule_is_said_and_kept_and_then_the_shares_are_seen() {
    let mut window = at_the_cards("sort");
    for (word, column) in [
        ("duck", 1),
        ("sock", 1),
        ("back", 1),
        ("neck", 1),
        ("milk", 2),
        ("desk", 2),
        ("week", 2),
    ] {
        drag(&mut window, word, column);
        let heading = ["ck", "k"][column - 1];
        assert!(
            says(&window, &format!("Card {word}, under {heading}")),
            "{:?}",
            texts(&window)
        );
    }
    drag(&mut window, "book", 1);
    press(&mut window, "Check the cards");
    assert!(says(&window, "Card book, under ck, look again"), "{:?}", texts(&window));
    assert!(!texts(&window).iter().any(|t| t.to_lowercase().contains("wrong")));
    // By a touch of the card and then of the column.
    press(&mut window, "Card book, under ck, look again");
    press(&mut window, "Column 2: k");
    press(&mut window, "Check the cards");
    assert!(says(&window, "Every card lies where it belongs."));
    press(&mut window, "Now the rule");
    assert!(!says(&window, "words of the dictionary"), "the shares come after");
    fill_rule(&mut window, "after a short one its ck");
    until(&mut window, "the note", |w| {
        says(w, "The sort is in the notebook, and the rule in your words.")
    });
    until(&mut window, "the shares", |w| says(w, ": ck, in "));
    assert!(says(&window, "after a short one its ck"));
    let shared = &window.state().shared;
    let juno = shared.learner.as_ref().unwrap().id;
    let notes = shared.notebook.ask(move |n| n.notes(juno)).wait().unwrap();
    let kept: Vec<&str> = notes.iter().map(|note| note.body.text.as_str()).collect();
    assert_eq!(
        kept,
        [
            "A sort, ck / k. Of 8 cards 7 lay right at the first look; not book (under ck). What decides, in the learner's own \
          words: after a short one its ck"
        ]
    );
}

#[test]
fn cards_are_laid_by_the_keyboard_and_taken_back() {
    let mut window = at_the_cards("sort-keys");
    window.get_by_role_and_label(Role::Button, "Card milk").focus();
    window.run_steps(2);
    key(&mut window, Key::Num2);
    assert!(says(&window, "Card milk, under k"), "{:?}", texts(&window));
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Z);
    window.run_steps(3);
    assert!(!says(&window, "Card milk, under k"));
    press(&mut window, "Leave the sort");
    assert!(says(&window, "Start the plan"));
}

#[test]
fn the_arrows_choose_a_card_and_the_next_comes_by_itself() {
    let mut window = at_the_cards("sort-arrows");
    key(&mut window, Key::ArrowRight);
    for _ in 0..8 {
        key(&mut window, Key::Num1);
    }
    let under = texts(&window).iter().filter(|t| t.ends_with(", under ck")).count();
    assert_eq!(under, 8, "{:?}", texts(&window));
}

/// At the grown-up's practice.
fn practice(name: &str, mic: SpokenFiles) -> Window {
    let mut window = window(name, mic);
    pick_juno(&mut window);
    press(&mut window, "Practice for the grown-up");
    window
}

#[test]
fn words_that_fool_readers_are_counted_and_nothing_of_it_is_kept() {
    let mut window = practice("foolers", spoken(&["01-goat.wav"]));
    assert!(says(&window, "Nothing of this is kept."));
    key(&mut window, Key::Num8);
    assert!(
        says(&window, "It has ") && says(&window, "0 of 1 this time."),
        "{:?}",
        texts(&window)
    );
    key(&mut window, Key::Num3);
    assert!(says(&window, "0 of 1 this time."), "one answer a word");
    press(&mut window, "Next");
    assert!(!says(&window, "It has "));
    press(&mut window, "Back");
    assert!(says(&window, "Your own words"));
    assert!(attempts(&mut window).is_empty());
}

#[test]
fn one_of_a_near_pair_is_heard_and_told_after_the_answer() {
    let mut window = practice("pairs", spoken(&["01-goat.wav"]));
    let player = KeepingPlayer::default();
    window.state_mut().shared.playback = Playback::on(Box::new(player.clone()));
    press(&mut window, "Practice: Near pairs");
    key(&mut window, Key::M);
    until(&mut window, "a word", |_| player.sounds().len() == 1);
    key(&mut window, Key::Num1);
    let right = says(&window, "Yes: ");
    assert!(right || says(&window, "It was "), "{:?}", texts(&window));
    assert!(says(
        &window,
        if right {
            "1 of 1 this time."
        } else {
            "0 of 1 this time."
        }
    ));
}

/// The stop is made: a burst of noise, then, in the second, a vowel as long as readers make it.
#[test]
fn a_stop_is_recorded_and_the_vowel_behind_it_is_told() {
    for (vowel_s, told) in [(0.0, "Hardly any vowel"), (0.2, "a child may count two sounds")] {
        let folder = crate::bench::folder(&format!("stop-{}", (vowel_s * 1000.0) as u32));
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("stop.wav");
        std::fs::write(&file, soundbead::storage::wav(&made_stop(vowel_s))).unwrap();
        let mic = SpokenFiles::new(vec![file]).paced(soundbead::mic::spoken::Pace::EachRead(
            std::time::Duration::from_millis(33),
        ));
        let mut window = practice(&format!("stop-{}", vowel_s > 0.0), mic);
        press(&mut window, "Practice: Stops without a vowel");
        key(&mut window, Key::Space);
        until(&mut window, told, |w| says(w, told));
        assert!(attempts(&mut window).is_empty());
    }
}

fn made_stop(vowel_s: f32) -> Vec<f32> {
    let mut seed = 7u32;
    let mut noise = |size: f32| {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        size * (seed as f32 / u32::MAX as f32 * 2.0 - 1.0)
    };
    let mut samples: Vec<f32> = (0..8_000).map(|_| noise(0.001)).collect();
    samples.extend((0..160).map(|_| noise(0.3)));
    if vowel_s > 0.0 {
        let hz = [650.0, 1200.0, 2500.0, 3600.0];
        samples.extend(soundbead_dsp::synth::vowel(&soundbead_dsp::synth::VowelSound {
            from_hz: hz,
            to_hz: hz,
            pitch_hz: [200.0, 190.0],
            seconds: vowel_s,
            damping: 1.0,
        }));
    }
    samples.extend((0..16_000).map(|_| noise(0.001)));
    samples
}
