//! The Plan view through its accessibility tree: find, add, order, keep, use again, send to the drill.

use std::path::PathBuf;
use std::time::Duration;

use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use soundbead::plan::{Content, Plan, PlanItem, PlanWord};
use soundbead::ui::{App, MainView};

type Window = Harness<'static, App>;

fn window(name: &str) -> Window {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("window-plan-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    open(folder)
}

fn open(folder: PathBuf) -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 2400.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    window.state_mut().shared.go(MainView::Plan);
    until(&mut window, |w| w.query_by_label("Find a chain").is_some());
    window
}

/// Steps until `there`, since finders work on threads of their own.
fn until(window: &mut Window, there: impl Fn(&Window) -> bool) {
    for _ in 0..3000 {
        window.step();
        if there(window) {
            return;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    panic!("it never came");
}

fn click(window: &mut Window, label: &str) {
    window.get_by_role_and_label(Role::Button, label).click();
    window.run_steps(2);
}

fn write(window: &mut Window, field: &str, text: &str) {
    window.get_by_role_and_label(Role::TextInput, field).focus();
    window.run_steps(2);
    window.get_by_role_and_label(Role::TextInput, field).type_text(text);
    window.run_steps(2);
}

fn has(window: &Window, label: &str) -> bool {
    window.query_all_by_label_contains(label).next().is_some()
}

/// The plan as the drill gets it. The drill takes it in its first frame, so it is looked at before that.
fn sent(window: &mut Window) -> Plan {
    window.get_by_role_and_label(Role::Button, "Start the drill").click();
    for _ in 0..4 {
        window.step();
        if let Some(plan) = window.state().shared.plan.clone() {
            assert_eq!(window.state().shared.place(), MainView::Drill);
            window.state_mut().shared.plan = None;
            window.state_mut().shared.go(MainView::Plan);
            window.run_steps(2);
            return plan;
        }
    }
    panic!("no plan came to the drill");
}

fn find(window: &mut Window, from: &str, to: &str) {
    write(window, "From", from);
    write(window, "to", to);
    click(window, "Find a chain");
    until(window, |w| {
        w.query_by_label("Add chain to the plan").is_some() || has(w, "nearest")
    });
}

#[test]
fn a_chain_is_found_added_and_sent_to_the_drill() {
    let mut window = window("chain");
    assert!(window.query_by_label("Nothing in it yet").is_some());
    find(&mut window, "pig", "ten");
    assert!(
        has(&window, "pig, 3 sounds, p-ih-g"),
        "each word is read with its sounds"
    );
    assert!(
        has(&window, "inside: /ɪ/ (i) to /ɛ/ (e)"),
        "each step says what changed"
    );
    click(&mut window, "Add chain to the plan");
    let plan = sent(&mut window);
    let Content::Chain(words) = &plan.items[0].content else {
        panic!("not a chain")
    };
    assert_eq!(
        (words[0].spelling.as_str(), words[words.len() - 1].spelling.as_str()),
        ("pig", "ten")
    );
    assert!(words.iter().all(|w| w.said.is_some()));
    assert!(plan.items[0].doubts(&plan.rules, &Default::default()).is_empty());
}

#[test]
fn where_there_is_no_chain_the_reason_and_the_nearest_are_shown() {
    let mut window = window("none");
    find(&mut window, "pig", "hippopotamus");
    assert!(has(&window, "No word of the list is one sound from `hippopotamus`"));
    click(&mut window, "More limits");
    write(&mut window, "Only the sounds", "QQ");
    click(&mut window, "Find a chain");
    assert!(has(&window, "not an ARPAbet sound"));
}

#[test]
fn enter_finds_and_the_keyboard_reaches_everything() {
    let mut window = window("keys");
    write(&mut window, "From", "bit");
    window.key_press(Key::Enter);
    until(&mut window, |w| w.query_by_label("Add chain to the plan").is_some());
    for _ in 0..60 {
        window.key_press(Key::Tab);
        window.run_steps(1);
        if window
            .get_by_role_and_label(Role::Button, "Add chain to the plan")
            .is_focused()
        {
            window.key_press(Key::Space);
            window.run_steps(2);
            assert!(has(&window, "Chain 1"));
            return;
        }
    }
    panic!("Tab never came to it");
}

#[test]
fn words_are_searched_picked_and_added() {
    let mut window = window("words");
    click(&mut window, "Find: Words");
    write(&mut window, "spelling", "tch");
    click(&mut window, "Sounds: 3");
    // What was found by the spelling alone stands until the count has been looked for too.
    until(&mut window, |w| {
        w.query_by_label("Pick catch").is_some() && w.query_by_label("Pick kitchen").is_none()
    });
    click(&mut window, "Pick catch");
    write(&mut window, "Type words", "chess, p1g");
    click(&mut window, "Pick them");
    assert!(window.query_by_label("2 words picked").is_some());
    assert!(has(&window, "digit"), "what cannot be picked is said");
    click(&mut window, "Add as sound boxes");
    let plan = sent(&mut window);
    let words: Vec<&str> = plan.items[0].words().map(|w| w.spelling.as_str()).collect();
    assert_eq!(words, ["catch", "chess"]);
}

/// A word that is said in two ways asks which one is meant, with what each means; the plan keeps the answer.
#[test]
fn a_word_said_in_two_ways_asks_which() {
    let mut window = window("which");
    click(&mut window, "Find: Words");
    write(&mut window, "Type words", "read, pig");
    click(&mut window, "Pick them");
    assert!(has(&window, "Which read?") && !has(&window, "Which pig?"));
    click(&mut window, "Which read?: yesterday: she read it");
    click(&mut window, "Add as sound boxes");
    let plan = sent(&mut window);
    let word = plan.items[0].words().next().expect("a word");
    let said = word.said.as_ref().expect("its sounds");
    assert_eq!(said.to_string(), "R EH1 D");
}

/// The ends of a chain ask as well, and the chain says the word as it was chosen.
#[test]
fn the_ends_of_a_chain_ask_which() {
    let mut window = window("which-end");
    click(&mut window, "Find: Chain");
    write(&mut window, "From", "wind");
    write(&mut window, "to", "mine");
    assert!(has(&window, "Which wind?") && !has(&window, "Which mine?"));
    click(&mut window, "Which wind?: to turn a key or a handle");
    click(&mut window, "Find a chain");
    until(&mut window, |w| w.query_by_label("Add chain to the plan").is_some());
    click(&mut window, "Add chain to the plan");
    let plan = sent(&mut window);
    let words: Vec<_> = plan.items[0].words().collect();
    let said = words[0].said.as_ref().expect("its sounds");
    assert_eq!(
        (words[0].spelling.as_str(), said.to_string().as_str()),
        ("wind", "W AY1 N D")
    );
    assert_eq!(words.last().expect("an end").spelling, "mine");
}

#[test]
fn a_sort_shows_how_often_its_rules_hold() {
    let mut window = window("sort");
    click(&mut window, "Find: Sort");
    click(&mut window, "Sort: /k/ as c, k, ck, ch, qu or x");
    until(&mut window, |w| w.query_by_label("Add sort to the plan").is_some());
    assert!(has(&window, "Holds in"));
    let first = window
        .query_all_by_role(Role::Button)
        .filter(|n| n.accesskit_node().label().is_some_and(|l| l.starts_with("Leave out ")));
    // A sheet has 12 to 24 words.
    assert!((12..=24).contains(&first.count()));
    click(&mut window, "Leave out back");
    click(&mut window, "Add sort to the plan");
    let plan = sent(&mut window);
    let Content::Sort(groups) = &plan.items[0].content else {
        panic!("not a sort")
    };
    let ck = groups.iter().find(|g| g.heading == "ck").expect("a column");
    assert!(
        ck.words.len() == 6
            && ck
                .words
                .iter()
                .all(|w| w.spelling.contains("ck") && w.spelling != "back")
    );
}

#[test]
fn items_are_ordered_doubled_removed_and_brought_back() {
    let mut window = window("order");
    find(&mut window, "pig", "peg");
    click(&mut window, "Add chain to the plan");
    click(&mut window, "Find: Words");
    write(&mut window, "Type words", "chess");
    click(&mut window, "Pick them");
    click(&mut window, "Add as dictation");
    let sentences = "Sentences, one on each line";
    window
        .get_by_role_and_label(Role::MultilineTextInput, sentences)
        .focus();
    window.run_steps(2);
    window
        .get_by_role_and_label(Role::MultilineTextInput, sentences)
        .type_text("The moth sat on the shelf.");
    window.run_steps(2);
    let plan = sent(&mut window);
    let Content::Dictation { sentences, .. } = &plan.items[1].content else {
        panic!("no dictation")
    };
    assert_eq!(sentences, &["The moth sat on the shelf."]);
    // The field was left with Tab before the buttons are used: one step of the history for the whole text.
    click(&mut window, "Take back");
    let kinds = |window: &mut Window| sent(window).items.iter().map(|i| i.kind()).collect::<Vec<_>>();
    assert_eq!(kinds(&mut window), ["Chain", "Dictation"]);
    click(&mut window, "Up: Dictation 2");
    assert_eq!(kinds(&mut window), ["Dictation", "Chain"]);
    click(&mut window, "Double: Chain 2");
    click(&mut window, "Remove: Dictation 1");
    assert_eq!(kinds(&mut window), ["Chain", "Chain"]);
    click(&mut window, "Take back");
    assert_eq!(kinds(&mut window), ["Dictation", "Chain", "Chain"]);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run_steps(2);
    assert_eq!(kinds(&mut window), ["Dictation", "Chain"]);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    window.run_steps(2);
    assert_eq!(kinds(&mut window), ["Dictation", "Chain", "Chain"]);
}

#[test]
fn a_plan_is_kept_used_again_copied_and_removed() {
    let mut window = window("keep");
    find(&mut window, "pig", "peg");
    click(&mut window, "Add chain to the plan");
    write(&mut window, "Title", "Pegs");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    until(&mut window, |w| w.query_by_label("Use: Pegs").is_some());
    let folder = window.state().shared.folder.clone();
    let file = folder.join("plans/pegs.toml");
    assert_eq!(Plan::load(&file).expect("it is kept").items.len(), 1);
    drop(window);
    let mut window = open(folder);
    until(&mut window, |w| w.query_by_label("Use: Pegs").is_some());
    click(&mut window, "Use: Pegs");
    until(&mut window, |w| w.query_by_label("Remove: Chain 1").is_some());
    click(&mut window, "Copy: Pegs");
    until(&mut window, |w| {
        has(w, "Pegs (copy)")
            || w.get_by_role_and_label(Role::TextInput, "Title")
                .value()
                .is_some_and(|v| v == "Pegs (copy)")
    });
    click(&mut window, "Remove: Pegs");
    until(&mut window, |w| w.query_by_label("Use: Pegs").is_none());
    assert!(!file.exists());
    click(&mut window, "Undo");
    until(&mut window, |w| w.query_by_label("Use: Pegs").is_some());
    assert!(file.exists());
}

#[test]
fn a_plan_goes_to_a_file_and_comes_from_one_by_its_name() {
    let mut window = window("file");
    let file = window.state().shared.folder.join("by-mail.toml");
    find(&mut window, "pig", "peg");
    click(&mut window, "Add chain to the plan");
    write(&mut window, "Plan file", file.to_str().unwrap());
    click(&mut window, "Write it");
    until(&mut window, |w| has(w, "Written to"));
    assert_eq!(Plan::load(&file).expect("it was written").items.len(), 1);
    assert!(
        window.query_by_label("Replace it").is_some(),
        "it is said that there is one now"
    );
    let mut other = self::window("file-other");
    write(&mut other, "Plan file", file.to_str().unwrap());
    click(&mut other, "Open it");
    until(&mut other, |w| w.query_by_label("Remove: Chain 1").is_some());
    std::fs::write(&file, "kind = ").unwrap();
    click(&mut other, "Open it");
    until(&mut other, |w| has(w, "by-mail.toml"));
    assert!(
        other.query_by_label("Remove: Chain 1").is_some(),
        "the plan in hand stays"
    );
}

#[test]
fn words_of_a_part_show_what_changes_and_go_into_the_plan() {
    let mut window = window("parts");
    click(&mut window, "Find: Parts");
    click(&mut window, "Part: -ion");
    assert!(has(&window, "celebrate + ion ="));
    assert!(
        has(&window, "the silent e goes; the t is said sh"),
        "the letters and the sounds"
    );
    until(&mut window, |w| has(w, "Joins a word that stands alone in "));
    assert!(
        has(&window, "joins a base that ends in t, te or s. So in ") && has(&window, "; not in "),
        "what was counted, with the exceptions"
    );
    click(&mut window, "Part: port");
    assert!(!has(&window, "Joins "), "a base joins nothing by itself");
    click(&mut window, "Part: -ion");
    assert!(has(&window, "Joins a word that stands alone in "), "it is counted once");
    click(&mut window, "Add words to the plan");
    until(&mut window, |w| has(w, "Remove: Sound boxes 1"));
    let plan = sent(&mut window);
    assert!(plan.items[0].words().any(|w| w.spelling == "celebration"));
}

#[test]
fn sentences_are_made_of_a_dictations_words_and_said_where_none_can_be() {
    let mut window = window("sentences");
    let words = ["duck", "clock", "flibbet"].map(PlanWord::new).to_vec();
    let dictation = Content::Dictation {
        words,
        sentences: vec!["My own stays.".to_owned()],
    };
    let plan = Plan {
        items: vec![PlanItem::of(dictation)],
        ..Plan::default()
    };
    let file = window.state().shared.folder.join("dictation.toml");
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    plan.save(&file).unwrap();
    write(&mut window, "Plan file", file.to_str().unwrap());
    click(&mut window, "Open it");
    until(&mut window, |w| {
        w.query_by_label("Make sentences: Dictation 1").is_some()
    });
    click(&mut window, "Make sentences: Dictation 1");
    until(&mut window, |w| has(w, "flibbet: none is made with it"));
    let sentences = |plan: &Plan| match &plan.items[0].content {
        Content::Dictation { sentences, .. } => sentences.clone(),
        other => panic!("{other:?}"),
    };
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    until(&mut window, |w| has(w, "The plan is kept"));
    let kept = std::fs::read_dir(window.state().shared.folder.join("plans"))
        .unwrap()
        .next()
        .unwrap()
        .unwrap();
    let made = sentences(&Plan::load(&kept.path()).unwrap());
    assert_eq!(made[0], "My own stays.");
    let all = made.join(" ").to_lowercase();
    assert!(
        made.len() > 1 && all.contains("duck") && all.contains("clock"),
        "{made:?}"
    );
}
