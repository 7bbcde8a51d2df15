//! Stretches of recordings put together into one sound.
//!
//! In a voiced sound the second side is moved by up to half a period to where it is most like the first, and the two
//! cross over two periods, so that periods meet periods. Levels on both sides are brought together.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::ops::Range;

use soundbead_data::sound::Sound;

use super::bank::{Bank, Phone};
use super::choose::{BankStretch, Class};
use super::{Made, ModelSpeech, SayError};

/// Samples over which two sides cross, in a voiced sound (10 ms), a hiss (6 ms) and a closure (3 ms).
const CROSS: [usize; 3] = [160, 96, 48];
/// How far the second side may be moved, in samples: half a period at 180 Hz, the voice's lowest.
const REACH: isize = 44;
/// Samples over which the levels of two sides are brought together (25 ms), and over which they are taken.
const RAMP: usize = 400;
const LEVEL: usize = 160;
/// Most that a level is changed at a join, as a factor.
const MOST_GAIN: f32 = 1.8;

/// What is known of a join: how long the sides cross and whether the second is moved.
struct Crossfade {
    cross: usize,
    reach: isize,
}

impl Crossfade {
    fn of(sound: Option<Sound>, border: bool) -> Crossfade {
        let (cross, reach) = match sound.map(Class::of) {
            Some(Class::Hiss) => (CROSS[1], 0),
            Some(Class::Stop) | None => (CROSS[2], 0),
            Some(_) if border => (CROSS[1], 0),
            Some(_) => (CROSS[0], REACH),
        };
        Crossfade { cross, reach }
    }
}

/// A stretch with its recording's samples; `from..to` of them are meant.
struct JoinPiece<'a> {
    samples: &'a [f32],
    phones: Vec<Phone>,
    from: usize,
    to: usize,
    stretch: BankStretch,
}

/// Puts the stretches together.
///
/// # Errors
/// A recording of the bank that cannot be decoded.
pub fn join(bank: &Bank, stretches: &[BankStretch]) -> Result<ModelSpeech, SayError> {
    let mut recordings: HashMap<usize, Vec<f32>> = HashMap::new();
    for stretch in stretches {
        let number = bank.phone(stretch.first).item;
        if let Entry::Vacant(place) = recordings.entry(number) {
            place.insert(bank.samples(bank.item(number))?);
        }
    }
    let pieces: Vec<JoinPiece> = stretches
        .iter()
        .map(|s| piece(bank, *s, &recordings[&bank.phone(s.first).item]))
        .collect();
    let mut built = JoinedSpeech::default();
    for (number, piece) in pieces.iter().enumerate() {
        built.add(piece, number + 1 == pieces.len());
    }
    Ok(built.said(stretches.len()))
}

fn piece<'a>(bank: &Bank, stretch: BankStretch, samples: &'a [f32]) -> JoinPiece<'a> {
    let phones: Vec<Phone> = (stretch.first..=stretch.last)
        .map(|number| *bank.phone(number))
        .collect();
    let (first, last) = (phones[0], phones[phones.len() - 1]);
    let silent = |phone: &Phone| phone.sound.is_none();
    let from = match (silent(&first), stretch.from_start) {
        (true, _) => 0,
        (_, true) => first.start,
        _ => first.join,
    };
    let to = match (silent(&last) && stretch.last != stretch.first, stretch.to_end) {
        (true, _) => samples.len(),
        (_, true) => last.end,
        _ => last.join,
    };
    JoinPiece {
        samples,
        phones,
        from: from.min(samples.len()),
        to: to.clamp(from.min(samples.len()), samples.len()),
        stretch,
    }
}

/// What there is so far.
#[derive(Default)]
struct JoinedSpeech {
    samples: Vec<f32>,
    /// Of each phone, silences too, where it begins and ends.
    phones: Vec<Range<usize>>,
    /// What lies after the last sample in the recording it is from.
    beyond: Vec<f32>,
}

impl JoinedSpeech {
    fn add(&mut self, piece: &JoinPiece, last: bool) {
        let (from, gain) = match self.samples.is_empty() {
            true => (piece.from, 1.0),
            false => self.seam(piece),
        };
        // The place of a sample of the recording in what is built.
        let built = self.samples.len();
        let base = built as isize - from as isize;
        self.samples
            .extend_from_slice(&piece.samples[from.min(piece.to)..piece.to]);
        for (i, x) in self.samples[built..].iter_mut().take(RAMP).enumerate() {
            *x *= gain.powf(0.5 - 0.5 * i as f32 / RAMP as f32);
        }
        self.mark(piece, base);
        let after = if last { 0 } else { CROSS[0] };
        let end = (piece.to + after).min(piece.samples.len());
        self.beyond = piece.samples[piece.to..end].to_vec();
    }

    /// Crosses from what is built to the piece; gives the first sample of the piece that is still to come, and how much
    /// louder what is built was.
    fn seam(&mut self, piece: &JoinPiece) -> (usize, f32) {
        let seam = Crossfade::of(piece.phones[0].sound, piece.stretch.from_start);
        let half = (seam.cross / 2)
            .min(self.samples.len())
            .min(piece.from)
            .min(self.beyond.len());
        let middle = self.samples.len();
        let mut left = self.samples[middle - half..].to_vec();
        left.extend_from_slice(&self.beyond[..half]);
        let start = most_alike(&left, piece.samples, piece.from - half, seam.reach);
        let right = &piece.samples[start.min(piece.samples.len())..(start + left.len()).min(piece.samples.len())];
        let gain = self.meet(right, &left);
        self.samples.truncate(middle - half);
        let n = left.len().max(1) as f32;
        for (i, (l, r)) in left.iter().zip(right).enumerate() {
            let share = (i as f32 + 0.5) / n;
            // Noise adds by its power, what is alike by its level.
            let [out, come] = match seam.reach {
                0 => [(1.0 - share).sqrt(), share.sqrt()],
                _ => [1.0 - share, share],
            };
            self.samples.push(l * out / gain.sqrt() + r * come * gain.sqrt());
        }
        (start + right.len(), gain)
    }

    /// Brings the level of what is built to the middle between the two sides; gives how much louder the first was.
    fn meet(&mut self, right: &[f32], left: &[f32]) -> f32 {
        let power = |x: &[f32]| x.iter().map(|v| v * v).sum::<f32>() / x.len().max(1) as f32;
        let span = left.len().min(LEVEL);
        let (before, after) = (power(&left[..span]), power(&right[..span.min(right.len())]));
        if before < 1e-6 || after < 1e-6 {
            return 1.0;
        }
        let gain = (before / after).sqrt().clamp(1.0 / MOST_GAIN, MOST_GAIN);
        let ramp = RAMP.min(self.samples.len());
        let start = self.samples.len() - ramp;
        for (i, x) in self.samples[start..].iter_mut().enumerate() {
            *x *= gain.powf(-0.5 * i as f32 / ramp as f32);
        }
        gain
    }

    fn mark(&mut self, piece: &JoinPiece, base: isize) {
        let place = |at: usize| (at as isize + base).max(0) as usize;
        for (number, phone) in piece.phones.iter().enumerate() {
            let (start, end) = (place(phone.start), place(phone.end));
            let continues = number == 0 && !piece.stretch.from_start && !self.phones.is_empty();
            match self.phones.last_mut() {
                Some(before) if continues => before.end = end.max(before.start),
                _ => self.phones.push(start..end),
            }
        }
    }

    fn said(self, stretches: usize) -> ModelSpeech {
        let n = self.samples.len();
        let inner = &self.phones[1..self.phones.len().max(2) - 1];
        let sounds = inner.iter().map(|range| range.start.min(n)..range.end.min(n)).collect();
        ModelSpeech {
            samples: self.samples,
            sounds,
            made: Made::Joined(stretches),
        }
    }
}

/// Where within `reach` of `from` the samples are most like `left`.
fn most_alike(left: &[f32], samples: &[f32], from: usize, reach: isize) -> usize {
    let score = |start: usize| {
        let Some(right) = samples.get(start..start + left.len()) else {
            return f32::MIN;
        };
        let (mut product, mut power) = (0.0f32, 1e-9f32);
        for (l, r) in left.iter().zip(right) {
            product += l * r;
            power += r * r;
        }
        product / power.sqrt()
    };
    let starts = (-reach..=reach).filter_map(|shift| from.checked_add_signed(shift));
    let nearest = |a: usize, b: usize| b.abs_diff(from).cmp(&a.abs_diff(from));
    let best = starts.max_by(|a, b| score(*a).total_cmp(&score(*b)).then(nearest(*a, *b)));
    best.unwrap_or(from)
}
