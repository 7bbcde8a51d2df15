//! Which sound changed, letters, undo, the child's view, the keyboard.

use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT, Queryable};

use crate::bench::{
    ONLY_TRY, Window, begin, for_the_grown_up, key, pick_juno, press, record, says, shown, skip, spoken, texts, until,
    window, write,
};

/// To the question about the second word, without recordings.
fn to_which(name: &str, words: &str) -> Window {
    let mut window = window(name, spoken(&["01-goat.wav"]));
    begin(&mut window, words);
    for _ in 0..3 {
        skip(&mut window);
    }
    window
}

#[test]
fn the_bead_that_changed_is_touched_and_the_place_is_told() {
    let mut window = to_which("swap", "mud mug");
    assert!(says(&window, "Which sound changed? Touch its bead."));
    press(&mut window, "Sound 3 of 3 of this word");
    assert!(says(&window, "Yes. The last sound changed."), "{:?}", texts(&window));
    let told: Vec<String> = texts(&window).into_iter().filter(|t| t.contains("became")).collect();
    assert!(told.is_empty(), "the letters come next: {told:?}");
}

#[test]
fn another_bead_gets_a_hint_and_a_second_try_before_anything_is_shown() {
    let mut window = to_which("gentle", "pig peg");
    press(&mut window, "Sound 1 of 3 of this word");
    assert!(says(&window, "Say both words once more, slowly."));
    assert!(
        says(&window, "Sound 1 of 3 of this word, touched"),
        "{:?}",
        texts(&window)
    );
    assert!(!says(&window, "The middle sound changed"));
    assert!(!texts(&window).iter().any(|t| t.to_lowercase().contains("wrong")));
    key(&mut window, Key::Enter);
    assert!(says(&window, "Which sound changed?"), "Enter skips no mistake");
    press(&mut window, "Sound 3 of 3 of this word");
    assert!(says(&window, "The middle sound changed."));
    assert!(!texts(&window).iter().any(|t| t.contains("peg") || t.contains("p-eh-g")));
    press(&mut window, "Undo");
    press(&mut window, "Sound 2 of 3 of the word before");
    assert!(says(&window, "Yes. The middle sound changed"));
}

#[test]
fn added_and_dropped_sounds_are_asked_for_on_their_own_string() {
    let mut added = to_which("added", "back black");
    assert!(says(&added, "A sound is new."));
    assert!(
        added
            .query_by_role_and_label(Role::Button, "Sound 1 of 3 of the word before")
            .is_none()
    );
    press(&mut added, "Sound 2 of 4 of this word");
    assert!(says(&added, "Yes. A sound was added, in the middle."));
    let mut dropped = to_which("dropped", "black lack");
    assert!(says(&dropped, "A sound is gone."));
    key(&mut dropped, Key::Num1);
    assert!(says(&dropped, "Yes. The first sound was dropped."));
    let mut shown = to_which("shown", "back black");
    assert!(shown.query_by_label("Show us").is_none(), "a first try comes first");
    press(&mut shown, "Sound 1 of 4 of this word");
    press(&mut shown, "Show us");
    assert!(says(&shown, "A sound was added"));
}

/// To the letters of a word that was counted right, without a recording.
fn to_letters(name: &str, word: &str, count: Key) -> Window {
    let mut window = window(name, spoken(&["01-goat.wav"]));
    begin(&mut window, word);
    key(&mut window, count);
    press(&mut window, "Check without recording");
    press(&mut window, "Now the letters");
    window
}

#[test]
fn letters_are_written_in_boxes_and_looked_at_gently() {
    let mut window = to_letters("letters", "chess", Key::Num3);
    write(&mut window, 1, 3, "ch");
    write(&mut window, 2, 3, "e");
    write(&mut window, 3, 3, "s");
    assert!(window.query_by_label("Show us").is_none(), "a first try comes first");
    press(&mut window, "Check the letters");
    assert!(says(&window, "Letters of box 1 of 3, right"), "{:?}", texts(&window));
    assert!(says(&window, "Letters of box 3 of 3, look again"));
    assert!(says(&window, "Look again at one box"));
    assert!(!says(&window, "chess"));
    write(&mut window, 3, 3, "ss");
    press(&mut window, "Check the letters");
    assert!(says(&window, "The word: chess"), "{:?}", texts(&window));
    press(&mut window, "End the lesson");
    assert!(says(&window, "Nothing was recorded."));
    assert!(
        says(&window, "You looked at chess once more, and mended it yourself."),
        "{:?}",
        texts(&window)
    );
    assert!(says(&window, "1 bead, one for each word."));
    press(&mut window, "Close the lesson");
    assert_eq!(window.state().shared.place(), soundbead::ui::MainView::Today);
}

#[test]
fn the_letters_can_be_shown_after_a_try() {
    let mut window = to_letters("show", "cake", Key::Num3);
    assert!(!says(&window, "on both sides of another"), "that would tell");
    for (at, text) in [(1, "c"), (2, "a"), (3, "k")] {
        write(&mut window, at, 3, text);
    }
    press(&mut window, "Check the letters");
    write(&mut window, 3, 3, "");
    key(&mut window, Key::Escape);
    assert!(!says(&window, "Leave the lesson?"), "the first Esc lets the box go");
    key(&mut window, Key::Escape);
    assert!(says(&window, "Leave the lesson?"));
    press(&mut window, "Stay");
    assert!(says(&window, "on both sides of another"));
    press(&mut window, "Show us");
    assert!(says(&window, "a_e") && says(&window, "This is how it is written."));
}

/// What would tell the child: the word, its respelling, its signs, a bead for each of its sounds.
fn tells(window: &Window) -> Vec<String> {
    let all = texts(window).into_iter();
    all.filter(|t| {
        ["leaf", "l-ee-f", "/lif/", "Hear sound", "3"]
            .iter()
            .any(|w| t.contains(w))
    })
    .filter(|t| !t.starts_with("Ctrl"))
    .collect()
}

#[test]
fn nothing_gives_the_answer_away_and_the_parent_peeks_by_holding_a_key() {
    let mut window = window("hidden", spoken(&["14-leaf.wav"]));
    begin(&mut window, "leaf");
    assert!(tells(&window).is_empty(), "{:?}", tells(&window));
    window.key_down(Key::W);
    window.run_steps(3);
    assert!(says(&window, "The word: leaf"));
    window.key_up(Key::W);
    window.run_steps(3);
    assert!(tells(&window).is_empty(), "{:?}", tells(&window));
    key(&mut window, Key::Num2);
    record(&mut window);
    assert!(tells(&window).is_empty(), "{:?}", tells(&window));
    assert!(says(&window, "Say it slowly once more."));
    key(&mut window, Key::Enter);
    key(&mut window, Key::Enter);
    assert!(
        says(&window, "Say it slowly once more."),
        "Enter twice skips no mistake"
    );
    assert!(tells(&window).is_empty(), "{:?}", tells(&window));
    press(&mut window, "Add a bead");
    key(&mut window, Key::Enter);
    assert!(
        says(&window, "You listened again, and found it."),
        "{:?}",
        texts(&window)
    );
    key(&mut window, Key::Enter);
    assert!(says(&window, "Write the letters of each sound."));
    assert!(!says(&window, "leaf"));
}

/// One frame after the other: a dialog does not stand yet when the second press comes.
#[test]
fn esc_pressed_twice_asks_and_stays_in_the_lesson() {
    let mut window = window("esc-twice", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat coat");
    for _ in 0..4 {
        window.key_press(Key::Escape);
        window.step();
        window.key_press(Key::Escape);
        window.step();
        window.run_steps(3);
        assert_eq!(window.state().shared.place(), soundbead::ui::MainView::Drill);
        assert!(says(&window, "Add a bead"), "{:?}", texts(&window));
    }
    key(&mut window, Key::Escape);
    assert!(says(&window, "Leave the lesson?"), "{:?}", texts(&window));
    key(&mut window, Key::Enter);
    assert!(
        !says(&window, "Leave the lesson?") && says(&window, "Add a bead"),
        "Enter stays"
    );
    key(&mut window, Key::Escape);
    press(&mut window, "End the lesson now");
    assert!(says(&window, "Your own words"));
    assert!(
        !says(&window, "Nothing was recorded"),
        "nothing was said or done: there is nothing to tell"
    );
}

#[test]
fn everything_is_undone_in_turn() {
    let mut window = window("undo", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat coat");
    key(&mut window, Key::Num3);
    record(&mut window);
    press(&mut window, "Now the letters");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    // A letter box has the keyboard, and there only letters are taken back; the button always undoes the lesson.
    window.run_steps(2);
    press(&mut window, "Undo");
    for_the_grown_up(&mut window);
    assert!(says(&window, "The recording: 3 sounds"));
    press(&mut window, "Undo");
    assert!(says(&window, "Beads on the string: 3"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_steps(3);
    assert!(says(&window, "Beads on the string: 0"));
}

#[test]
fn letters_are_taken_back_box_by_box_by_the_keyboard_and_come_again() {
    let mut window = window("letters-back", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    key(&mut window, Key::Num3);
    press(&mut window, "Check without recording");
    press(&mut window, "Now the letters");
    for (at, text) in [(1, "g"), (2, "o"), (3, "t"), (2, "oa")] {
        write(&mut window, at, 3, text);
    }
    let letters = |window: &Window| -> Vec<String> {
        let field = |at: usize| {
            let label = format!("Letters of box {at} of 3");
            let node = window.get_by_label_contains(&label);
            node.accesskit_node().value().unwrap_or_default()
        };
        (1..=3).map(field).collect()
    };
    let mut at_once = |modifiers, key, left: [&str; 3]| {
        window.key_press_modifiers(modifiers, key);
        window.run_steps(3);
        assert_eq!(letters(&window), left);
    };
    at_once(Modifiers::COMMAND, Key::Z, ["g", "o", "t"]);
    at_once(Modifiers::COMMAND, Key::Z, ["g", "o", ""]);
    at_once(Modifiers::COMMAND, Key::Z, ["g", "", ""]);
    at_once(Modifiers::COMMAND, Key::Z, ["", "", ""]);
    at_once(Modifiers::COMMAND, Key::Z, ["", "", ""]);
    at_once(Modifiers::COMMAND, Key::Y, ["g", "", ""]);
    at_once(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z, ["g", "o", ""]);
    // The keyboard is where the letters came.
    window.event(egui::Event::Text("oa".into()));
    window.run_steps(3);
    assert_eq!(letters(&window), ["g", "oa", ""]);
}

#[test]
fn the_childs_view_has_no_numbers_and_no_notes_and_does_not_show_the_word() {
    let mut window = window("child", spoken(&["14-leaf.wav"]));
    begin(&mut window, "leaf");
    key(&mut window, Key::Num3);
    let check = |window: &Window, when: &str| {
        for text in shown(window).iter().filter(|t| !t.starts_with("Ctrl")) {
            assert!(!text.chars().any(|c| c.is_ascii_digit()), "{when}: {text}");
            assert!(!text.contains("leaf"), "{when}: {text}");
        }
    };
    check(&window, "beads");
    record(&mut window);
    check(&window, "counts");
    assert!(!says(&window, "You heard:") && !says(&window, "The recording:"));
    assert!(
        shown(&window).iter().any(|t| t.to_lowercase().contains("listen")),
        "{:?}",
        shown(&window)
    );
    key(&mut window, Key::V);
    assert!(says(&window, "The recording:"));
}

#[test]
fn a_whole_lesson_by_the_keyboard_alone() {
    let mut window = window("keyboard", spoken(&["01-goat.wav", "01-goat.wav", "24-fan.wav"]));
    pick_juno(&mut window);
    window.get_by_role_and_label(Role::TextInput, "Your own words").focus();
    window.run_steps(2);
    window.event(egui::Event::Text("goat coat".into()));
    window.run_steps(2);
    key(&mut window, Key::Enter);
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    key(&mut window, Key::Num3);
    record(&mut window);
    key(&mut window, Key::Enter);
    for letters in ["g", "oa", "t"] {
        window.event(egui::Event::Text(letters.into()));
        window.run_steps(2);
        key(&mut window, Key::Tab);
    }
    window.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
    window.run_steps(2);
    key(&mut window, Key::Enter);
    assert!(says(&window, "Every sound has its letters."), "{:?}", texts(&window));
    key(&mut window, Key::Enter);
    assert!(says(&window, "Word 2 of 2"), "{:?}", texts(&window));
    for _ in 0..3 {
        key(&mut window, Key::Plus);
    }
    key(&mut window, Key::Space);
    until(&mut window, "the counts", |w| {
        w.query_by_label("Say it again").is_some()
    });
    key(&mut window, Key::Enter);
    key(&mut window, Key::Num1);
    assert!(says(&window, "The first sound changed"), "{:?}", texts(&window));
    key(&mut window, Key::Enter);
    assert!(says(&window, "Write the letters of each sound."));
}

#[test]
fn a_plan_begins_with_its_words_under_its_own_rules() {
    use soundbead::plan::{Content, Plan, PlanItem, PlanWord};
    let plan = Plan {
        title: "Damson Row".into(),
        rules: soundbead_data::Rules::named("phonics").unwrap(),
        items: vec![PlanItem::of(Content::Chain(
            ["barn", "yarn"].map(PlanWord::new).to_vec(),
        ))],
        ..Default::default()
    };
    let mut window = window("plan", spoken(&["25-barn.wav"]));
    window.state_mut().shared.plan = Some(plan.clone());
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    window.key_down(Key::W);
    window.run_steps(3);
    assert!(says(&window, "The word: barn"));
    window.key_up(Key::W);
    record(&mut window);
    for_the_grown_up(&mut window);
    assert!(
        says(&window, "Counted by the phonics rules.") && says(&window, "The word: 3 sounds"),
        "{:?}",
        texts(&window)
    );
    window.state_mut().shared.plan = Some(plan);
    window.run_steps(3);
    assert!(says(&window, "A lesson is under way.") && says(&window, "Word 1 of 2"));
    press(&mut window, "Leave the lesson");
    press(&mut window, "End the lesson now");
    assert!(
        says(&window, "Damson Row: ") && says(&window, "2 words"),
        "{:?}",
        texts(&window)
    );
    press(&mut window, "Start the plan");
    press(&mut window, ONLY_TRY);
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
}

/// WCAG 2.2, success criterion 2.5.5: targets of 44 by 44. A sound's block is as wide as the sound is long (essential
/// to what it shows, which the criterion allows), so of those the height alone is held to it; keys reach them too.
#[test]
fn what_is_touched_is_large_enough_at_every_step() {
    let mut window = window("touch", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat coat");
    key(&mut window, Key::Num3);
    let check = |window: &Window, step: &str| {
        for node in window.query_all_by_role(Role::Button) {
            let (rect, name) = (node.rect(), node.accesskit_node().label().unwrap_or_default());
            let wide = name.starts_with("Hear sound") || rect.width() >= 44.0;
            assert!(
                !name.is_empty() && wide && rect.height() >= 43.9,
                "{step}: {name} {rect:?}"
            );
        }
    };
    check(&window, "beads");
    record(&mut window);
    check(&window, "counts");
    press(&mut window, "Now the letters");
    check(&window, "letters");
    skip(&mut window);
    skip(&mut window);
    check(&window, "which");
}

/// A window of 1024 by 700 at a scale of 1.5.
#[test]
fn in_a_small_window_nothing_lies_over_another_and_the_record_button_is_in_sight() {
    let mut window = window("small", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat coat");
    window.set_size(egui::vec2(683.0, 467.0));
    window.run_steps(3);
    let rect = |window: &Window, name: &str| window.get_by_label(name).rect();
    let large = rect(&window, "Record");
    let foot = rect(&window, "Check without recording").top();
    assert!(large.bottom() <= foot && large.right() <= 683.0, "{large:?}, {foot}");
    let apart = |window: &Window| rect(window, "Word 1 of 2").right() <= rect(window, "Undo").left();
    assert!(apart(&window));
    record(&mut window);
    assert!(apart(&window), "beside the recording there is one button more");
}

/// One letter after another, without a hand on the mouse.
#[test]
fn space_and_enter_lead_from_box_to_box_before_anything_is_looked_at() {
    let mut window = window("boxes", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    key(&mut window, Key::Num3);
    press(&mut window, "Check without recording");
    press(&mut window, "Now the letters");
    window.run_steps(2);
    let boxes = |window: &Window| -> Vec<String> {
        let fields = window.query_all_by_role(Role::TextInput);
        fields.map(|field| field.value().unwrap_or_default()).collect()
    };
    let types = |window: &mut Window, text: &str| {
        window.event(egui::Event::Text(text.into()));
        window.run_steps(3);
    };
    types(&mut window, "g");
    window.key_press(Key::F1);
    window.run_steps(3);
    assert!(says(&window, "the next box") && !says(&window, "hear the word, drawn out"));
    window.key_press(Key::Escape);
    window.run_steps(5);
    types(&mut window, " ");
    types(&mut window, "oa");
    assert_eq!(boxes(&window), ["g", "oa", ""], "a space goes on and stands in no box");
    key(&mut window, Key::Enter);
    assert!(!says(&window, "right"), "a box is empty yet: {:?}", texts(&window));
    types(&mut window, "d");
    key(&mut window, Key::Enter);
    assert!(
        says(&window, "Letters of box 3 of 3, look again"),
        "{:?}",
        texts(&window)
    );
    // Going into a box takes up what it holds.
    window.key_press_modifiers(egui::Modifiers::SHIFT, Key::Tab);
    window.run_steps(2);
    window.key_press(Key::Tab);
    window.run_steps(2);
    types(&mut window, "t");
    assert!(boxes(&window)[2] == "t", "{:?}", boxes(&window));
}
