//! The noise floor, and how far each frame stands out of it.

use super::frames::{BANDS, Frames, SLOW_RATE, decibels};

/// Frames quieter than this hold no sound at all (digital silence), in dBFS; they say nothing of the room's noise.
const NOTHING_DB: f32 = -95.0;
/// Share of the frames, the quietest, that the first estimate of the floor is made from.
const QUIETEST: f32 = 0.10;
/// Fewest frames for it.
const LEAST: usize = 4;
/// Standing out by this many dB, a frame may belong to speech.
pub const LOW_DB: f32 = 3.2;
/// A stretch of speech must somewhere stand out by this much.
pub const HIGH_DB: f32 = 7.0;
/// The floor is not believed to be lower than this in any band, in dBFS: the noise of 16-bit rounding.
const LEAST_BAND_DB: f32 = -108.0;

/// Groups of bands that are judged each for themselves, so that a weak f stands out by its high bands alone.
const GROUPS: [std::ops::Range<usize>; 4] = [0..5, 4..9, 8..13, 11..16];

/// Where all that is heard is a voice, the floor is taken to lie this far under its quietest frames: 25 dB.
const UNDER_SPEECH: f32 = 0.003_162;

/// Periodicity and level (dBFS) from which one of the quietest frames is a voice, and not a hum or hiss of the room.
const QUIET_VOICE: (f32, f32) = (0.75, -55.0);
/// So many in ten of the quietest frames must be a voice for all to be.
const VOICED_IN_TEN: usize = 7;
/// Loudest and quietest frames further apart than this, in dB, are sound and silence, not one held vowel.
const ONE_SOUND_DB: f32 = 25.0;
/// A period that strays by more than this, in samples at 4 kHz, moves as a voice does; hum stands still.
const MOVES: f32 = 1.5;
/// Mains in Hz; how near a multiple of it hum lies, as a share of it; and the highest pitch, in Hz, that is taken for hum.
const MAINS_HZ: [f32; 2] = [50.0, 60.0];
const HUM_OFF: f32 = 0.04;
const HIGHEST_HUM_HZ: f32 = 190.0;
/// How far one band may pull its group down or up, in dB: a band that chance left empty, or one loud harmonic.
const BAND_DB: [f32; 2] = [-4.0, 40.0];
/// Rounds in which the floor is taken again from all that did not stand out of it; it settles in two.
const ROUNDS: usize = 2;

/// The noise floor and what stands out of it.
pub struct Floor {
    /// Power of the noise in each band.
    pub bands: [f32; BANDS],
    /// How far each frame stands out, in dB, smoothed over 50 ms.
    pub excess: Vec<f32>,
    /// The same, not smoothed.
    pub sharp: Vec<f32>,
    /// Whether any frame seems to be noise alone; if not, the floor is a guess.
    pub heard: bool,
}

impl Floor {
    /// Level of the noise, in dBFS.
    pub fn level(&self) -> f32 {
        decibels(self.bands.iter().sum())
    }
}

/// Estimates the floor: from the quietest frames first, then twice from all that do not stand out of it.
pub fn find(frames: &Frames) -> Option<Floor> {
    let sounding: Vec<usize> = (0..frames.len()).filter(|&t| frames.level[t] > NOTHING_DB).collect();
    if sounding.is_empty() {
        return None;
    }
    let mut order = sounding.clone();
    let around = |t: usize| {
        let (a, b) = (t.saturating_sub(1), (t + 2).min(frames.len()));
        frames.level[a..b].iter().sum::<f32>() / (b - a) as f32
    };
    order.sort_by(|&a, &b| around(a).total_cmp(&around(b)));
    // Where silence was put in by hand, the quietest sound left is the edge of speech: believe fewer frames.
    let silent = sounding.len() + LEAST <= frames.len();
    let share = if silent { QUIETEST / 2.0 } else { QUIETEST };
    let n = ((sounding.len() as f32 * share) as usize)
        .max(LEAST)
        .min(sounding.len());
    let mut quiet = order[..n].to_vec();
    let all_voice = is_voice(frames, &quiet, &sounding);
    let mut bands = average(frames, &quiet);
    if all_voice {
        bands.iter_mut().for_each(|b| *b *= UNDER_SPEECH);
    }
    let mut floor = stand_out(frames, bands, !all_voice);
    for _ in 0..ROUNDS {
        if all_voice {
            break;
        }
        quiet = sounding.iter().copied().filter(|&t| floor.excess[t] < LOW_DB).collect();
        if quiet.len() < LEAST {
            break;
        }
        floor = stand_out(frames, average(frames, &quiet), true);
    }
    Some(floor)
}

/// A floor for a recording cut out of the middle of speech, where nothing stands out of the quietest frames because they
/// are speech too: 25 dB under them. None unless the louder half is a voice.
pub fn under_speech(frames: &Frames) -> Option<Floor> {
    let mut order: Vec<usize> = (0..frames.len()).filter(|&t| frames.level[t] > NOTHING_DB).collect();
    order.sort_by(|&a, &b| frames.level[a].total_cmp(&frames.level[b]));
    let (quiet, loud) = (&order[..LEAST.min(order.len())], &order[order.len() / 2..]);
    if quiet.is_empty() || !is_voice(frames, loud, loud) {
        return None;
    }
    let bands = average(frames, quiet).map(|b| b * UNDER_SPEECH);
    Some(stand_out(frames, bands, false))
}

/// Whether even the quietest frames are a voice: a recording cut tight about a vowel has no noise to be seen.
///
/// Hum is periodic too, but it stands on 50 or 60 Hz and their multiples to within a hair, and does not move.
fn is_voice(frames: &Frames, quiet: &[usize], sounding: &[usize]) -> bool {
    let voiced: Vec<f32> = quiet
        .iter()
        .filter(|&&t| frames.voicing[t] > QUIET_VOICE.0 && frames.level[t] > QUIET_VOICE.1)
        .map(|&t| frames.lag[t])
        .collect();
    if voiced.len() * 10 < quiet.len() * VOICED_IN_TEN {
        return false;
    }
    let quietest = quiet.iter().map(|&t| frames.level[t]).fold(f32::MAX, f32::min);
    let loudest = sounding.iter().map(|&t| frames.level[t]).fold(f32::MIN, f32::max);
    if loudest - quietest > ONE_SOUND_DB {
        return false;
    }
    let mean = voiced.iter().sum::<f32>() / voiced.len() as f32;
    let moves = voiced.iter().any(|l| (l - mean).abs() > MOVES);
    let hz = SLOW_RATE / mean.max(1.0);
    let near = |m: &f32| (hz / m - (hz / m).round()).abs() < HUM_OFF;
    let on_mains = hz < HIGHEST_HUM_HZ && MAINS_HZ.iter().any(near);
    moves || !on_mains
}

/// Mean power a band, of the powers' logarithms, so that a few loud frames do not carry it; corrected to the mean.
fn average(frames: &Frames, of: &[usize]) -> [f32; BANDS] {
    std::array::from_fn(|b| {
        let sum: f32 = of.iter().map(|&t| decibels(frames.bands[t][b])).sum();
        10f32.powf((sum / of.len() as f32).max(LEAST_BAND_DB) / 10.0)
    })
}

fn stand_out(frames: &Frames, bands: [f32; BANDS], heard: bool) -> Floor {
    let n = frames.len();
    let groups: Vec<[f32; 4]> = frames
        .bands
        .iter()
        .map(|frame| {
            let over: [f32; BANDS] =
                std::array::from_fn(|b| (decibels(frame[b]) - decibels(bands[b])).clamp(BAND_DB[0], BAND_DB[1]));
            GROUPS.map(|g| over[g.clone()].iter().sum::<f32>() / g.len() as f32)
        })
        .collect();
    let sharp = groups
        .iter()
        .map(|g| g.iter().copied().fold(f32::MIN, f32::max))
        .collect();
    let excess = (0..n)
        .map(|t| {
            let near = &groups[t.saturating_sub(2)..(t + 3).min(n)];
            (0..4)
                .map(|g| near.iter().map(|x| x[g]).sum::<f32>() / near.len() as f32)
                .fold(f32::MIN, f32::max)
        })
        .collect();
    Floor {
        bands,
        excess,
        sharp,
        heard,
    }
}
