use std::path::{Path, PathBuf};
use std::time::Duration;

use soundbead_dsp::audio::{self, RATE};
use soundbead_dsp::voice::{self, Warning};

use super::*;
use crate::mic::spoken::{Pace, SpokenFiles};

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../recordings-demo")
        .join(name)
}

/// Readings of 16 ms: a window at 60 frames a second.
fn spoken(path: PathBuf) -> SpokenFiles {
    SpokenFiles::new(vec![path]).paced(Pace::EachRead(Duration::from_millis(16)))
}

fn record(mut mic: SpokenFiles, speaking: Speaking) -> RecordingOutcome {
    let mut recorder = Recorder::default();
    recorder.start(&mut mic, None, speaking);
    run(&mut recorder)
}

fn run(recorder: &mut Recorder) -> RecordingOutcome {
    let polls = 60 * 40;
    let outcome = (0..polls).find_map(|_| recorder.poll());
    outcome.expect("a recording ends within forty seconds")
}

fn take(outcome: RecordingOutcome) -> Take {
    match outcome {
        RecordingOutcome::Take(take) => *take,
        other => panic!("no take: {other:?}"),
    }
}

/// Writes samples as a WAV of 16 kHz and 16 bits into a folder that ends with the test's process.
fn wav(name: &str, samples: &[f32]) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("soundbead-recorder-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(&path, spec).unwrap();
    samples
        .iter()
        .for_each(|x| writer.write_sample((x * 32_767.0) as i16).unwrap());
    writer.finalize().unwrap();
    path
}

#[test]
fn the_whole_word_is_kept_and_the_rest_is_not() {
    // Words that begin or end softly, said whole, stretched and sound by sound.
    let said = [
        ("01-goat.wav", Speaking::Whole),
        ("02-shed.wav", Speaking::Whole),
        ("04-splash.wav", Speaking::Whole),
        ("05-muffin.wav", Speaking::Whole),
        ("08-shell.wav", Speaking::Stretched),
        ("09-fizz.wav", Speaking::Stretched),
        ("11-soap.wav", Speaking::Separate),
        ("13-fist.wav", Speaking::Separate),
        ("36-cloud.ogg", Speaking::Whole),
    ];
    for (name, speaking) in said {
        let whole = audio::decode(&demo(name)).unwrap();
        let wanted: f32 = voice::quality(&whole, &voice::find(&whole.clip)).speech_s;
        let got = take(record(spoken(demo(name)), speaking));
        assert_eq!(got.ended, EndedBy::Quiet, "{name}");
        assert!(
            (got.quality.speech_s - wanted).abs() < 0.06,
            "{name}: {} of {wanted} s",
            got.quality.speech_s
        );
        assert!(
            got.recording.clip.seconds() < f64::from(whole.clip.seconds() as f32 + BEFORE_S + AFTER_S),
            "{name}"
        );
        assert!(got.notes().is_empty(), "{name}: {:?}", got.notes());
    }
}

#[test]
fn another_rate_and_two_channels_make_the_same_take() {
    let got = take(record(spoken(demo("37-bean.wav")), Speaking::Whole));
    assert_eq!((got.recording.source_rate, got.recording.channels), (44_100, 2));
    let whole = audio::decode(&demo("37-bean.wav")).unwrap();
    let speech = |r: &Recording| voice::quality(r, &voice::find(&r.clip)).speech_s;
    let (found, wanted) = (speech(&got.recording), speech(&whole));
    assert!(
        (found - wanted).abs() < 0.06,
        "{found} of {wanted} s; {:?} {:?}",
        got.recording.mix,
        whole.mix
    );
}

#[test]
fn the_room_is_checked_once_and_a_loud_one_is_known() {
    let mut recorder = Recorder::default();
    let mut mic = spoken(demo("01-goat.wav")).in_room(-50.0);
    recorder.start(&mut mic, None, Speaking::Whole);
    let mut seen = Vec::new();
    while recorder.poll().is_none() {
        if seen.last() != Some(&recorder.stage()) {
            seen.push(recorder.stage());
        }
    }
    assert_eq!(seen, [Stage::Checking, Stage::Waiting, Stage::Hearing]);
    assert!(
        (recorder.room_dbfs().unwrap() + 50.0).abs() < 2.0,
        "{:?}",
        recorder.room_dbfs()
    );
    recorder.start(&mut mic, None, Speaking::Whole);
    while recorder.poll().is_none() {
        assert_ne!(recorder.stage(), Stage::Checking);
    }
    let loud = take(record(spoken(demo("01-goat.wav")).in_room(-38.0), Speaking::Whole));
    assert!(loud.room_dbfs.unwrap() > NOISY_ROOM_DBFS);
}

#[test]
fn too_soft_and_too_loud_are_said_in_plain_words() {
    let goat = audio::decode(&demo("01-goat.wav")).unwrap().clip.samples;
    let soft: Vec<f32> = goat.iter().map(|x| x * 0.02).collect();
    let soft = take(record(spoken(wav("soft.wav", &soft)).in_room(-85.0), Speaking::Whole));
    assert!(soft.quality.warnings.contains(&Warning::TooQuiet), "{:?}", soft.quality);
    assert_eq!(
        soft.notes(),
        ["That was very soft. Come a little closer and say it again."]
    );
    let loud = take(record(spoken(demo("32-cheese.wav")), Speaking::Whole));
    assert!(loud.quality.clipped);
    assert_eq!(
        loud.notes(),
        ["That was too loud, and the tops of the sound were cut off. Sit back a little."]
    );
}

#[test]
fn nobody_speaks_and_nothing_is_made_of_it() {
    for mut mic in [spoken(demo("34-nothing.wav")), spoken(wav("silent.wav", &[0.0; 1600]))] {
        let mut recorder = Recorder::default();
        recorder.start(&mut mic, None, Speaking::Whole);
        let outcome = run(&mut recorder);
        assert!(matches!(outcome, RecordingOutcome::NotHeard), "{outcome:?}");
        assert_eq!(recorder.stage(), Stage::Idle);
        assert!(recorder.follow().seconds() >= WAIT_S);
    }
}

#[test]
fn a_knock_before_the_word_is_not_the_word() {
    let goat = audio::decode(&demo("01-goat.wav")).unwrap().clip.samples;
    // A thud of 60 ms, then a second and a half of nothing: longer than the quiet that ends a word.
    let mut samples: Vec<f32> = (0..960)
        .map(|i| 0.6 * (1.0 - i as f32 / 960.0) * ((i * i) as f32).sin())
        .collect();
    samples.extend(vec![0.0; 24_000]);
    samples.extend(&goat);
    let got = take(record(spoken(wav("knock.wav", &samples)), Speaking::Whole));
    assert!(
        got.quality.speech_s > 0.3 && got.recording.clip.seconds() < 2.0,
        "{:?}",
        got.quality
    );
}

#[test]
fn stopping_by_hand_keeps_what_was_said() {
    let (mut recorder, mut mic) = (Recorder::default(), spoken(demo("03-milk.wav")));
    recorder.start(&mut mic, None, Speaking::Whole);
    while recorder.stage() != Stage::Hearing {
        assert!(recorder.poll().is_none());
    }
    for _ in 0..25 {
        recorder.poll();
    }
    let got = take(recorder.stop().unwrap());
    assert_eq!((got.ended.clone(), recorder.stage()), (EndedBy::ByHand, Stage::Idle));
    assert!(got.quality.speech_s > 0.2, "{:?}", got.quality);
    assert!(recorder.stop().is_none() && recorder.poll().is_none());
    recorder.start(&mut mic, None, Speaking::Whole);
    recorder.poll();
    recorder.cancel();
    assert!(recorder.poll().is_none());
}

#[test]
fn a_microphone_pulled_out_in_the_word_leaves_what_was_said() {
    for (name, format) in [("01-goat.wav", 16_000), ("37-bean.wav", 44_100)] {
        let mic = spoken(demo(name)).failing(Duration::from_millis(1300), MicFault::Unplugged);
        let got = take(record(mic, Speaking::Whole));
        assert_eq!(got.ended, EndedBy::Lost(MicFault::Unplugged), "{name}");
        assert_eq!(got.recording.source_rate, format);
        assert!(got.notes()[0].starts_with("The device went away.") && got.notes()[0].ends_with("is kept."));
        // Up to the very sample at which it was pulled.
        let heard = 1.3 - 0.9;
        assert!(
            got.recording.clip.seconds() > heard,
            "{name}: {}",
            got.recording.clip.seconds()
        );
    }
}

#[test]
fn what_is_wrong_with_the_microphone_is_told() {
    let faults = [
        MicFault::NoMicrophone,
        MicFault::Busy,
        MicFault::Refused,
        MicFault::Format("24 bit".into()),
    ];
    for fault in faults {
        let mic = spoken(demo("01-goat.wav")).failing(Duration::ZERO, fault.clone());
        let RecordingOutcome::Fault(told) = record(mic, Speaking::Whole) else {
            panic!("{fault:?} gave a recording")
        };
        assert_eq!(told, fault);
        assert!(
            told.to_string().ends_with('.') && told.to_string().len() < 120,
            "{told}"
        );
    }
    let mic = spoken(demo("01-goat.wav")).failing(Duration::from_millis(300), MicFault::Unplugged);
    assert!(matches!(
        record(mic, Speaking::Whole),
        RecordingOutcome::Fault(MicFault::Unplugged)
    ));
    assert!(matches!(
        record(SpokenFiles::new(Vec::new()), Speaking::Whole),
        RecordingOutcome::Fault(MicFault::NoMicrophone)
    ));
}

/// On a machine with no sound devices the real microphone must say so, and neither hang nor panic.
#[test]
fn the_machines_own_microphone_works_or_says_why_not() {
    let mut recorder = Recorder::default();
    recorder.start(&mut crate::mic::device::Devices, None, Speaking::Whole);
    for _ in 0..200 {
        if let Some(outcome) = recorder.poll() {
            assert!(matches!(outcome, RecordingOutcome::Fault(_)), "{outcome:?}");
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    recorder.cancel();
    assert_eq!(recorder.stage(), Stage::Idle);
}
