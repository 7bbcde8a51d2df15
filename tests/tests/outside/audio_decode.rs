//! Decoding: the files of reference/audio (made by sox and ffmpeg, see reference/audio_files.sh), files made here, and
//! every kind of bad input. What each file holds is known from the script: 0.125 s of 440 Hz, then 0.125 s of 1000 Hz,
//! both at 0.4 of full scale.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use soundbead_dsp::audio::{self, AudioError, AudioFault, Cache, Mix, Recording, SourceRecording};

fn reference(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/audio").join(name)
}

/// A folder of this test run's own.
fn scratch(name: &str) -> PathBuf {
    let dir = std::env::temp_dir().join(format!("soundbead-audio-{}", std::process::id()));
    std::fs::create_dir_all(&dir).expect("a folder for test files");
    dir.join(name)
}

/// A WAV by hand (RIFF/WAVE as in the 1991 Multimedia Programming Interface): the format tag and the data as given.
fn wav(tag: u16, channels: u16, rate: u32, bits: u16, data: &[u8]) -> Vec<u8> {
    let block = channels * bits / 8;
    let mut out = b"RIFF".to_vec();
    out.extend((36 + data.len() as u32).to_le_bytes());
    out.extend(b"WAVEfmt ");
    out.extend(16u32.to_le_bytes());
    out.extend(tag.to_le_bytes());
    out.extend(channels.to_le_bytes());
    out.extend(rate.to_le_bytes());
    out.extend((rate * u32::from(block)).to_le_bytes());
    out.extend(block.to_le_bytes());
    out.extend(bits.to_le_bytes());
    out.extend(b"data");
    out.extend((data.len() as u32).to_le_bytes());
    out.extend(data);
    out
}

fn wav16(channels: u16, rate: u32, samples: &[f32]) -> Vec<u8> {
    let data: Vec<u8> = samples
        .iter()
        .flat_map(|x| ((x * 32_767.0) as i16).to_le_bytes())
        .collect();
    wav(1, channels, rate, 16, &data)
}

fn sine(hz: f64, rate: u32, seconds: f64) -> Vec<f32> {
    let n = (f64::from(rate) * seconds) as usize;
    (0..n)
        .map(|i| (0.4 * (std::f64::consts::TAU * hz * i as f64 / f64::from(rate)).sin()) as f32)
        .collect()
}

/// Amplitude of one frequency in a stretch of samples at 16 kHz.
fn amplitude(x: &[f32], hz: f64) -> f64 {
    let turn = |i: usize| std::f64::consts::TAU * hz * i as f64 / 16_000.0;
    let re: f64 = x.iter().enumerate().map(|(i, v)| f64::from(*v) * turn(i).cos()).sum();
    let im: f64 = x.iter().enumerate().map(|(i, v)| f64::from(*v) * turn(i).sin()).sum();
    2.0 * re.hypot(im) / x.len() as f64
}

/// Both tones at their times, each at 0.4 within `slack`, and hardly anything of the one in the other's half.
fn check_tones(name: &str, rec: &Recording, delay_s: f64, slack: f64) {
    let x = &rec.clip.samples;
    let at = |s: f64| ((s + delay_s) * 16_000.0) as usize;
    // 50 ms: 22 periods of 440 Hz and 50 of 1000 Hz.
    let (first, second) = (&x[at(0.03)..at(0.08)], &x[at(0.16)..at(0.21)]);
    for (hz, own, other) in [(440.0, first, second), (1000.0, second, first)] {
        let (yes, no) = (amplitude(own, hz), amplitude(other, hz));
        assert!(
            (yes - 0.4).abs() < slack && no < 0.04,
            "{name}: {hz} Hz at {yes:.4}, and {no:.4} where it is not"
        );
    }
}

fn decode(name: &str) -> Recording {
    audio::decode(&reference(name)).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn every_lossless_kind_is_read_exactly() {
    for (name, rate, channels, container) in [
        ("u8_8000.wav", 8_000, 1, "WAV"),
        ("s16_16000.wav", 16_000, 1, "WAV"),
        ("s24_11025.wav", 11_025, 1, "WAV"),
        ("s32_22050.wav", 22_050, 1, "WAV"),
        ("f32_24000.wav", 24_000, 1, "WAV"),
        ("f64_48000.wav", 48_000, 1, "WAV"),
        ("s16_44100_stereo.flac", 44_100, 2, "FLAC"),
        ("s24_96000.flac", 96_000, 1, "FLAC"),
    ] {
        let rec = decode(name);
        assert_eq!(
            (rec.source_rate, rec.channels, rec.container),
            (rate, channels, container),
            "{name}"
        );
        assert!(
            !rec.truncated && !rec.clipped,
            "{name}: truncated {}, clipped {}",
            rec.truncated,
            rec.clipped
        );
        // Each half is rounded to whole samples of the source.
        assert!(
            (rec.clip.seconds() - 0.25).abs() <= 2.0 / f64::from(rate),
            "{name}: {} s",
            rec.clip.seconds()
        );
        check_tones(name, &rec, 0.0, if name.starts_with("u8") { 0.01 } else { 0.002 });
    }
}

/// A channel mask with its top bit set ("all speakers": SPEAKER_ALL, 0x80000000, in Microsoft's ksmedia.h; from memory)
/// is more than the library reads. That is said of the file; it is no failure of the program.
#[test]
fn a_mask_that_names_all_speakers_is_refused_in_words() {
    let mut bytes = std::fs::read(reference("s24_11025.wav")).unwrap();
    // The extensible format, whose mask lies at byte 40.
    assert_eq!(bytes[20..22], [0xfe, 0xff]);
    bytes[40..44].copy_from_slice(&0x8000_0000u32.to_le_bytes());
    assert!(matches!(bytes_fault(bytes, "wav"), AudioFault::Header("WAV", _)));
}

#[test]
fn every_lossy_kind_is_read() {
    for (name, rate, container) in [
        ("44100.mp3", 44_100, "MP3"),
        ("22050.ogg", 22_050, "Ogg"),
        ("48000.m4a", 48_000, "MP4"),
    ] {
        let rec = decode(name);
        assert_eq!(
            (rec.source_rate, rec.channels, rec.container),
            (rate, 1, container),
            "{name}"
        );
        assert!(!rec.truncated && !rec.clipped, "{name}");
        // Coders pad by up to two of their frames.
        let seconds = rec.clip.seconds();
        assert!((0.245..0.36).contains(&seconds), "{name}: {seconds} s");
        let delay = if container == "MP4" { 1_024.0 / 48_000.0 } else { 0.0 };
        check_tones(name, &rec, delay, 0.03);
    }
}

fn bytes_fault(bytes: Vec<u8>, hint: &str) -> AudioFault {
    let e: AudioError = audio::decode_bytes(bytes, hint).expect_err("must be refused");
    let line = e.to_string();
    assert!(
        !line.contains('\n') && line.len() > 20 && line.contains("; "),
        "no plain line: {line}"
    );
    println!("{line}");
    e.fault
}

#[test]
fn bad_input_is_named_for_what_it_is() {
    let good = wav16(1, 16_000, &sine(440.0, 16_000, 0.5));
    assert_eq!(bytes_fault(vec![], "wav"), AudioFault::Empty);
    assert_eq!(
        bytes_fault(b"once upon a time there was a moth\n".repeat(40), "wav"),
        AudioFault::NotAudio
    );
    assert_eq!(bytes_fault(vec![0; 5_000], "wav"), AudioFault::NotAudio);
    assert_eq!(
        bytes_fault(b"\x89PNG\r\n\x1a\n and so on and on".to_vec(), "wav"),
        AudioFault::NotAudio
    );
    for n in [4, 12, 20, 30] {
        assert!(
            matches!(bytes_fault(good[..n].to_vec(), "wav"), AudioFault::Header("WAV", _)),
            "{n} bytes of a WAV"
        );
    }
    assert_eq!(bytes_fault(good[..44].to_vec(), "wav"), AudioFault::Truncated(0.0));
    assert_eq!(bytes_fault(wav16(1, 16_000, &[]), "wav"), AudioFault::NoSamples);
    assert!(matches!(
        bytes_fault(wav16(1, 16_000, &[0.1; 100]), "wav"),
        AudioFault::TooShort(_)
    ));
    assert_eq!(
        bytes_fault(wav16(1, 4_000, &[0.1; 4_000]), "wav"),
        AudioFault::Rate(4_000)
    );
    let float = |bad: f32| {
        let mut x = sine(440.0, 16_000, 0.5);
        x[4_000] = bad;
        wav(
            3,
            1,
            16_000,
            32,
            &x.iter().flat_map(|v| v.to_le_bytes()).collect::<Vec<_>>(),
        )
    };
    for bad in [f32::NAN, f32::INFINITY, f32::NEG_INFINITY] {
        assert_eq!(bytes_fault(float(bad), "wav"), AudioFault::NotFinite(0.25));
    }
    assert_eq!(bytes_fault(float(3e6), "wav"), AudioFault::OutOfScale(3e6));
    assert!(
        matches!(audio::decode(&reference("48000.opus")).unwrap_err().fault, AudioFault::Codec(name) if name == "Opus")
    );
    assert!(matches!(
        audio::decode(&reference("adpcm.wav")).unwrap_err().fault,
        AudioFault::Codec(_)
    ));
}

#[test]
fn bad_paths_are_named_for_what_they_are() {
    let fault = |p: &Path| audio::decode(p).expect_err("must be refused").fault;
    assert_eq!(fault(Path::new("no/such/moth.wav")), AudioFault::Missing);
    assert_eq!(fault(&std::env::temp_dir()), AudioFault::Folder);
    #[cfg(unix)]
    assert_eq!(fault(Path::new("/dev/null")), AudioFault::NotAFile);
    let odd = Path::new("two\nlines.wav");
    assert!(!audio::decode(odd).unwrap_err().to_string().contains('\n'));
}

/// A body cut short is used as far as it goes, and said to be short; a scrap is refused.
#[test]
fn cut_off_files_give_what_is_left() {
    let good = wav16(1, 16_000, &sine(440.0, 16_000, 1.0));
    let rec = audio::decode_bytes(good[..good.len() / 2].to_vec(), "wav").expect("half a second is left");
    assert!(
        rec.truncated && (0.4..=0.5).contains(&rec.clip.seconds()),
        "{} s",
        rec.clip.seconds()
    );
    assert!(matches!(
        bytes_fault(good[..1_000].to_vec(), "wav"),
        AudioFault::Truncated(_)
    ));
    for name in ["s16_44100_stereo.flac", "22050.ogg", "48000.m4a"] {
        let whole = std::fs::read(reference(name)).expect("the reference file is there");
        for share in [2, 3, 4, 6] {
            let n = whole.len() * share / 8;
            match audio::decode_bytes(whole[..n].to_vec(), "") {
                Ok(rec) => assert!(
                    rec.truncated || rec.clip.seconds() > 0.24,
                    "{name}: {n} bytes pass as whole"
                ),
                Err(e) => println!("{name}, {n} bytes: {e}"),
            }
        }
    }
}

/// A file of 30 minutes is refused by its header; one that hides its length is refused once the limit is passed.
#[test]
fn long_files_are_refused_early() {
    let path = scratch("long.wav");
    std::fs::write(&path, wav16(1, 16_000, &vec![0.0; 16_000 * 60 * 30])).expect("room for a long file");
    let e = audio::decode(&path).expect_err("30 minutes");
    assert!(
        matches!(e.fault, AudioFault::TooLong(Some(s), limit) if s == 1_800.0 && limit == audio::MAX_SECONDS),
        "{e}"
    );
    let source = SourceRecording::open(&path).expect("30 minutes may be cut from");
    assert!(source.whole().is_err() && source.cut(1_799.0, 1_800.0).is_ok());
    let mut hidden = std::fs::read(&path).expect("just written");
    hidden[4..8].fill(0xff);
    hidden[40..44].fill(0xff);
    assert!(matches!(bytes_fault(hidden, "wav"), AudioFault::TooLong(..)));
    let _ = std::fs::remove_file(&path);
}

/// Many channels lie side by side until they are mixed: they are read for less time, and refused by the header.
#[test]
fn many_channels_are_read_for_less_time() {
    // Ten minutes of eight channels at 8 kHz, one byte a sample: 38 MB.
    let frames = 8_000 * 600;
    let mut file = wav16(8, 8_000, &[]);
    let data = (frames * 8u32).to_le_bytes();
    // Bytes a second, a frame and bits a sample in the format chunk, then the length of the data (RIFF WAVE, PCM).
    file[28..32].copy_from_slice(&64_000u32.to_le_bytes());
    file[32..36].copy_from_slice(&[8, 0, 8, 0]);
    file[40..44].copy_from_slice(&data);
    file[4..8].copy_from_slice(&(36 + frames * 8).to_le_bytes());
    file.resize(44 + frames as usize * 8, 128);
    let fault = bytes_fault(file, "wav");
    assert_eq!(
        fault,
        AudioFault::TooManyLong(8, audio::MAX_CHANNEL_SECONDS / 8.0),
        "{fault}"
    );
    assert!(
        fault.to_string().contains("8 channels") && fault.to_string().contains("mono"),
        "{fault}"
    );
}

#[test]
fn channels_become_one_sensibly() {
    let a = sine(440.0, 16_000, 0.5);
    let two = |f: &dyn Fn(f32) -> f32| -> Recording {
        let x: Vec<f32> = a.iter().flat_map(|&v| [v, f(v)]).collect();
        audio::decode_bytes(wav16(2, 16_000, &x), "wav").expect("stereo")
    };
    let level = |r: &Recording| amplitude(&r.clip.samples[1_600..6_400], 440.0);
    let same = two(&|v| v);
    assert_eq!(
        same.mix,
        Mix::Average {
            used: vec![0, 1],
            turned: vec![]
        }
    );
    assert!((level(&same) - 0.4).abs() < 0.002);
    // A dead channel must not halve the level, opposite phase must not cancel, an offset must not count as sound.
    for (f, mix) in [
        (&(|_| 0.0f32) as &dyn Fn(f32) -> f32, Mix::One(0)),
        (
            &|v| -v,
            Mix::Average {
                used: vec![0, 1],
                turned: vec![1],
            },
        ),
        (&|_| 0.5, Mix::One(0)),
    ] {
        let rec = two(f);
        assert_eq!(rec.mix, mix);
        assert!((level(&rec) - 0.4).abs() < 0.002, "{mix:?}: {}", level(&rec));
    }
    let six: Vec<f32> = a.iter().flat_map(|&v| [v; 6]).collect();
    assert!((level(&audio::decode_bytes(wav16(6, 16_000, &six), "wav").expect("six channels")) - 0.4).abs() < 0.002);
}

#[test]
fn clipping_is_seen_at_the_sources_own_rate() {
    for (rate, bits) in [(8_000u32, 8u16), (44_100, 16), (96_000, 16)] {
        let make = |gain: f32| -> Recording {
            let x: Vec<f32> = sine(220.0, rate, 0.5)
                .iter()
                .map(|v| (v * gain).clamp(-1.0, 1.0))
                .collect();
            let data: Vec<u8> = match bits {
                8 => x.iter().map(|v| (128.0 + v * 127.0).round() as u8).collect(),
                _ => x.iter().flat_map(|v| ((v * 32_767.0) as i16).to_le_bytes()).collect(),
            };
            audio::decode_bytes(wav(1, 1, rate, bits, &data), "wav").expect("a tone")
        };
        // 0.4 times 2.5 just reaches full scale and is whole; times 5 is cut off at half its height.
        assert!(
            !make(0.5).clipped && !make(2.5).clipped,
            "{rate} Hz, {bits} bit: a whole tone called clipped"
        );
        let cut = make(5.0);
        assert!(cut.clipped, "{rate} Hz, {bits} bit: a cut tone not seen");
        let share = cut.clipped_at.iter().map(|r| r.len()).sum::<usize>() as f64 / cut.clip.samples.len() as f64;
        // Two thirds of a sine lie beyond half its height.
        assert!((0.5..0.8).contains(&share), "{rate} Hz: {share:.2} of the time");
    }
}

#[test]
fn words_are_cut_from_a_long_file_that_is_decoded_once() {
    let path = scratch("lesson.wav");
    let mut x = sine(440.0, 44_100, 2.0);
    x.extend(sine(1_000.0, 44_100, 2.0));
    std::fs::write(&path, wav16(1, 44_100, &x)).expect("room for four seconds");
    let cache = Cache::default();
    let first = cache.get(&path).expect("a lesson");
    let word = first.cut(1.9, 2.15).expect("a range");
    assert_eq!(word.clip.samples.len(), 4_000);
    assert!((amplitude(&word.clip.samples[2_000..3_600], 1_000.0) - 0.4).abs() < 0.005);
    std::fs::remove_file(&path).expect("it was there");
    assert!(
        Arc::ptr_eq(&first, &cache.get(&path).expect("still held")),
        "decoded twice"
    );
    for (a, b) in [
        (-1.0, 1.0),
        (1.0, 1.0),
        (2.0, 1.0),
        (f64::NAN, 1.0),
        (0.0, f64::INFINITY),
    ] {
        assert!(
            matches!(first.cut(a, b).unwrap_err().fault, AudioFault::Range(..)),
            "{a} to {b}"
        );
    }
    assert!(matches!(
        first.cut(3.0, 9.0).unwrap_err().fault,
        AudioFault::Outside(..)
    ));
    assert!(matches!(
        first.cut(5.0, 6.0).unwrap_err().fault,
        AudioFault::Outside(..)
    ));
    assert!(matches!(
        first.cut(1.0, 1.001).unwrap_err().fault,
        AudioFault::TooShort(_)
    ));
    assert!(cache.get(Path::new("no/such/file.wav")).is_err());
}
