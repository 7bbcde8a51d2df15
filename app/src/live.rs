//! A vowel as it is spoken: pitch and formants twenty times a second, how steadily it is held, and where it lies on the chart of
//! another voice.
//!
//! [`Live`] takes sound in on whoever's thread asks it and measures on a thread of its own. [`hold`] says how long and how
//! steadily the latest vowel has been held. Voices differ in size, and so in every formant; [`VoiceFit`] takes the difference
//! out after three vowels at the corners of the chart, by the mean of the logarithms of each formant (Nearey 1978,
//! Phonetic Feature Systems for Vowels).

use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

use soundbead_data::Sound;
use soundbead_data::norm::NORMS;
use soundbead_dsp::audio::{RATE, Recording};
use soundbead_dsp::formant::{self, CONFIDENT, Formants, VoiceKind};
use soundbead_dsp::voice::Span;

use crate::mic::{Capture, Flow, MicFault, Microphone, StreamFormat};

/// Seconds from one reading to the next.
pub const STEP_S: f32 = 0.05;
/// Seconds of sound that one reading is made of, margins included.
const WINDOW_S: f32 = 0.17;
/// Sound that may wait to be measured; what is older is passed over.
const BEHIND_S: f32 = 6.0;

/// Pitch in Hz, and F1 to F3 in Hz.
pub type Voiced = (f32, [f32; 3]);

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiveReading {
    /// Seconds since the microphone was opened.
    pub time_s: f32,
    /// What was measured; none where there is no clear voice.
    pub vowel: Option<Voiced>,
}

/// A microphone that is listened to for vowels.
pub struct Live {
    capture: Box<dyn Capture>,
    sound: Sender<(StreamFormat, Vec<f32>)>,
    readings: Receiver<LiveReading>,
    /// Whether any sound has come yet.
    pub running: bool,
    /// Why there is no more, if there is none.
    pub fault: Option<MicFault>,
}

impl Live {
    /// Begins to listen. `wake` is called after each reading, from the measuring thread.
    pub fn start(
        mic: &mut dyn Microphone,
        device: Option<&str>,
        voice: VoiceKind,
        wake: impl Fn() + Send + 'static,
    ) -> Live {
        let (sound, todo) = channel();
        let (tell, readings) = channel();
        std::thread::spawn(move || measure(&todo, &tell, voice, &wake));
        Live {
            capture: mic.open(device),
            sound,
            readings,
            running: false,
            fault: None,
        }
    }

    /// Passes on what has been heard and gives the readings that are ready, in order.
    pub fn poll(&mut self) -> Vec<LiveReading> {
        if self.fault.is_none() {
            let mut fresh = Vec::new();
            match self.capture.read(&mut fresh) {
                Flow::Opening => {}
                Flow::Running(format) => {
                    self.running = true;
                    // The measuring thread ends only with this; if it failed, there are no more readings.
                    let _ = self.sound.send((format, fresh));
                }
                Flow::Lost(fault) => self.fault = Some(fault),
            }
        }
        self.readings.try_iter().collect()
    }
}

/// Measures what comes until nobody listens any more.
fn measure(todo: &Receiver<(StreamFormat, Vec<f32>)>, tell: &Sender<LiveReading>, voice: VoiceKind, wake: &dyn Fn()) {
    let mut heard: Vec<f32> = Vec::new();
    // Frames that were dropped from the front, and frames up to which readings have been made.
    let (mut gone, mut done) = (0usize, 0usize);
    while let Ok((format, fresh)) = todo.recv() {
        heard.extend(fresh);
        loop {
            match todo.try_recv() {
                Ok((_, fresh)) => heard.extend(fresh),
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => return,
            }
        }
        let channels = usize::from(format.channels.max(1));
        let frames = |seconds: f32| (seconds * format.rate as f32) as usize;
        let end = gone + heard.len() / channels;
        done = done.max(end.saturating_sub(frames(BEHIND_S)));
        while done + frames(STEP_S) <= end {
            done += frames(STEP_S);
            let from = done.saturating_sub(frames(WINDOW_S)).max(gone);
            let part = &heard[(from - gone) * channels..(done - gone) * channels];
            let reading = LiveReading {
                time_s: done as f32 / format.rate as f32,
                vowel: read(part, format, voice),
            };
            if tell.send(reading).is_err() {
                return;
            }
            wake();
        }
        let keep = frames(WINDOW_S);
        let drop = (done.saturating_sub(keep)).saturating_sub(gone);
        heard.drain(..drop * channels);
        gone += drop;
    }
}

/// The vowel in a stretch of interleaved sound; none where it is too short, too soft, or has no clear voice.
fn read(part: &[f32], format: StreamFormat, voice: VoiceKind) -> Option<Voiced> {
    /// Softer than this, about -50 dBFS, is the room.
    const SOFTEST: f32 = 0.003;
    let channels = usize::from(format.channels.max(1));
    let apart: Vec<Vec<f32>> = (0..channels)
        .map(|c| part.iter().skip(c).step_by(channels).copied().collect())
        .collect();
    let clip = Recording::from_channels(format.rate, &apart, format.bits).ok()?.clip;
    let power = clip.samples.iter().map(|x| x * x).sum::<f32>() / clip.samples.len().max(1) as f32;
    if power.sqrt() < SOFTEST {
        return None;
    }
    // The margins let the first and last frames see whole periods.
    let margin = RATE as usize * 3 / 100;
    let span = Span {
        start: margin,
        end: clip.samples.len().checked_sub(margin)?.max(margin),
    };
    let track = formant::vowel(&clip, span, voice).track;
    let sure: Vec<&Formants> = track.iter().filter(|f| f.confidence >= CONFIDENT).collect();
    // Most of the stretch must be voice.
    if sure.len() < 6 {
        return None;
    }
    let middle = |pick: &dyn Fn(&Formants) -> f32| {
        let mut all: Vec<f32> = sure.iter().map(|f| pick(f)).collect();
        all.sort_by(f32::total_cmp);
        all[all.len() / 2]
    };
    Some((middle(&|f| f.f0), std::array::from_fn(|k| middle(&|f| f.hz[k]))))
}

/// How the latest vowel has been held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VowelHold {
    /// For how long, in seconds.
    pub seconds: f32,
    /// Its pitch, the median, in Hz.
    pub pitch: f32,
    /// F1 to F3, the medians, in Hz.
    pub hz: [f32; 3],
    /// Standard deviation of the readings of F1 and F2 about their mean, as a share: 0.03 is 3 %.
    pub spread: [f32; 2],
}

/// A reading this far (as a logarithm) from the one before is another vowel.
const LEAP: f32 = 0.22;
/// A hold is looked at over its latest second; what was before has been heard.
const LOOK: usize = 20;

/// How the vowel at the end of these readings is being held; none if there is no voice at the end.
pub fn hold(readings: &[LiveReading]) -> Option<VowelHold> {
    let mut run: Vec<Voiced> = Vec::new();
    for reading in readings.iter().rev() {
        let Some(vowel) = reading.vowel else { break };
        let leaps = run
            .last()
            .is_some_and(|(_, next)| (0..2).any(|k| (vowel.1[k] / next[k]).ln().abs() > LEAP));
        if leaps {
            break;
        }
        run.push(vowel);
    }
    if run.len() < 3 {
        return None;
    }
    let seconds = run.len() as f32 * STEP_S;
    run.truncate(LOOK);
    let n = run.len() as f32;
    let middle = |pick: &dyn Fn(&Voiced) -> f32| {
        let mut all: Vec<f32> = run.iter().map(pick).collect();
        all.sort_by(f32::total_cmp);
        all[all.len() / 2]
    };
    let spread = |k: usize| {
        let mean = run.iter().map(|v| v.1[k].ln()).sum::<f32>() / n;
        (run.iter().map(|v| (v.1[k].ln() - mean).powi(2)).sum::<f32>() / (n - 1.0)).sqrt()
    };
    Some(VowelHold {
        seconds,
        pitch: middle(&|v| v.0),
        hz: std::array::from_fn(|k| middle(&|v| v.1[k])),
        spread: [spread(0), spread(1)],
    })
}

/// The vowels at the corners of the chart by which a voice is fitted: feet, hot, moon.
pub const CORNERS: [Sound; 3] = [Sound::IY, Sound::AA, Sound::UW];

/// What turns a learner's formants into those of the chart's voice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoiceFit {
    /// Factor on F1, F2 and F3.
    factors: [f32; 3],
}

impl VoiceFit {
    /// No change.
    pub const NONE: VoiceFit = VoiceFit { factors: [1.0; 3] };

    /// From the learner's own three corners (F1 to F3 in Hz) to the voice of the chart.
    ///
    /// # Errors
    /// When they are not three different vowels: ee must have the highest F2 and ah the highest F1, each by a tenth.
    /// Nothing is asked of oo, which differs much between talkers. The line says what to do.
    pub fn new(corners: &[[f32; 3]; 3], voice: VoiceKind) -> Result<VoiceFit, &'static str> {
        let [ee, ah, oo] = corners;
        let above = |a: f32, b: f32| a > 1.1 * b;
        if !(above(ee[1], ah[1]) && above(ee[1], oo[1]) && above(ah[0], ee[0]) && above(ah[0], oo[0])) {
            return Err(
                "These did not come out as three different vowels. Say ee as in feet, ah as in hot, oo as in moon.",
            );
        }
        let norm = |vowel: Sound| {
            let found = NORMS.iter().find(|n| n.voice == voice && n.vowel == vowel);
            found.expect("the corners are in the table").means_hz
        };
        let factor = |k: usize| {
            let each = CORNERS.iter().zip(corners).map(|(v, own)| (norm(*v)[k] / own[k]).ln());
            (each.sum::<f32>() / 3.0).exp()
        };
        Ok(VoiceFit {
            factors: std::array::from_fn(factor),
        })
    }

    /// The learner's formants as the chart's voice would have them.
    pub fn apply(&self, hz: [f32; 3]) -> [f32; 3] {
        std::array::from_fn(|k| hz[k] * self.factors[k])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(all: &[Option<[f32; 3]>]) -> Vec<LiveReading> {
        let one = |(i, hz): (usize, &Option<[f32; 3]>)| LiveReading {
            time_s: i as f32 * STEP_S,
            vowel: hz.map(|hz| (250.0, hz)),
        };
        all.iter().enumerate().map(one).collect()
    }

    #[test]
    fn a_hold_is_the_latest_vowel_alone() {
        let (ee, ah) = ([450.0, 3000.0, 3600.0], [980.0, 1680.0, 2900.0]);
        let said = [vec![Some(ee); 12], vec![None; 2], vec![Some(ee); 4], vec![Some(ah); 10]].concat();
        let held = hold(&readings(&said)).expect("held");
        assert_eq!(held.hz, ah);
        assert!(held.spread.iter().all(|s| *s < 1e-4), "{:?}", held.spread);
        assert!((held.seconds - 0.5).abs() < 1e-6);
        assert_eq!(hold(&readings(&[Some(ah), Some(ah), None])), None);
    }

    /// The spread is the standard deviation: readings a share s above and below by turns have a deviation of about s.
    #[test]
    fn the_spread_is_the_standard_deviation() {
        let said: Vec<_> = (0..20)
            .map(|i| if i % 2 == 0 { 1.03f32 } else { 1.0 / 1.03 })
            .map(|s| Some([500.0 * s, 1500.0, 2500.0]))
            .collect();
        let held = hold(&readings(&said)).expect("held");
        assert!((held.spread[0] - 1.03f32.ln()).abs() < 0.002, "{}", held.spread[0]);
        assert!(held.spread[1] < 1e-4, "{}", held.spread[1]);
    }

    /// A talker who is the chart's voice in another size is brought to it exactly, and a wrong set is refused.
    #[test]
    fn a_voice_of_another_size_is_fitted() {
        let norm = |v: Sound| {
            NORMS
                .iter()
                .find(|n| n.voice == VoiceKind::Child && n.vowel == v)
                .expect("there")
                .means_hz
        };
        let own = CORNERS.map(|v| [norm(v)[0] * 0.85, norm(v)[1] * 0.9, norm(v)[2] * 0.9]);
        let fit = VoiceFit::new(&own, VoiceKind::Child).expect("three corners");
        let eh = norm(Sound::EH);
        let placed = fit.apply([eh[0] * 0.85, eh[1] * 0.9, eh[2] * 0.9]);
        for k in 0..3 {
            assert!((placed[k] / eh[k] - 1.0).abs() < 1e-4);
        }
        assert!(VoiceFit::new(&[own[0], own[0], own[2]], VoiceKind::Child).is_err());
    }
}
