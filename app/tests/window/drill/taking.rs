//! Beads, recording, the three counts, playing, ruling.

use egui::{Key, Role, vec2};
use egui_kittest::kittest::Queryable;
use soundbead::mic::spoken::KeepingPlayer;
use soundbead::ui::MainView;
use soundbead_dsp::judgement::Verdict;

use crate::bench::{
    attempts, begin, folder, for_the_grown_up, key, pick_juno, press, record, says, spoken, texts, until, window,
    window_over,
};

#[test]
fn beads_go_on_by_touch_by_drag_and_by_key_and_come_off() {
    let mut window = window("beads", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    assert!(says(&window, "Beads on the string: 0"));
    press(&mut window, "Add a bead");
    press(&mut window, "Add a bead");
    assert!(says(&window, "Beads on the string: 2"));
    let pile = window.get_by_role_and_label(Role::Button, "Add a bead").rect().center();
    let string = window.get_by_label("Beads on the string: 2").rect().center();
    window.drag_at(pile);
    window.run_steps(1);
    window.hover_at(string + vec2(120.0, 0.0));
    window.run_steps(2);
    window.drop_at(string + vec2(120.0, 0.0));
    window.run_steps(3);
    assert!(says(&window, "Beads on the string: 3"), "{:?}", texts(&window));
    window.get_by_label_contains("Bead 2 of 3").click();
    window.run_steps(3);
    assert!(says(&window, "Beads on the string: 2"));
    key(&mut window, Key::Num5);
    assert!(says(&window, "Beads on the string: 5"));
    key(&mut window, Key::Minus);
    key(&mut window, Key::Plus);
    key(&mut window, Key::ArrowLeft);
    assert!(says(&window, "Beads on the string: 4"));
}

#[test]
fn a_bead_dragged_elsewhere_does_not_count() {
    let mut window = window("stray", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    let pile = window.get_by_role_and_label(Role::Button, "Add a bead").rect().center();
    window.drag_at(pile);
    window.run_steps(1);
    window.hover_at(pile + vec2(0.0, 300.0));
    window.run_steps(2);
    window.drop_at(pile + vec2(0.0, 300.0));
    window.run_steps(3);
    assert!(says(&window, "Beads on the string: 0"));
}

#[test]
fn a_word_said_right_shows_three_counts_with_how_sure_the_rules_and_the_caution() {
    let mut window = window("right", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    key(&mut window, Key::Num3);
    record(&mut window);
    for_the_grown_up(&mut window);
    for text in [
        "The word: 3 sounds",
        "The beads: 3 sounds",
        "The recording: 3 sounds",
        "sure",
        "Counted by the phoneme rules.",
        "The recording has the word's own sounds.",
        "A teaching aid, not a test of speech or hearing.",
        "Hear sound 1: g",
        "Hear sound 3: t",
    ] {
        assert!(
            says(&window, text),
            "{text} is not there:\n{}",
            texts(&window).join("\n")
        );
    }
}

#[test]
fn every_stage_of_the_recorder_is_said() {
    let mut window = window("stages", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    press(&mut window, "Record");
    for stage in ["Quiet, please", "Now say it.", "Listening."] {
        until(&mut window, stage, |w| says(w, stage));
    }
    until(&mut window, "the counts", |w| {
        w.query_by_label("Say it again").is_some()
    });
}

#[test]
fn sound_by_sound_and_drawn_out_are_counted_as_such() {
    for (file, word, way, count) in [
        (
            "11-soap.wav",
            "soap",
            "Say it: Sound by sound",
            "The recording: 3 sounds",
        ),
        ("08-shell.wav", "shell", "Say it: Drawn out", "The recording: 3 sounds"),
    ] {
        let mut window = window("ways", spoken(&[file]));
        begin(&mut window, word);
        press(&mut window, way);
        record(&mut window);
        for_the_grown_up(&mut window);
        assert!(says(&window, count), "{word}:\n{}", texts(&window).join("\n"));
    }
}

/// Made without its last sound: whatever the ear decides, it tells what to listen for, and never a bare "wrong".
#[test]
fn where_the_recording_differs_or_is_unsure_it_says_what_to_listen_for() {
    for (file, word) in [
        ("14-leaf.wav", "leaf"),
        ("22-thumb.wav", "thumb"),
        ("21-bell.wav", "bell"),
    ] {
        let mut window = window("differs", spoken(&[file]));
        begin(&mut window, word);
        record(&mut window);
        for_the_grown_up(&mut window);
        let all = texts(&window);
        assert!(!says(&window, "the word's own sounds"), "{word}: {all:?}");
        assert!(
            all.iter().any(|t| t.contains("isten") && t.len() > 60),
            "{word}: {all:?}"
        );
        assert!(
            !all.iter()
                .any(|t| t.to_lowercase().contains("wrong") || t.contains('✗')),
            "{word}"
        );
    }
}

#[test]
fn the_parents_ruling_stands_beside_the_programs() {
    let mut window = window("ruling", spoken(&["01-goat.wav"]));
    pick_juno(&mut window);
    begin(&mut window, "goat");
    record(&mut window);
    for_the_grown_up(&mut window);
    press(&mut window, "You heard: A sound missing");
    assert!(says(&window, "Your ear counts"));
    let kept = &attempts(&mut window)[0];
    assert_eq!(kept.verdict, Some(Verdict::Same));
    assert_eq!(kept.edits.rulings.first().map(|r| r.verdict), Some(Verdict::Fewer));
    press(&mut window, "You heard: A sound missing");
    assert_eq!(attempts(&mut window)[0].edits.rulings, []);
}

#[test]
fn a_sound_is_heard_by_itself_and_the_word_slowly_at_its_own_pitch() {
    let mut window = window("playing", spoken(&["01-goat.wav"]));
    let player = KeepingPlayer::default();
    window.state_mut().shared.playback = soundbead::playback::Playback::on(Box::new(player.clone()));
    begin(&mut window, "goat");
    key(&mut window, Key::Num3);
    record(&mut window);
    press(&mut window, "Play");
    assert!(window.query_by_label("Stop").is_some());
    // Slowing down is done elsewhere and begins when it is done.
    let heard = |n: usize| {
        let player = player.clone();
        move |_: &crate::bench::Window| player.sounds().len() == n
    };
    press(&mut window, "Play slower, at three quarters");
    until(&mut window, "the slower sound", heard(2));
    press(&mut window, "Play slowest, at half");
    until(&mut window, "the slowest sound", heard(3));
    window.get_by_label_contains("Hear sound 2").click();
    window.run_steps(3);
    key(&mut window, Key::Num1);
    let lengths: Vec<f32> = player.sounds().iter().map(|s| s.len() as f32 / 16_000.0).collect();
    let [whole, slower, slowest, vowel, first] = lengths[..] else {
        panic!("{lengths:?}")
    };
    assert!(
        (slower * 0.75 / whole - 1.0).abs() < 0.02 && (slowest * 0.5 / whole - 1.0).abs() < 0.02,
        "{lengths:?}"
    );
    assert!(
        vowel < whole / 2.0 && first < whole / 2.0 && vowel > 0.05,
        "{lengths:?}"
    );
}

#[test]
fn listening_can_be_cancelled() {
    let mut window = window("cancel", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    key(&mut window, Key::Space);
    until(&mut window, "a voice", |w| says(w, "Listening."));
    key(&mut window, Key::Escape);
    assert!(window.query_by_label("Record").is_some() && !says(&window, "Listening."));
    // Esc let the recording go, not the lesson.
    assert!(says(&window, "Beads on the string"));
    record(&mut window);
}

#[test]
fn a_parents_model_is_recorded_heard_by_the_child_and_there_the_next_time() {
    let folder = folder("model");
    let mut first = window_over(folder.clone(), spoken(&["01-goat.wav"]));
    begin(&mut first, "goat");
    assert!(says(&first, "A computer voice."));
    press(&mut first, "Record a model");
    assert!(
        says(&first, "erasing a learner does not erase it"),
        "whose voice it is comes first"
    );
    press(&mut first, "Record my voice");
    until(&mut first, "the model", |w| says(w, "This is the model now."));
    assert!(says(&first, "Beads on the string: 0"), "a model is no attempt");
    drop(first);
    let mut again = window_over(folder, spoken(&["01-goat.wav"]));
    let player = KeepingPlayer::default();
    again.state_mut().shared.playback = soundbead::playback::Playback::on(Box::new(player.clone()));
    begin(&mut again, "goat");
    assert!(says(&again, "Your own recording."));
    press(&mut again, "Hear it");
    let sounds = player.sounds();
    assert!(
        sounds.len() == 1 && (4_000..16_000).contains(&sounds[0].len()),
        "{}",
        sounds[0].len()
    );
}

#[test]
fn leaving_in_the_middle_of_a_recording_ends_it_and_keeps_what_was_said() {
    let mut window = window("leaving", spoken(&["01-goat.wav"]));
    begin(&mut window, "goat");
    key(&mut window, Key::Space);
    until(&mut window, "a voice", |w| says(w, "Listening."));
    window.run_steps(10);
    window.state_mut().shared.go(MainView::Sounds);
    for _ in 0..200 {
        window.step();
    }
    window.state_mut().shared.go(MainView::Drill);
    until(&mut window, "the counts", |w| {
        w.query_by_label("Say it again").is_some()
    });
}
