//! The microphone and the loudspeaker as the program hears and plays them, without a window. For `tests/microphone.sh`.
//!
//! ```text
//! microphone list                       each device: its id, a tab, its name
//! microphone hear SECONDS FILE [ID]     what it sends, as a WAV of its own rate and channels; its format is printed
//! microphone play FILE                  plays a recording on the system's loudspeaker
//! microphone compare PLAYED HEARD       how much of what was heard is not what was played, in dB
//! ```

use std::path::Path;
use std::process::ExitCode;
use std::thread::sleep;
use std::time::{Duration, Instant};

use soundbead::mic::device::Devices;
use soundbead::mic::speaker::Speaker;
use soundbead::mic::{Flow, Microphone, Player, Playing, StreamFormat};
use soundbead_dsp::audio;

type Done = Result<(), String>;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let done = match args[..] {
        ["list"] => list(),
        ["hear", seconds, file] => hear(seconds, Path::new(file), None),
        ["hear", seconds, file, id] => hear(seconds, Path::new(file), Some(id)),
        ["play", file] => play(Path::new(file)),
        ["compare", played, heard] => compare(Path::new(played), Path::new(heard)),
        _ => Err("microphone list | hear SECONDS FILE [ID] | play FILE | compare PLAYED HEARD".into()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(line) => {
            eprintln!("microphone: {line}");
            ExitCode::from(2)
        }
    }
}

fn list() -> Done {
    let told = Devices.look().recv().map_err(|e| e.to_string())?;
    for device in told.map_err(|e| e.to_string())? {
        println!("{}\t{}", device.id, device.name);
    }
    Ok(())
}

/// As the window reads it: every 16 ms, a frame at 60 a second.
fn hear(seconds: &str, file: &Path, device: Option<&str>) -> Done {
    let seconds: f32 = seconds
        .parse()
        .map_err(|_| format!("`{seconds}` is no number of seconds"))?;
    let mut capture = Devices.open(device);
    let (mut samples, mut opened) = (Vec::new(), None);
    let begun = Instant::now();
    loop {
        match capture.read(&mut samples) {
            Flow::Opening if begun.elapsed() > Duration::from_secs(10) => return Err("it did not open".into()),
            Flow::Opening => {}
            Flow::Running(format) => {
                opened.get_or_insert((format, Instant::now()));
            }
            Flow::Lost(fault) => return Err(fault.to_string()),
        }
        if let Some((format, since)) = opened
            && since.elapsed().as_secs_f32() > seconds
        {
            println!(
                "{} Hz, {} channels, {} bits, {} frames, {} missed",
                format.rate,
                format.channels,
                format.bits.map_or("float".into(), |bits| bits.to_string()),
                samples.len() / usize::from(format.channels),
                capture.missed()
            );
            return write(file, format, &samples);
        }
        sleep(Duration::from_millis(16));
    }
}

fn write(file: &Path, format: StreamFormat, samples: &[f32]) -> Done {
    let spec = hound::WavSpec {
        channels: format.channels,
        sample_rate: format.rate,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let write = || {
        let mut writer = hound::WavWriter::create(file, spec)?;
        samples.iter().try_for_each(|x| writer.write_sample(*x))?;
        writer.finalize()
    };
    write().map_err(|e| e.to_string())
}

fn play(file: &Path) -> Done {
    let recording = audio::decode(file).map_err(|e| e.to_string())?;
    let mut speaker = Speaker::default();
    speaker.play(&recording.clip.samples);
    loop {
        match speaker.playing() {
            Playing::Nothing => return Ok(()),
            Playing::At(_) => sleep(Duration::from_millis(16)),
            Playing::Failed(fault) => return Err(fault.to_string()),
        }
    }
}

/// Both as the ear hears them: one channel, 16 kHz. The one is laid on the other where they agree best, to a part of a sample:
/// sound servers and resamplers delay by any time, and half a sample between two equal sounds looks like a tenth of noise.
fn compare(played: &Path, heard: &Path) -> Done {
    let read = |path| audio::decode(path).map(|r| r.clip.samples).map_err(|e| e.to_string());
    let (played, heard) = (read(played)?, read(heard)?);
    let most = heard.len().saturating_sub(played.len());
    let dot =
        |played: &[f32], at: usize| -> f64 { played.iter().zip(&heard[at..]).map(|(a, b)| f64::from(a * b)).sum() };
    // Every eighth place first, then every one about the best: the sound has little above 1 kHz to lose between them.
    let best = |all: &mut dyn Iterator<Item = usize>| {
        all.max_by(|a, b| dot(&played, *a).total_cmp(&dot(&played, *b)))
            .unwrap_or(0)
    };
    let near = best(&mut (0..=most).step_by(8));
    let at = best(&mut (near.saturating_sub(8)..=(near + 8).min(most)));
    let agree = |part: &i16| dot(&delayed(&played, f64::from(*part) / f64::from(PARTS)), at);
    let best_part = |all: &mut dyn Iterator<Item = i16>| {
        let told = all.map(|part| (agree(&part), part));
        told.max_by(|a, b| a.0.total_cmp(&b.0)).map_or(0, |(_, part)| part)
    };
    // Quarters first, as above.
    let quarter = best_part(&mut (-PARTS..=PARTS).step_by(8));
    let part = best_part(&mut (quarter - 7..=quarter + 7));
    let played = delayed(&played, f64::from(part) / f64::from(PARTS));
    let energy: f64 = played.iter().map(|a| f64::from(a * a)).sum();
    let gain = dot(&played, at) / energy.max(f64::MIN_POSITIVE);
    let off = |(a, b): (&f32, &f32)| (f64::from(*b) - gain * f64::from(*a)).powi(2);
    let rest: f64 = played.iter().zip(&heard[at..]).map(off).sum();
    println!(
        "at {:.3} s, {:.1} dB louder, {:.1} dB of it something else",
        at as f64 / f64::from(audio::RATE),
        20.0 * gain.abs().max(1e-9).log10(),
        10.0 * (rest / (gain * gain * energy).max(f64::MIN_POSITIVE))
            .max(1e-12)
            .log10()
    );
    Ok(())
}

/// Into how many parts a sample is divided when two sounds are laid on each other: what a 32nd leaves of a tone of 1 kHz is
/// 2 pi / 16 / 64, -44 dB at most.
const PARTS: i16 = 32;

/// Samples that a delay by a part of one looks at, on either side.
const REACH: i32 = 16;

/// The same sound later by a part of a sample: a sinc under Hann's window (Oppenheim and Schafer, Discrete-Time Signal
/// Processing, the ideal delay).
fn delayed(samples: &[f32], by: f64) -> Vec<f32> {
    use std::f64::consts::PI;
    let weight = |offset: i32| {
        let x = f64::from(offset) - by;
        let sinc = if x.abs() < 1e-9 { 1.0 } else { (PI * x).sin() / (PI * x) };
        sinc * (PI * x / (2.0 * f64::from(REACH + 1))).cos().powi(2)
    };
    let weights: Vec<(i32, f64)> = (-REACH..=REACH).map(|offset| (offset, weight(offset))).collect();
    let one = |i: usize| {
        let near = weights.iter().filter_map(|(offset, w)| {
            let at = i.checked_add_signed(-(*offset as isize))?;
            Some(w * f64::from(*samples.get(at)?))
        });
        near.sum::<f64>() as f32
    };
    (0..samples.len()).map(one).collect()
}
