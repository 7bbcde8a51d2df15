//! The Sounds view, through its accessibility tree: both charts, the card, the mouth in motion.

use std::path::PathBuf;

use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use soundbead::notebook::{Author, NewNote, NoteBody, NoteSubject};
use soundbead::ui::App;
use soundbead_data::inventory::{self, Features};

fn window(name: &str, size: [f32; 2]) -> Harness<'static, App> {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("sounds-{}-{name}", std::process::id()));
    let mut harness = Harness::builder()
        .with_size(vec2(size[0], size[1]))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    harness.state_mut().shared.go(soundbead::ui::MainView::Sounds);
    harness.run_steps(3);
    harness
}

const WIDE: [f32; 2] = [1280.0, 800.0];

/// Buttons whose name starts with the sound's letters and a word with it.
fn tiles(window: &Harness<'static, App>, vowels: bool) -> Vec<String> {
    let wanted = |e: &&inventory::SoundEntry| matches!(e.features, Features::Vowel(_)) == vowels;
    let names: Vec<String> = inventory::all()
        .iter()
        .filter(wanted)
        .map(|e| format!("{} as in ", e.respelling))
        .collect();
    let buttons = window.query_all_by_role(Role::Button);
    buttons
        .filter_map(|node| node.accesskit_node().label())
        .filter(|label| names.iter().any(|n| label.starts_with(n.as_str())))
        .collect()
}

#[test]
fn every_vowel_and_every_consonant_is_on_its_chart() {
    let mut window = window("all", WIDE);
    window.get_by_label("Show vowels: With r").click();
    window.run_steps(2);
    assert_eq!(tiles(&window, true).len(), 22);
    window.get_by_label("Chart: Consonants").click();
    window.run_steps(2);
    let consonants = tiles(&window, false);
    assert_eq!(consonants.len(), 24);
    // IPA chart: 15 of English's 24 consonants are voiced.
    assert_eq!(consonants.iter().filter(|l| l.contains("voice on")).count(), 15);
}

/// Common practice, no source: lessons name /y oo/ long u, as in cube and few.
#[test]
fn long_u_has_a_tile_and_a_card() {
    for size in [WIDE, [1024.0, 700.0], [683.0, 467.0]] {
        let mut window = window("long-u", size);
        // In the smallest window the page scrolls to it.
        window.get_by_label("yoo as in cube, moves").scroll_to_me();
        window.run_steps(5);
        window.get_by_label("yoo as in cube, moves").click();
        window.run_steps(3);
        for text in ["/ju/", "unicorn", "few"] {
            assert!(window.query_by_label(text).is_some(), "{text} at {size:?}");
        }
        assert!(window.query_by_label("Hear it").is_some());
    }
}

#[test]
fn a_picked_sound_has_its_card_with_words_cues_and_mix_up() {
    let mut window = window("card", WIDE);
    window.get_by_label("Chart: Consonants").click();
    window.run_steps(2);
    window.get_by_label("th as in thumb").click();
    window.run_steps(3);
    let th = inventory::find("TH").expect("in the inventory");
    for text in [
        "/θ/",
        "voiceless dental fricative",
        "moth",
        th.cues.tongue.as_str(),
        th.confused.tell_apart.as_str(),
    ] {
        assert!(window.query_by_label(text).is_some(), "{text}");
    }
    assert!(window.query_by_label_contains("tongue tip between the teeth").is_some());
    // The mix-up leads to the other sound's card.
    window.get_by_label("Show f as in fish").focus();
    window.run_steps(2);
    window.key_press(Key::Enter);
    window.run_steps(3);
    assert!(window.query_by_label("/f/").is_some());
}

#[test]
fn a_card_has_the_notes_on_its_sound_with_their_answers() {
    let mut window = window("answers", WIDE);
    let asked = window.state().shared.notebook.ask(|n| {
        let juno = n.add_learner("Juno", &soundbead_data::Rules::default())?;
        let body = NoteBody {
            text: "The lips were spread.".into(),
            ..NoteBody::default()
        };
        let (on, author) = (NoteSubject::Sound(soundbead_data::Sound::TH), Author::Consultant);
        let note = n.add_note(juno.id, &NewNote { on, author, body })?;
        n.answer_note(note.id, Author::Parent, "With a mirror they were not.")?;
        Ok(juno)
    });
    let juno = asked.wait().expect("a note");
    window.state_mut().shared.learner = Some(juno.into());
    window.get_by_label("Chart: Consonants").click();
    window.run_steps(2);
    window.get_by_label("th as in thumb").click();
    for _ in 0..2000 {
        window.step();
        if window.query_by_label_contains("With a mirror").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    assert!(window.query_by_label("The lips were spread.").is_some());
    let answer = window.get_by_label_contains("With a mirror they were not.");
    let answer = answer.accesskit_node().value().or(answer.accesskit_node().label());
    assert!(
        answer.is_some_and(|text| text.starts_with("parent, ")),
        "who answered is said"
    );
}

#[test]
fn ee_turns_into_oo_and_can_be_held_and_played_by_the_space_bar() {
    let mut window = window("motion", WIDE);
    let said = |window: &Harness<'static, App>| {
        let image = window.get_by_label_contains("from the side");
        image.accesskit_node().label().unwrap_or_default()
    };
    assert!(said(&window).contains("lips wide"), "{}", said(&window));
    window.get_by_label("Turn into …").click();
    window.run_steps(2);
    window.get_by_label("oo as in moon").click();
    window.run_steps(3);
    assert!(window.query_by_label("Hold the mouth").is_some(), "it plays at once");
    window.run_steps(600);
    assert!(said(&window).contains("lips round"), "{}", said(&window));
    assert!(
        window.query_by_label("Watch the mouth move").is_some(),
        "it stops at the end"
    );
    // Focus is nowhere, so the space bar plays it again.
    window.key_press(Key::Space);
    window.run_steps(3);
    assert!(window.query_by_label("Hold the mouth").is_some());
    window.key_press(Key::Space);
    window.run_steps(3);
    assert!(window.query_by_label("Watch the mouth move").is_some());
}

#[test]
fn usual_spellings_are_counted_off_the_windows_thread_and_shown() {
    let mut window = window("spellings", WIDE);
    for _ in 0..2000 {
        window.step();
        if window.query_by_label_contains("commonest words").is_some() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    // Common practice, no source: ee and ea are usual spellings of the vowel of feet.
    for letters in ["ee ", "ea "] {
        let row = window
            .get_all_by_role(Role::Label)
            .any(|n| n.value().is_some_and(|v| v.starts_with(letters)));
        assert!(row, "{letters}");
    }
}

#[test]
fn where_there_is_no_room_the_card_takes_the_charts_place_and_esc_brings_it_back() {
    let mut window = window("narrow", [853.0, 533.0]);
    window.get_by_label("oo as in moon").click();
    window.run_steps(3);
    assert!(window.query_by_label("/u/").is_some() && window.query_by_label("Chart: Vowels").is_none());
    window.key_press(Key::Escape);
    window.run_steps(3);
    assert!(window.query_by_label("Chart: Vowels").is_some());
}

#[test]
fn the_voice_moves_the_vowels_and_the_source_stands_under_them() {
    let mut window = window("voice", WIDE);
    assert!(window.query_by_label_contains("Hillenbrand").is_some());
    let at = |window: &Harness<'static, App>| window.get_by_label("oo as in moon").rect().center();
    let child = at(&window);
    window.get_by_label("Voice: Man").click();
    window.run_steps(3);
    assert!(child.distance(at(&window)) > 5.0);
}
