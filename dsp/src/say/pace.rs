//! The other ways of speaking: drawn out, and sound by sound.

use std::ops::Range;

use soundbead_data::sound::Sound;

use super::{ModelSpeech, choose::Class};
use crate::audio::RATE;
use crate::slow;

/// How many times as long a drawn-out word is as the whole one, from its first sound to the end of its last, as far as
/// its sounds that can be held allow: each of them is at most five times as long.
pub const DRAWN_OUT: f32 = 2.2;
/// Beyond this a held sound is heard to be made of the same piece again and again.
const MOST_HELD: f32 = 5.0;
/// Samples at both edges of a sound that keep their pace, for the ear to know it by (20 ms).
const EDGE: usize = 320;
/// Shortest that a full vowel alone may be, in seconds: a little longer than in a short word.
const VOWEL_S: f32 = 0.36;
/// Silence before and after each sound said alone, in samples: 0.2 s, so 0.4 s part two sounds.
const AROUND: usize = RATE as usize / 5;

/// Sounds of stops, and breath, cannot be held.
fn held(sound: Sound) -> bool {
    sound != Sound::HH && Class::of(sound) != Class::Stop
}

/// A vowel alone, drawn out where it is shorter than [`VOWEL_S`]; other sounds and weak vowels as they are.
pub fn at_least(samples: Vec<f32>, first: Sound, weak: bool) -> Vec<f32> {
    let wanted = (VOWEL_S * RATE as f32) as usize;
    match first.is_vowel() && !weak && samples.len() < wanted {
        true => slow::stretch(&samples, samples.len() as f32 / wanted as f32),
        false => samples,
    }
}

/// The word with every sound that can be held drawn out, and the others at their own pace.
pub fn drawn_out(sounds: &[Sound], said: &ModelSpeech) -> ModelSpeech {
    let holds = holds(sounds, &said.sounds);
    let spoken = match (said.sounds.first(), said.sounds.last()) {
        (Some(first), Some(last)) => last.end.saturating_sub(first.start) as f32,
        _ => 0.0,
    };
    let can = holds.iter().map(Range::len).sum::<usize>() as f32;
    let times = (1.0 + (DRAWN_OUT - 1.0) * spoken / can.max(1.0)).min(MOST_HELD);
    let map = Map::new(&holds, f64::from(times), said.samples.len());
    let samples = slow::along(&said.samples, map.length(), |at| map.source(at));
    ModelSpeech {
        sounds: said
            .sounds
            .iter()
            .map(|s| map.place(s.start)..map.place(s.end))
            .collect(),
        samples,
        made: said.made,
    }
}

/// The inner part of each sound that can be held, in order.
fn holds(sounds: &[Sound], places: &[Range<usize>]) -> Vec<Range<usize>> {
    let inner = |place: &Range<usize>| {
        let edge = EDGE.min(place.len() / 4);
        place.start + edge..place.end - edge
    };
    let both = sounds.iter().zip(places).filter(|(sound, _)| held(**sound));
    both.map(|(_, place)| inner(place))
        .filter(|inner| !inner.is_empty())
        .collect()
}

/// From places in the drawn-out word to places in the whole one, and back: straight between corners.
struct Map {
    /// (place in the whole word, place in the drawn-out one).
    corners: Vec<(f64, f64)>,
}

impl Map {
    fn new(holds: &[Range<usize>], times: f64, length: usize) -> Map {
        let mut corners = vec![(0.0, 0.0)];
        let mut go = |to: usize, times: f64| {
            let (from, at) = corners[corners.len() - 1];
            let step = (to as f64 - from).max(0.0);
            corners.push((from + step, at + times * step));
        };
        for hold in holds {
            go(hold.start, 1.0);
            go(hold.end, times);
        }
        go(length, 1.0);
        Map { corners }
    }

    fn length(&self) -> usize {
        self.corners[self.corners.len() - 1].1.round() as usize
    }

    fn source(&self, at: f64) -> f64 {
        between(&self.corners, at, |c| (c.1, c.0))
    }

    fn place(&self, source: usize) -> usize {
        between(&self.corners, source as f64, |c| (c.0, c.1)).round() as usize
    }
}

/// The second number that belongs to a first one, straight between corners; beyond the last corner, one to one.
fn between(corners: &[(f64, f64)], at: f64, pick: impl Fn(&(f64, f64)) -> (f64, f64)) -> f64 {
    let after = corners.partition_point(|c| pick(c).0 <= at).clamp(1, corners.len() - 1);
    let ((x0, y0), (x1, y1)) = (pick(&corners[after - 1]), pick(&corners[after]));
    match x1 - x0 {
        0.0 => y1 + (at - x1),
        wide => y0 + (at - x0) * (y1 - y0) / wide,
    }
}

/// Sounds one by one, with silence around each.
pub fn apart(pieces: &[ModelSpeech]) -> ModelSpeech {
    let (mut samples, mut sounds) = (vec![0.0; AROUND], Vec::with_capacity(pieces.len()));
    for piece in pieces {
        let start = samples.len();
        samples.extend_from_slice(&piece.samples);
        sounds.push(start..samples.len());
        samples.resize(samples.len() + 2 * AROUND, 0.0);
    }
    samples.truncate(samples.len() - AROUND.min(samples.len()));
    ModelSpeech {
        samples,
        sounds,
        made: super::Made::Joined(pieces.len()),
    }
}
