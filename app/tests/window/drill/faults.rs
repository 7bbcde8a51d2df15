//! What goes wrong with a microphone or a file, said plainly, with nothing lost.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use egui::Key;
use egui_kittest::kittest::Queryable;
use soundbead::mic::MicFault;
use soundbead_dsp::audio;

use crate::bench::{
    attempts, begin, demo, fill, folder, for_the_grown_up, key, pick_juno, press, record, says, spoken, texts, until,
    window,
};

#[test]
fn no_microphone_and_a_busy_one_are_said_and_a_file_can_be_brought_in() {
    for (fault, said) in [
        (MicFault::NoMicrophone, "No microphone was found."),
        (MicFault::Busy, "Another program is using the device."),
        (MicFault::Refused, "The system does not let Soundbead listen."),
    ] {
        let mut window = window("nomic", spoken(&["01-goat.wav"]).failing(Duration::ZERO, fault));
        begin(&mut window, "goat");
        key(&mut window, Key::Space);
        until(&mut window, said, |w| says(w, said));
        press(&mut window, "Bring in a recording");
        let path = demo("01-goat.wav").display().to_string();
        fill(&mut window, "Path of the file", &path);
        window.run_steps(2);
        key(&mut window, Key::Enter);
        until(&mut window, "the result", |w| {
            w.query_by_label("Say it again").is_some()
        });
        for_the_grown_up(&mut window);
        assert!(says(&window, "The recording: 3 sounds"));
    }
}

#[test]
fn a_microphone_pulled_out_in_the_word_loses_nothing() {
    let mic = spoken(&["01-goat.wav"]).failing(Duration::from_millis(1750), MicFault::Unplugged);
    let mut window = window("unplugged", mic);
    pick_juno(&mut window);
    begin(&mut window, "goat");
    record(&mut window);
    assert!(
        says(&window, "The device went away.") && says(&window, "is kept."),
        "{:?}",
        texts(&window)
    );
    let attempts = attempts(&mut window);
    assert!(attempts.len() == 1 && attempts[0].recording.is_some());
}

#[test]
fn pulled_out_before_the_word_it_says_so_and_can_be_tried_again() {
    let mic = spoken(&["01-goat.wav"]).failing(Duration::from_millis(400), MicFault::Unplugged);
    let mut window = window("early", mic);
    begin(&mut window, "goat");
    key(&mut window, Key::Num3);
    key(&mut window, Key::Space);
    until(&mut window, "the fault", |w| says(w, "The device went away."));
    assert!(says(&window, "Beads on the string: 3"));
    window.state_mut().shared.mic = Box::new(spoken(&["01-goat.wav"]));
    record(&mut window);
    for_the_grown_up(&mut window);
    assert!(says(&window, "The recording: 3 sounds"));
}

#[test]
fn too_loud_and_too_soft_are_said_in_plain_words() {
    let mut loud = window("loud", spoken(&["32-cheese.wav"]));
    begin(&mut loud, "cheese");
    record(&mut loud);
    assert!(says(&loud, "That was too loud"), "{:?}", texts(&loud));
    let folder = folder("soft-file");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("soft.wav");
    let goat = audio::decode(&demo("01-goat.wav")).unwrap().clip.samples;
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 16_000,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let mut file = hound::WavWriter::create(&path, spec).unwrap();
    goat.iter().for_each(|x| file.write_sample(x * 0.02).unwrap());
    file.finalize().unwrap();
    let mut soft = window("soft", spoken(&[path.to_str().unwrap()]));
    begin(&mut soft, "goat");
    record(&mut soft);
    assert!(says(&soft, "That was very soft."), "{:?}", texts(&soft));
}

#[test]
fn when_nobody_speaks_it_says_how_to_go_on() {
    let mut window = window("nobody", spoken(&["34-nothing.wav"]));
    begin(&mut window, "goat");
    key(&mut window, Key::Space);
    until(&mut window, "patience", |w| says(w, "No voice was heard."));
    assert!(window.query_by_label("Record").is_some());
}

#[test]
fn a_loud_room_is_said_before_the_first_word() {
    let mut window = window("room", spoken(&["01-goat.wav"]).in_room(-40.0));
    begin(&mut window, "goat");
    key(&mut window, Key::Space);
    until(&mut window, "the room", |w| says(w, "The room is rather loud."));
}

/// A file let go over the window.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

#[test]
fn a_file_is_dropped_on_the_window_and_a_bad_one_is_named() {
    let mut window = window("drop", spoken(&["01-goat.wav"]));
    begin(&mut window, "hedge");
    let dropped = |name: &str| -> Arc<dyn egui::DroppedFile + Send + Sync> { Arc::new(Dropped(demo(name))) };
    window.input_mut().dropped_files.push(dropped("make.sh"));
    until(&mut window, "the fault", |w| says(w, "make.sh"));
    window.input_mut().dropped_files.push(dropped("35-hedge.flac"));
    until(&mut window, "the result", |w| {
        w.query_by_label("Say it again").is_some()
    });
    for_the_grown_up(&mut window);
    assert!(says(&window, "The recording: 3 sounds"));
    press(&mut window, "Undo");
    window.input_mut().dropped_files.push(dropped("gone.wav"));
    until(&mut window, "the fault", |w| says(w, "gone.wav"));
}

#[test]
fn a_folder_can_be_spoken_in_place_of_the_microphone() {
    let mut window = window("speak", spoken(&["34-nothing.wav"]));
    begin(&mut window, "goat");
    press(&mut window, "Microphone");
    until(&mut window, "the devices", |w| says(w, "34-nothing.wav"));
    fill(&mut window, "Path of the file", "/nowhere/at/all");
    window.run_steps(2);
    press(&mut window, "Speak from it");
    assert!(says(&window, "/nowhere/at/all:"), "{:?}", texts(&window));
}
