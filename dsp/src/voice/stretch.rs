//! Stretches of sound that stand out of the noise, and which of them are the word.
//!
//! The limits below are choices, made on made recordings with clicks, knocks, breaths, far voices, fans and soft consonants
//! at known places; `tests/tests/outside/audio_voice.rs` holds them to those. Where a limit has a source, it says so.

use super::Span;
use super::floor::{Floor, HIGH_DB, LOW_DB};
use super::frames::{BANDS, FINE, Frames, HOP, decibels};

/// Periodicity from which a frame counts as voiced.
const VOICED: f32 = 0.6;
/// Periods of neighbouring frames that belong to one voice differ by less than this share; those of noise wander.
const SAME_PERIOD: f32 = 0.12;
/// Band from which "high" counts: about 2.3 kHz; below [`BASS`] (about 0.6 kHz) counts as low.
const TREBLE: usize = 10;
const BASS: usize = 4;
/// The level taken where there is nothing, in dBFS: under any sound that 16 bits can hold.
const NOTHING_DBFS: f32 = -160.0;
/// Share of the power in the bass above which a sound is a rumble, a scrape or a knock: more than any vowel or nasal has.
const RUMBLE_BASS: f32 = 0.85;
/// Share of the bass above which a sound without a voice, right beside the word, is a thump.
const THUMP_BASS: f32 = 0.75;
/// Share of the bass above which a sound without a voice, away from the word, is no consonant: those are hisses and bursts.
const DULL_BASS: f32 = 0.5;
/// Share of the power in the treble from which noise is a fricative; breath, fans and taps have less.
const FRICATIVE_TREBLE: f32 = 0.55;
/// Fewest periodic frames (10 ms) of a voice: by chance noise looks periodic for a frame or two.
const FEWEST_VOICED: usize = 3;
/// Fewest periodic frames by which a soft voice is known for a voice in the distance.
const FEWEST_FAR_VOICED: usize = 5;
/// A voice comes within so many dB of its stretch's peak; what is periodic further down is the ring of a knock.
const VOICE_UNDER_PEAK_DB: f32 = 12.0;
/// Frames so many dB under the peak are the loud part of a stretch.
const LOUD_UNDER_PEAK_DB: f32 = 12.0;
/// Frames so many dB under the peak are an echo of it: what is periodic there is no voice of its own.
const ECHO_UNDER_PEAK_DB: f32 = 30.0;
/// The fine envelope counts as the top down to this share of its peak's power (10 dB).
const TOP_SHARE: f32 = 0.1;
/// A click's top is narrower than this, in ms; the burst of a stop lasts about 10.
const CLICK_TOP_MS: f32 = 8.0;
/// A click, with the room's answer to it, is over within this, in ms.
const CLICK_MS: f32 = 110.0;
/// Soft noise longer than this, in ms, may be a breath; shorter, it may be the burst of a stop.
const BREATH_MS: f32 = 120.0;
/// Shortest fricative, in ms.
const FRICATIVE_MS: f32 = 40.0;
/// Least level of a voice that a word is built around, in dBFS: a microphone's own hum lies lower.
const LEAST_VOICE_DBFS: f32 = -65.0;
/// Worth of each tenfold of voiced frames when the core is chosen, in dB, up to [`MOST_WORTH_FRAMES`].
const WORTH_DB: f32 = 10.0;
/// Voiced frames (10 ms) past which a longer voice is worth no more: 0.3 s, a long vowel.
const MOST_WORTH_FRAMES: usize = 30;
/// What a word of hiss alone (s, sh) must have to be believed: length in ms, how far it stands out in dB, level in dBFS.
const HISS: (f32, f32, f32) = (60.0, 10.0, -60.0);
/// The same for a whisper, or a creak too slow to look periodic.
const WHISPER: (f32, f32, f32) = (120.0, 15.0, -55.0);
/// A recording cut tight about a word is no longer than this, in ms, and what is said in it no shorter than the first figure.
const TIGHT_MS: (f32, f32) = (120.0, 1200.0);
/// The word fills this share of it ...
const TIGHT_SHARE: f32 = 0.7;
/// ... and is louder than this, in dBFS.
const TIGHT_DBFS: f32 = -50.0;
/// A voice so many dB under the word's is another person's, or a loudspeaker's.
const FAR_VOICE_DB: f32 = -17.0;
/// ... unless it is within this of the word, in ms: an unstressed syllable may be as soft.
const FAR_VOICE_GAP_MS: f32 = 40.0;
/// Added to [`CLOSURE_MS`] for what frames of 10 ms and smoothing over 50 ms blur, in ms.
const CLOSURE_BLUR_MS: f32 = 30.0;
/// A breath right beside the word: at least so long and so far from it, in ms, and so many dB under it. A final f or th
/// follows closer.
const NEAR_BREATH: (f32, f32, f32) = (160.0, 40.0, -18.0);
/// A thump right beside the word: longer than a burst, and at least so far from the word, in ms.
const NEAR_THUMP: (f32, f32) = (60.0, 60.0);
/// A breath away from the word: longer than this, in ms ...
const FAR_BREATH_MS: f32 = 400.0;
/// ... or so many dB under it.
const FAR_BREATH_DB: f32 = -24.0;
/// A dull sound away from the word is noise when longer than this, in ms.
const DULL_MS: f32 = 30.0;
/// A hiss away from the word, sound by sound, is a consonant between these lengths, in ms ...
const CONSONANT_MS: std::ops::RangeInclusive<f32> = 20.0..=3000.0;
/// ... and no more than this under the word, in dB. The softest consonant, th, lies about 28 dB under the strongest vowel
/// (Fletcher 1953, *Speech and Hearing in Communication*; figure from memory).
const FAINTEST_DB: f32 = -34.0;
/// Spread of the level, in dB, under which noise is steady, as a fan's is.
const STEADY_DB: f32 = 2.0;
/// Of a steady end, one third next to the voice is not looked at: the last sound of the word may lie in it.
const NEXT_TO_VOICE: usize = 3;

/// Why a sound was left out of the word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOut {
    /// Too short and sudden for a speech sound.
    Click,
    /// Soft and breathy, before or after the word.
    Breath,
    /// A voice much softer than the speaker's.
    FarVoice,
    /// A knock, a scrape, or noise that goes on.
    Noise,
    /// Speech, but more than [`super::FARTHEST_S`] from the word.
    Apart,
}

/// One unbroken stretch, in frames.
#[derive(Debug, Clone)]
pub struct Stretch {
    pub start: usize,
    pub end: usize,
    /// Greatest level of 30 ms, in dBFS.
    pub peak: f32,
    /// Greatest level among voiced frames.
    pub voiced_peak: f32,
    /// Voiced frames, those of them whose period a neighbour shares, and all frames within 12 dB of the peak.
    pub voiced: usize,
    pub steady: usize,
    pub loud: usize,
    /// Share of its power, less the noise's, in the treble and in the bass.
    pub treble: f32,
    pub bass: f32,
    /// How long the fine envelope stays within 10 dB of its top, in ms.
    pub width_ms: f32,
    /// How far it stands out at most, in dB.
    pub excess: f32,
}

impl Stretch {
    pub fn ms(&self) -> f32 {
        (self.end - self.start) as f32 * 10.0
    }

    pub fn span(&self, len: usize) -> Span {
        Span {
            start: (self.start * HOP).min(len),
            end: (self.end * HOP).min(len),
        }
    }

    fn is_voiced(&self) -> bool {
        // A scrape or a knock rings low, and by chance looks periodic for a frame or two.
        let rings = self.bass > RUMBLE_BASS && 2 * self.steady < self.loud;
        self.voiced >= FEWEST_VOICED && !rings && self.voiced_peak > self.peak - VOICE_UNDER_PEAK_DB
    }

    fn is_click(&self) -> bool {
        !self.is_voiced() && self.width_ms < CLICK_TOP_MS && self.ms() <= CLICK_MS
    }

    /// Soft noise without the weight in the treble that fricatives have, or the suddenness of a burst.
    fn is_breathy(&self) -> bool {
        !self.is_voiced() && self.treble < FRICATIVE_TREBLE && self.ms() > BREATH_MS
    }

    fn is_fricative(&self) -> bool {
        !self.is_voiced() && self.treble >= FRICATIVE_TREBLE && self.ms() >= FRICATIVE_MS
    }
}

/// All stretches that stand out of the floor, in order.
pub fn all(frames: &Frames, floor: &Floor) -> Vec<Stretch> {
    let mut out = Vec::new();
    let mut t = 0;
    while t < frames.len() {
        if floor.excess[t] < LOW_DB {
            t += 1;
            continue;
        }
        let end = (t..frames.len())
            .find(|&u| floor.excess[u] < LOW_DB)
            .unwrap_or(frames.len());
        if floor.excess[t..end].iter().any(|&x| x >= HIGH_DB) {
            // Smoothing has widened it by two frames a side: draw the ends in to where sound begins.
            let stands = |u: &usize| floor.sharp[*u] >= LOW_DB;
            let a = (t..end).find(stands).unwrap_or(t);
            let b = (t..end).rev().find(stands).map_or(end, |u| u + 1);
            if b > a {
                out.push(describe(frames, floor, a, b));
            }
        }
        t = end;
    }
    out.into_iter().map(|s| without_steady_ends(frames, floor, s)).collect()
}

fn describe(frames: &Frames, floor: &Floor, start: usize, end: usize) -> Stretch {
    let level = |t: usize| {
        let near = &frames.level[t.saturating_sub(1).max(start)..(t + 2).min(end)];
        near.iter().sum::<f32>() / near.len() as f32
    };
    let fold = |it: &mut dyn Iterator<Item = f32>| it.fold(NOTHING_DBFS, f32::max);
    let peak = fold(&mut (start..end).map(level));
    // A frame counts as voiced only if it is not a faint echo of the stretch's own loudest part.
    let is_voiced = |t: &usize| frames.voicing[*t] > VOICED && frames.level[*t] > peak - ECHO_UNDER_PEAK_DB;
    let steady = (start..end)
        .filter(|&t| is_voiced(&t) && shares_period(frames, t))
        .count();
    let voiced = (start..end).filter(is_voiced).count();
    let loud = (start..end)
        .filter(|&t| frames.level[t] > peak - LOUD_UNDER_PEAK_DB)
        .count();
    let voiced_peak = fold(&mut (start..end).filter(is_voiced).map(level));
    let mut power = [0.0f32; BANDS];
    for frame in &frames.bands[start..end] {
        for b in 0..BANDS {
            power[b] += (frame[b] - floor.bands[b]).max(0.0);
        }
    }
    let total = power.iter().sum::<f32>().max(1e-16);
    Stretch {
        start,
        end,
        peak,
        voiced_peak,
        voiced,
        steady,
        loud,
        treble: power[TREBLE..].iter().sum::<f32>() / total,
        bass: power[..BASS].iter().sum::<f32>() / total,
        width_ms: width_ms(frames, start, end),
        excess: fold(&mut floor.excess[start..end].iter().copied()),
    }
}

/// Periodic, at a period that a frame beside it shares or a simple multiple of it.
fn shares_period(frames: &Frames, t: usize) -> bool {
    let periodic = |u: usize| frames.voicing.get(u).is_some_and(|&v| v > VOICED);
    let shares = |u: usize| {
        let ratio = (frames.lag[u] / frames.lag[t]).log2().abs();
        periodic(u) && (ratio < SAME_PERIOD || (ratio - 1.0).abs() < SAME_PERIOD)
    };
    periodic(t)
        && [t.checked_sub(1), Some(t + 1)]
            .into_iter()
            .flatten()
            .any(|u| u < frames.len() && shares(u))
}

/// How long the fine envelope stays within 10 dB of its top.
fn width_ms(frames: &Frames, start: usize, end: usize) -> f32 {
    let per = HOP / FINE;
    let part = &frames.fine[(start * per).min(frames.fine.len())..(end * per).min(frames.fine.len())];
    let top = part.iter().copied().fold(0.0, f32::max);
    part.iter().filter(|&&p| p > TOP_SHARE * top).count() as f32 * 1000.0 * FINE as f32 / crate::audio::RATE as f32
}

/// Frames of unvoiced, steady, dull noise at a stretch's end that are a fan or a tap, not a sound held: half a second.
const STEADY_FRAMES: usize = 50;

fn without_steady_ends(frames: &Frames, floor: &Floor, s: Stretch) -> Stretch {
    let voiced = |t: &usize| shares_period(frames, *t) && frames.level[*t] > s.peak - ECHO_UNDER_PEAK_DB;
    let (Some(first), Some(last)) = ((s.start..s.end).find(voiced), (s.start..s.end).rev().find(voiced)) else {
        return s;
    };
    let (mut start, mut end) = (s.start, s.end);
    if end - last > STEADY_FRAMES && is_steady(frames, floor, last + 1 + (end - last) / NEXT_TO_VOICE, end) {
        end = last + 1;
    }
    if first - start > STEADY_FRAMES && is_steady(frames, floor, start, first - (first - start) / NEXT_TO_VOICE) {
        start = first;
    }
    if (start, end) == (s.start, s.end) {
        s
    } else {
        describe(frames, floor, start, end)
    }
}

/// Whether the level stays within a small spread and the sound has no weight in the treble, as no fricative does.
fn is_steady(frames: &Frames, floor: &Floor, start: usize, end: usize) -> bool {
    let part = &frames.level[start..end];
    let mean = part.iter().sum::<f32>() / part.len() as f32;
    let spread = (part.iter().map(|x| (x - mean).powi(2)).sum::<f32>() / part.len() as f32).sqrt();
    let own = |b: usize| {
        frames.bands[start..end]
            .iter()
            .map(|f| (f[b] - floor.bands[b]).max(0.0))
            .sum::<f32>()
    };
    let treble: f32 = (TREBLE..BANDS).map(own).sum();
    let all: f32 = (0..BANDS).map(own).sum();
    spread < STEADY_DB && treble < FRICATIVE_TREBLE * all
}

/// Which stretch the word is built around: the loudest, longest voiced one; without any voice, the
/// loudest hiss or whisper.
pub fn main(stretches: &[Stretch]) -> Option<usize> {
    let worth = |s: &Stretch| s.voiced_peak + WORTH_DB * (s.voiced.min(MOST_WORTH_FRAMES) as f32).log10();
    let voiced = (0..stretches.len()).filter(|&i| stretches[i].is_voiced() && stretches[i].peak > LEAST_VOICE_DBFS);
    let best = voiced.max_by(|&a, &b| worth(&stretches[a]).total_cmp(&worth(&stretches[b])));
    let clear = |s: &Stretch, (ms, out, level): (f32, f32, f32)| s.ms() >= ms && s.excess > out && s.peak > level;
    best.or_else(|| loudest(stretches, |s| s.is_fricative() && clear(s, HISS)))
        .or_else(|| loudest(stretches, |s| clear(s, WHISPER) && s.bass < RUMBLE_BASS))
}

/// The stretch that fills a recording hardly longer than a word: cut tight about it, there is no quiet to tell a creaky or hoarse voice
/// by, and nothing else that the stretch could be told from.
pub fn edge_to_edge(frames: &Frames, stretches: &[Stretch]) -> Option<usize> {
    let fills = |s: &Stretch| (s.end - s.start) as f32 >= TIGHT_SHARE * frames.len() as f32;
    let speaks = |s: &Stretch| s.bass < RUMBLE_BASS || s.voiced >= FEWEST_FAR_VOICED;
    let loud = |s: &Stretch| s.ms() >= TIGHT_MS.0 && s.peak > TIGHT_DBFS && speaks(s);
    let short = frames.len() as f32 * 10.0 <= TIGHT_MS.1;
    let fitting = |s: &Stretch| short && fills(s) && loud(s) && !s.is_click();
    stretches.iter().position(fitting)
}

fn loudest(stretches: &[Stretch], fits: impl Fn(&Stretch) -> bool) -> Option<usize> {
    let fitting = (0..stretches.len()).filter(|&i| !stretches[i].is_click() && fits(&stretches[i]));
    fitting.max_by(|&a, &b| stretches[a].peak.total_cmp(&stretches[b].peak))
}

/// A pause this long, in ms, may be the closure of a stop inside a word; a longer one parts two pieces.
pub const CLOSURE_MS: f32 = 150.0;

/// Why a stretch `gap_ms` from what is already the word, whose voice peaks at `loud` dB, is no part of it; None if it is.
pub fn verdict(s: &Stretch, gap_ms: f32, loud: f32) -> Option<LeftOut> {
    let rel = s.peak - loud;
    if s.is_click() {
        return Some(LeftOut::Click);
    }
    if s.is_voiced() && s.voiced >= FEWEST_FAR_VOICED && rel < FAR_VOICE_DB && gap_ms > FAR_VOICE_GAP_MS {
        return Some(LeftOut::FarVoice);
    }
    if gap_ms <= CLOSURE_MS + CLOSURE_BLUR_MS {
        let soft = s.is_breathy() && s.ms() > NEAR_BREATH.0 && gap_ms >= NEAR_BREATH.1 && rel < NEAR_BREATH.2;
        let thump = !s.is_voiced() && s.bass > THUMP_BASS && s.ms() > NEAR_THUMP.0 && gap_ms >= NEAR_THUMP.1;
        return if soft {
            Some(LeftOut::Breath)
        } else {
            thump.then_some(LeftOut::Noise)
        };
    }
    if gap_ms > 1000.0 * super::FARTHEST_S {
        return Some(if s.is_voiced() { LeftOut::Apart } else { LeftOut::Noise });
    }
    if s.is_voiced() {
        return None;
    }
    if s.is_breathy() && (s.ms() > FAR_BREATH_MS || rel < FAR_BREATH_DB) {
        return Some(LeftOut::Breath);
    }
    let dull = s.bass > DULL_BASS && s.ms() > DULL_MS;
    (dull || rel < FAINTEST_DB || !CONSONANT_MS.contains(&s.ms())).then_some(LeftOut::Noise)
}

/// Mean power of some frames' bands, in dB.
pub fn mean_level(frames: &Frames, of: impl Iterator<Item = usize>) -> Option<f32> {
    let (mut sum, mut n) = (0.0, 0usize);
    for t in of {
        sum += frames.bands[t].iter().sum::<f32>();
        n += 1;
    }
    (n > 0).then(|| decibels(sum / n as f32))
}
