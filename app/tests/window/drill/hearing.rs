//! The word and its sounds to hear: by the model voice, by the parent, by the child; and a doubtful sound from close by.

use egui::{Key, Role};
use egui_kittest::kittest::Queryable;
use soundbead::mic::spoken::KeepingPlayer;
use soundbead::playback::Playback;

use crate::bench::{
    Window, begin, fill, folder, key, press, record, says, skip, spoken, texts, until, window, window_over,
};

/// A player in the window's place, to see what is played.
fn listening(window: &mut Window) -> KeepingPlayer {
    let player = KeepingPlayer::default();
    window.state_mut().shared.playback = Playback::on(Box::new(player.clone()));
    player
}

/// Waits until so many sounds were played.
fn played(window: &mut Window, player: &KeepingPlayer, count: usize) {
    until(window, "a sound", |_| player.sounds().len() >= count);
}

#[test]
fn any_word_is_heard_whole_and_drawn_out_and_nothing_tells_its_number_before_the_count() {
    let mut window = window("heard", spoken(&["01-goat.wav"]));
    let player = listening(&mut window);
    begin(&mut window, "goat");
    assert!(says(&window, "A computer voice."));
    assert!(window.query_by_label("Sound by sound").is_none());
    press(&mut window, "Hear it");
    played(&mut window, &player, 1);
    press(&mut window, "Drawn out");
    played(&mut window, &player, 2);
    let lengths: Vec<usize> = player.sounds().iter().map(Vec::len).collect();
    assert!(
        lengths[1] as f32 > 1.4 * lengths[0] as f32,
        "drawn out it is longer: {lengths:?}"
    );
    key(&mut window, Key::B);
    window.run_steps(20);
    assert_eq!(player.sounds().len(), 2, "sound by sound would tell the number");
    assert!(says(&window, "Beads on the string: 0"));
    assert!(!texts(&window).iter().any(|t| t.contains("heard now")));
}

#[test]
fn after_the_count_it_is_heard_sound_by_sound_and_each_bead_lights_in_turn() {
    let mut window = window("in-step", spoken(&["01-goat.wav"]));
    let player = listening(&mut window);
    begin(&mut window, "goat");
    key(&mut window, Key::Num3);
    press(&mut window, "Check without recording");
    assert!(
        says(&window, "Say it once, and point at a bead"),
        "nothing was recorded to listen to"
    );
    press(&mut window, "Sound by sound");
    for bead in 1..=3 {
        until(&mut window, "a bead", |w| says(w, &format!("Bead {bead}, heard now")));
    }
    until(&mut window, "the end", |w| !says(w, "heard now"));
    assert_eq!(player.sounds().len(), 1);
    // The letters have the same beads over them.
    press(&mut window, "Now the letters");
    press(&mut window, "Sound by sound");
    played(&mut window, &player, 2);
}

#[test]
fn which_sound_changed_can_be_listened_for_in_both_words() {
    let mut window = window("both-heard", spoken(&["01-goat.wav"]));
    let player = listening(&mut window);
    begin(&mut window, "mud mug");
    for _ in 0..3 {
        skip(&mut window);
    }
    press(&mut window, "Hear the word before");
    played(&mut window, &player, 1);
    press(&mut window, "Hear this word");
    played(&mut window, &player, 2);
    let sounds = player.sounds();
    assert_ne!(sounds[0], sounds[1]);
}

#[test]
fn a_parent_hears_the_words_before_the_lesson_and_records_one_after_another() {
    let folder = folder("pass");
    let mut window = window_over(folder.clone(), spoken(&["01-goat.wav", "24-fan.wav"]));
    let player = listening(&mut window);
    fill(&mut window, "Your own words", "goat fan");
    press(&mut window, "Hear and record these");
    until(&mut window, "the words", |w| says(w, "The word: goat"));
    key(&mut window, Key::B);
    until(&mut window, "the last bead", |w| says(w, "Bead 3: t, heard now"));
    key(&mut window, Key::Space);
    until(&mut window, "the next word", |w| says(w, "The word: fan"));
    assert!(says(&window, "Kept: goat.") && says(&window, "1 of 2 in your own voice."));
    key(&mut window, Key::Space);
    until(&mut window, "both", |w| says(w, "2 of 2 in your own voice."));
    key(&mut window, Key::Escape);
    assert!(says(&window, "Your own words"), "{:?}", texts(&window));
    for word in ["goat", "fan"] {
        let file = folder.join("models").join(format!("{word}.wav"));
        until(&mut window, "the file", |_| file.is_file());
    }
    // In the lesson the parent's own voice goes before the computer's.
    let before = player.sounds().len();
    press(&mut window, "Start these");
    press(&mut window, crate::bench::ONLY_TRY);
    until(&mut window, "the lesson", |w| says(w, "Add a bead"));
    assert!(says(&window, "Your own recording."));
    press(&mut window, "Hear it");
    played(&mut window, &player, before + 1);
    let own = soundbead_dsp::audio::decode(&folder.join("models").join("goat.wav")).unwrap();
    assert_eq!(player.sounds().last().unwrap().len(), own.clip.samples.len());
}

/// The recording is of bill, said for bell (recordings-demo/README.md says how it was made).
#[test]
fn a_doubtful_bead_opens_its_sound_beside_the_one_it_is_taken_for() {
    let mut window = window("close", spoken(&["21-bell.wav"]));
    let player = listening(&mut window);
    begin(&mut window, "bell");
    key(&mut window, Key::Num3);
    record(&mut window);
    press(&mut window, "Look at sound 2");
    assert!(
        says(&window, "Is it \u{201c}eh\u{201d}, or nearer to \u{201c}ih\u{201d}?"),
        "{:?}",
        texts(&window)
    );
    for mouth in ["eh", "ih"] {
        let name = format!("The mouth of {mouth} from the side and from the front");
        assert!(window.query_by_role_and_label(Role::Image, &name).is_some(), "{mouth}");
    }
    assert!(says(&window, "Peg opens the mouth more than pig."));
    let before = player.sounds().len();
    press(&mut window, "The model");
    played(&mut window, &player, before + 1);
    key(&mut window, Key::Num2);
    played(&mut window, &player, before + 2);
    key(&mut window, Key::Num3);
    played(&mut window, &player, before + 3);
    press(&mut window, "Hear ih");
    played(&mut window, &player, before + 4);
    let sounds = player.sounds();
    let heard = &sounds[before..];
    assert_eq!(heard[0], heard[2], "model, self, model again");
    assert!(heard[1] != heard[0] && heard[3] != heard[0]);
    key(&mut window, Key::Escape);
    assert!(!says(&window, "The mouth of"), "{:?}", texts(&window));
    assert!(
        window.query_by_label("Say it again").is_some(),
        "the lesson is still there"
    );
}

/// The recording is of lea, said for leaf (recordings-demo/README.md says how it was made).
#[test]
fn a_sound_that_was_perhaps_left_out_has_a_ring_and_stands_alone() {
    let mut window = window("left-out", spoken(&["14-leaf.wav"]));
    let player = listening(&mut window);
    begin(&mut window, "leaf");
    key(&mut window, Key::Num3);
    record(&mut window);
    press(&mut window, "Look at sound 3");
    assert!(
        says(&window, "Is the \u{201c}f\u{201d} there? Say it, and feel your mouth."),
        "{:?}",
        texts(&window)
    );
    let mouths = texts(&window).iter().filter(|t| t.starts_with("The mouth of")).count();
    assert_eq!(mouths, 1, "nothing was said in its place: {:?}", texts(&window));
    let before = player.sounds().len();
    press(&mut window, "The model");
    played(&mut window, &player, before + 1);
}
