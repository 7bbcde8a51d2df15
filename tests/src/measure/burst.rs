//! Bursts and voice onset times of the model voice's stops, by a plain look at the samples: no part of the ear or of the
//! voice is asked.
//!
//! Lisker and Abramson (1964), "A cross-language study of voicing in initial stops: acoustical measurements", Word 20,
//! 384-422, give for initial stops of American English in words said alone, means in ms: p 58, t 70, k 80; b 1, d 5, g 21
//! where the voice does not begin before the burst (from memory, not looked up).

use soundbead_data::Sound;
use soundbead_data::lexicon;
use soundbead_dsp::audio::RATE;
use soundbead_dsp::judgement::Speaking;
use soundbead_dsp::pitch;
use soundbead_dsp::say::ModelVoice;

/// The stops of English.
const STOPS: [Sound; 6] = [Sound::P, Sound::T, Sound::K, Sound::B, Sound::D, Sound::G];
/// The published means, in the order of [`STOPS`].
const PUBLISHED_MS: [f64; 6] = [58.0, 70.0, 80.0, 1.0, 5.0, 21.0];
/// Words that begin with each stop and a stressed vowel, our own choice, in the order of [`STOPS`].
const WORDS: [[&str; 5]; 6] = [
    ["pig", "peck", "pad", "pot", "pub"],
    ["tip", "ten", "tap", "tub", "top"],
    ["kid", "keg", "cab", "cub", "cop"],
    ["bib", "bed", "bat", "bug", "bog"],
    ["dig", "den", "dad", "dug", "dot"],
    ["gig", "get", "gap", "gum", "got"],
];
/// Samples of a step of 1 ms.
const STEP: usize = RATE as usize / 1000;
/// Strength of the pitch from which a frame is voice: half of its sound repeats from period to period.
const VOICE: f32 = 0.6;

/// Steps at the end in which one span and one period no longer fit.
const UNSEEN: usize = 16;

/// In ms from the start: where the burst is (the steepest rise of the treble), and where the voice begins after it. None
/// where there is no voice.
pub fn onset(samples: &[f32]) -> (f64, Option<f64>) {
    let treble = |step: usize| -> f32 {
        let step = &samples[step * STEP..(step + 1) * STEP];
        step.windows(2).map(|w| (w[1] - w[0]).powi(2)).sum()
    };
    let powers: Vec<f32> = (0..samples.len() / STEP).map(treble).collect();
    let loudest = powers.iter().copied().fold(0.0, f32::max);
    // Of 5 ms before; what lies 40 dB under the loudest is silence.
    let before = |step: usize| {
        powers[step.saturating_sub(5)..step]
            .iter()
            .copied()
            .fold(1e-4 * loudest, f32::max)
    };
    // A stop at the start of a word bursts within its first 0.25 s.
    let rise = |step: &usize| powers[*step] / before(*step);
    let burst = (0..powers.len().min(250))
        .max_by(|a, b| rise(a).total_cmp(&rise(b)))
        .unwrap_or(0);
    (burst as f64, voice_after(samples, burst))
}

/// The first time after `from` (ms) at which the samples repeat at a period of the voice and the low band is loud.
fn voice_after(samples: &[f32], from: usize) -> Option<f64> {
    let track = pitch::track(samples);
    let voiced = track.iter().filter(|p| p.hz.is_some() && p.strength > VOICE);
    let mut times = voiced.map(|p| f64::from(p.time_s) * 1e3);
    // A frame's middle is up to half a frame of 25 ms after the voice has begun.
    times.find(|t| *t + 5.0 >= from as f64).map(|t| t.max(from as f64))
}

/// How long a stop alone is voiced after its burst, in ms; of a voiceless one, all of its voice.
///
/// Every step of 1 ms counts whose 15 ms about it repeat at 130 to 300 Hz as a vowel's do.
pub fn vowel_ms(stop: Sound, samples: &[f32]) -> f64 {
    let voiceless = [Sound::P, Sound::T, Sound::K, Sound::CH].contains(&stop);
    let burst = if voiceless { 0 } else { onset(samples).0 as usize };
    let steps = samples.len() / STEP;
    // The last steps have nothing after them to be like; they count as the last that has.
    let seen = steps.saturating_sub(UNSEEN).max(burst + 1);
    let look = |step: usize| repeats(samples, step.min(seen - 1) * STEP) > VOICE;
    let voiced: Vec<bool> = (burst..steps).map(look).collect();
    voiced.iter().filter(|yes| **yes).count() as f64
}

/// The highest correlation of 7.5 ms from `at` on with what comes one period of a voice later.
fn repeats(samples: &[f32], at: usize) -> f32 {
    const SPAN: usize = 120;
    let lags = RATE as usize / 300..RATE as usize / 130;
    let like = |lag: usize| {
        let (a, b) = (samples.get(at..at + SPAN)?, samples.get(at + lag..at + lag + SPAN)?);
        let sum = |x: &[f32], y: &[f32]| x.iter().zip(y).map(|(x, y)| x * y).sum::<f32>();
        Some(sum(a, b) / (sum(a, a) * sum(b, b) + 1e-12).sqrt())
    };
    lags.filter_map(like).fold(0.0, f32::max)
}

/// Prints the voice onset times in words, and how long each stop alone is voiced.
///
/// # Errors
/// When the voice is broken.
pub fn run(voice: &ModelVoice) -> Result<(), String> {
    println!("voice onset after the burst, ms: mean of five words (Lisker and Abramson 1964, from memory)");
    for (stop, (words, published)) in STOPS.iter().zip(WORDS.iter().zip(PUBLISHED_MS)) {
        let times: Vec<f64> = words.iter().filter_map(|word| of_word(voice, word)).collect();
        let mean = times.iter().sum::<f64>() / times.len().max(1) as f64;
        println!("  {stop}  {mean:5.0}  ({published:.0})");
    }
    for stop in STOPS.iter().chain(&[Sound::CH, Sound::JH]) {
        let said = voice.sound(&[*stop], false).map_err(|e| e.to_string())?;
        let long = said.samples.len() / STEP;
        println!(
            "  {stop} alone: {long} ms, of them {:.0} ms voice after the burst",
            vowel_ms(*stop, &said.samples)
        );
    }
    Ok(())
}

fn of_word(voice: &ModelVoice, word: &str) -> Option<f64> {
    let way = lexicon::look_up(word)?.variants().next()?;
    let said = voice.word(&way, Speaking::Whole).ok()?;
    let (burst, begins) = onset(&said.samples);
    Some(begins? - burst)
}
