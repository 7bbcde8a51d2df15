//! Hearing and saying sounds in the Sounds view: files stand in for the microphone, and what is played is kept.

use std::path::{Path, PathBuf};
use std::time::Duration;

use egui::vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use soundbead::mic::MicFault;
use soundbead::mic::spoken::{KeepingPlayer, Pace, SpokenFiles};
use soundbead::ui::App;
use soundbead_data::Sound;
use soundbead_data::norm::{NORMS, VoiceKind};
use soundbead_dsp::synth::{VowelSound, vowel};

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("live-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a scratch folder can be made");
    folder
}

fn window(folder: &Path) -> Harness<'static, App> {
    let folder = folder.to_owned();
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    harness.state_mut().shared.go(soundbead::ui::MainView::Sounds);
    harness.run_steps(3);
    harness
}

/// Steps until the window says `text`, about as fast as speech, for at most a minute's worth of it.
fn until(window: &mut Harness<'static, App>, text: &str) {
    for _ in 0..3000 {
        window.step();
        if window.query_all_by_label_contains(text).next().is_some() {
            return;
        }
        std::thread::sleep(Duration::from_millis(16));
    }
    let said: Vec<String> = window
        .query_all_by_role(egui::Role::Label)
        .filter_map(|n| n.value())
        .filter(|v| v.contains("Hz") || v.contains("near") || v.contains("of 3"))
        .collect();
    panic!("the window never said: {text}; it says {said:?}");
}

/// A child a tenth smaller in every formant than the table's, saying these vowels with pauses, as a file.
fn said(folder: &Path, vowels: &[Sound], pitch: f32) -> PathBuf {
    let path = folder.join("said.wav");
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 16_000,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(&path, spec).expect("writable");
    for sound in vowels {
        let norm = NORMS
            .iter()
            .find(|n| n.voice == VoiceKind::Child && n.vowel == *sound)
            .expect("in the table");
        let hz = norm.means_hz.map(|f| f * 1.1);
        let samples = vowel(&VowelSound {
            from_hz: hz,
            to_hz: hz,
            pitch_hz: [pitch, pitch * 0.98],
            seconds: 1.4,
            damping: 1.0,
        });
        for x in samples.into_iter().chain(std::iter::repeat_n(0.0, 8_000)) {
            writer.write_sample((x * 20_000.0) as i16).expect("writable");
        }
    }
    writer.finalize().expect("writable");
    path
}

/// ee, ah, oo, then eh by a child of another size than the table's: after the three corners, eh is named as the vowel of
/// bed, and its hold is reported with its spread.
#[test]
fn three_corners_then_a_vowel_lands_where_it_should() {
    let folder = folder("corners");
    let file = said(&folder, &[Sound::IY, Sound::AA, Sound::UW, Sound::EH], 236.0);
    let mut window = window(&folder);
    let pace = Pace::EachRead(Duration::from_millis(20));
    window.state_mut().shared.mic = Box::new(SpokenFiles::new(vec![file]).paced(pace));
    window.get_by_label("Say a vowel").click();
    until(&mut window, "1 of 3");
    until(&mut window, "is there. Breathe, then comes the next.");
    until(&mut window, "ee: taken");
    until(&mut window, "2 of 3");
    until(&mut window, "3 of 3");
    until(&mut window, "All three are there.");
    until(&mut window, "Say any vowel and hold it");
    until(&mut window, "near /ɛ/ bed");
    until(&mut window, "For ee as in feet: ");
    until(&mut window, "steady, held 1.");
    until(&mut window, "within 1 %");
    window.get_by_label("Stop listening").click();
    window.run_steps(3);
    assert!(window.query_by_label("Say a vowel").is_some());
}

/// The same vowel three times is no set of corners, and that is said with what to do.
#[test]
fn three_times_the_same_vowel_is_refused_plainly() {
    let folder = folder("same");
    let file = said(&folder, &[Sound::IY, Sound::IY, Sound::IY], 250.0);
    let mut window = window(&folder);
    let pace = Pace::EachRead(Duration::from_millis(20));
    window.state_mut().shared.mic = Box::new(SpokenFiles::new(vec![file]).paced(pace));
    window.get_by_label("Say a vowel").click();
    until(&mut window, "did not come out as three different vowels");
    until(&mut window, "1 of 3");
}

#[test]
fn without_a_microphone_it_says_what_to_do() {
    let folder = folder("none");
    let mut window = window(&folder);
    let gone = SpokenFiles::new(Vec::new()).failing(Duration::ZERO, MicFault::NoMicrophone);
    window.state_mut().shared.mic = Box::new(gone);
    window.get_by_label("Say a vowel").click();
    until(&mut window, "No microphone was found");
}

#[test]
fn leaving_the_view_lets_go_of_the_microphone() {
    let folder = folder("leave");
    let file = said(&folder, &[Sound::IY], 250.0);
    let mut window = window(&folder);
    window.state_mut().shared.mic = Box::new(SpokenFiles::new(vec![file]));
    window.get_by_label("Say a vowel").click();
    window.run_steps(3);
    assert!(window.query_by_label("Stop listening").is_some());
    window.state_mut().shared.go(soundbead::ui::MainView::Plan);
    window.run_steps(3);
    window.state_mut().shared.go(soundbead::ui::MainView::Sounds);
    window.run_steps(3);
    assert!(window.query_by_label("Say a vowel").is_some());
}

/// Steps until something was played; how many samples it has, and which of them is the last above a thousandth of full scale.
fn played(window: &mut Harness<'static, App>, kept: &KeepingPlayer, before: usize) -> (usize, usize) {
    for _ in 0..500 {
        window.step();
        if kept.sounds().len() > before {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let sound = kept.sounds().get(before).cloned().unwrap_or_default();
    let last = sound.iter().rposition(|x| x.abs() > 0.001).unwrap_or(0);
    (sound.len(), last)
}

/// Every sound is heard alone; a stop is short, for a vowel behind it would be counted (common practice, no source).
#[test]
fn a_vowel_and_a_stop_are_heard_and_it_is_said_that_the_voice_is_a_computers() {
    let folder = folder("hear");
    let mut window = window(&folder);
    let kept = KeepingPlayer::default();
    window.state_mut().shared.playback = soundbead::playback::Playback::on(Box::new(kept.clone()));
    assert!(window.query_by_label("A computer voice.").is_some());
    window.get_by_label("Hear it").click();
    let (ee, _) = played(&mut window, &kept, 0);
    assert!(ee > 5_000, "ee was played: {ee}");
    window.get_by_label("Chart: Consonants").click();
    window.run_steps(3);
    assert!(window.query_by_label_contains("a child may count the vowel").is_some());
    window.get_by_label("Hear it").click();
    let (_, p) = played(&mut window, &kept, 1);
    assert!((100..4_000).contains(&p), "p is {p} samples long");
}

#[test]
fn a_parent_records_a_sound_and_hears_it_again() {
    let folder = folder("own");
    let file = said(&folder, &[Sound::IY], 220.0);
    let mut window = window(&folder);
    let kept = KeepingPlayer::default();
    window.state_mut().shared.playback = soundbead::playback::Playback::on(Box::new(kept.clone()));
    let pace = Pace::EachRead(Duration::from_millis(20));
    window.state_mut().shared.mic = Box::new(SpokenFiles::new(vec![file]).paced(pace));
    window.get_by_label("Hear your own recording").click();
    until(&mut window, "no recording of your own");
    window.get_by_label("Record your own").click();
    until(&mut window, "Your own recording can be heard");
    window.get_by_label("Hear your own recording").click();
    for _ in 0..500 {
        window.step();
        if !kept.sounds().is_empty() {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(kept.sounds().first().is_some_and(|x| x.len() > 8_000));
    assert!(folder.join("own-sounds").join("IY.wav").is_file());
}
