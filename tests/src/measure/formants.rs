//! How well formants of children's vowels are read, on vowels made for it.
//!
//! The tracker was set up on a vowel maker of its own (`tests/tests/audio_made`: another pulse, other bandwidths, formants
//! drawn about the means). Here everything is fresh: the program's synthesiser with its own glottal pulse and wandering
//! pitch, formants drawn as real talkers spread (the covariance of the published table), pitch that falls, damping drawn,
//! and room noise 30 dB under the vowel.

use soundbead_data::norm::{MEASURED_1952, NORMS, Norm, VoiceKind, means_1952};
use soundbead_data::sound::Sound;
use soundbead_dsp::audio::{Clip, RATE};
use soundbead_dsp::formant::{self, VowelName};
use soundbead_dsp::synth::{VowelSound, pitch_of, vowel};
use soundbead_dsp::voice::Span;

/// The seed of the printed figures; any other gives another fresh set.
pub const SEED: u64 = 20_261_125;

/// Errors of F1 and F2 as shares of what was made, sorted; a vowel that was not read counts as wholly wrong.
pub struct Errors {
    /// F1, then F2.
    pub sorted: [Vec<f32>; 2],
    /// Vowels that were not read.
    pub unread: usize,
}

impl Errors {
    /// The error that `share` (0 to 1) of the vowels stay under.
    pub fn at(&self, formant: usize, share: f32) -> f32 {
        let all = &self.sorted[formant];
        all[((all.len() - 1) as f32 * share).round() as usize]
    }
}

/// Makes and reads `each` vowels of every kind, in these bounds of pitch (Hz).
pub fn measure(seed: u64, each: usize, pitch: [f32; 2]) -> Errors {
    let mut random = Random(seed | 1);
    let mut errors = Errors {
        sorted: [Vec::new(), Vec::new()],
        unread: 0,
    };
    for norm in NORMS.iter().filter(|n| n.voice == VoiceKind::Child) {
        for _ in 0..each {
            let sound = drawn(norm, pitch, &mut random);
            let mut samples = vowel(&sound);
            noise(&mut samples, 30.0, &mut random);
            let span = Span {
                start: RATE as usize / 20,
                end: samples.len() - RATE as usize / 10,
            };
            let read = formant::vowel(&Clip { samples }, span, VoiceKind::Child).steady;
            errors.unread += usize::from(read.is_none());
            let got = read.unwrap_or([0.0; 3]);
            for ((sorted, got), made) in errors.sorted.iter_mut().zip(got).zip(sound.from_hz) {
                sorted.push((got / made - 1.0).abs());
            }
        }
    }
    errors.sorted.iter_mut().for_each(|e| e.sort_by(f32::total_cmp));
    errors
}

/// A vowel made at the means of 1952, and what it was called.
#[derive(Debug)]
pub struct NamedVowel {
    /// Whose means.
    pub voice: VoiceKind,
    /// The vowel that was made.
    pub vowel: Sound,
    /// What it was called; `None` where it was not read.
    pub name: Option<VowelName>,
}

impl NamedVowel {
    /// Called by its own name alone.
    pub fn outright(&self) -> bool {
        self.name == Some(VowelName::One(self.vowel))
    }

    /// Called by its own name, or said to lie between it and another.
    pub fn right(&self) -> bool {
        let one_of = |a: Sound, b: Sound| a == self.vowel || b == self.vowel;
        self.outright() || matches!(self.name, Some(VowelName::Between(a, b)) if one_of(a, b))
    }
}

/// Makes and names the ten vowels of 1952 in each of three voices.
pub fn named_1952() -> Vec<NamedVowel> {
    let voices = [VoiceKind::Man, VoiceKind::Woman, VoiceKind::Child];
    let each = voices
        .iter()
        .flat_map(|&voice| MEASURED_1952.iter().map(move |(vowel, _)| (voice, *vowel)));
    each.map(|(voice, vowel)| NamedVowel {
        voice,
        vowel,
        name: name_of_made(voice, vowel),
    })
    .collect()
}

/// What the vowel made at its means of 1952 is called. F4 was not measured then; it is the pooled table's.
fn name_of_made(voice: VoiceKind, sound: Sound) -> Option<VowelName> {
    let norm = NORMS.iter().find(|n| n.voice == voice && n.vowel == sound)?;
    let [f1, f2, f3] = means_1952(voice, sound)?;
    let from_hz = [f1, f2, f3, norm.means_hz[3].max(1.1 * f3)];
    let samples = vowel(&VowelSound {
        from_hz,
        to_hz: from_hz,
        pitch_hz: pitch_of(voice),
        seconds: 0.5,
        damping: 1.0,
    });
    let span = Span {
        start: 0,
        end: samples.len(),
    };
    formant::named(&formant::vowel(&Clip { samples }, span, voice).nearest)
}

/// Prints what the vowels of 1952 were called.
fn print_names() {
    let names = named_1952();
    let outright = names.iter().filter(|n| n.outright()).count();
    let right = names.iter().filter(|n| n.right()).count();
    println!();
    println!("vowels made at the means of 1952, 10 for each of three voices, and named:");
    println!(
        "{outright} outright, {} between it and a neighbor, {} wrongly",
        right - outright,
        names.len() - right
    );
    for wrong in names.iter().filter(|n| !n.right()) {
        println!("  {} {}: {:?}", wrong.voice, wrong.vowel.arpabet(), wrong.name);
    }
}

/// A talker's vowel: ln F1 to ln F3 from the normal distribution of the table, F4 as the mean.
fn drawn(norm: &Norm, pitch: [f32; 2], random: &mut Random) -> VowelSound {
    let [a, b, c, e, f, i] = norm.covariance.map(|x| x * 1e-4);
    // Cholesky's factor, row by row.
    let l11 = a.sqrt();
    let (l21, l31) = (b / l11, c / l11);
    let l22 = (e - l21 * l21).sqrt();
    let l32 = (f - l31 * l21) / l22;
    let l33 = (i - l31 * l31 - l32 * l32).max(0.0).sqrt();
    let z: [f32; 3] = std::array::from_fn(|_| random.normal().clamp(-2.0, 2.0));
    let d = [
        l11 * z[0],
        l21 * z[0] + l22 * z[1],
        l31 * z[0] + l32 * z[1] + l33 * z[2],
        0.0,
    ];
    let f: [f32; 4] = std::array::from_fn(|k| norm.means_hz[k] * d[k].exp());
    // A third formant is never below the second.
    let f = [f[0], f[1], f[2].max(f[1] * 1.08), f[3].max(f[2] * 1.1)];
    let start = pitch[0] + (pitch[1] - pitch[0]) * random.unit();
    VowelSound {
        from_hz: f,
        to_hz: f,
        pitch_hz: [start, (start * (0.90 + 0.15 * random.unit())).clamp(pitch[0], pitch[1])],
        seconds: 0.5,
        damping: 0.7 + 0.8 * random.unit(),
    }
}

fn noise(samples: &mut [f32], below_db: f32, random: &mut Random) {
    let power = samples.iter().map(|x| x * x).sum::<f32>() / samples.len() as f32;
    let gain = (power * 10f32.powf(-below_db / 10.0)).sqrt();
    samples.iter_mut().for_each(|x| *x += gain * random.normal());
}

/// Prints the figures, the whole range of pitch and its parts.
pub fn run(seed: u64) {
    println!("formants of children's vowels made for it (seed {seed}); error of F1 and F2 against what was made");
    println!("pitch          vowels  unread   F1 median  95th    F2 median  95th");
    for pitch in [[200.0, 320.0], [200.0, 240.0], [240.0, 280.0], [280.0, 320.0]] {
        let errors = measure(seed, 60, pitch);
        let figure = |k, share| 100.0 * errors.at(k, share);
        println!(
            "{:3.0} to {:3.0} Hz  {:6}  {:6}   {:7.1} %  {:5.1} %  {:7.1} %  {:5.1} %",
            pitch[0],
            pitch[1],
            errors.sorted[0].len(),
            errors.unread,
            figure(0, 0.5),
            figure(0, 0.95),
            figure(1, 0.5),
            figure(1, 0.95)
        );
    }
    print_names();
}

/// A small fixed generator (xorshift64*).
struct Random(u64);

impl Random {
    fn unit(&mut self) -> f32 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 40) as f32 / (1u64 << 24) as f32
    }

    /// Mean 0, variance 1 (Box and Muller 1958).
    fn normal(&mut self) -> f32 {
        let radius = (-2.0 * self.unit().max(1e-9).ln()).sqrt();
        radius * (std::f32::consts::TAU * self.unit()).cos()
    }
}
