//! The machine's own loudspeaker, through the `cpal` library.

use std::any::Any;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread;
use std::time::Duration;

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{ErrorKind, FromSample, SampleFormat, SizedSample, SupportedStreamConfig};
use soundbead_dsp::audio;

use super::{MicFault, Player, Playing, device};

/// Fade at both ends of a sound, in samples at 16 kHz (5 ms): a slice out of a word would begin and end with a click.
const FADE: usize = 80;
/// What of a broken stream was handed to the device and may never have been heard, in seconds (by ear, no source). A sound
/// that goes on steps back by this much: a moment heard twice is better than a sound of the word lost.
const UNHEARD_S: f32 = 0.1;
/// How long a sound server is left alone before the stream is opened again. PulseAudio gives its ALSA plugin "I/O error"
/// under load, and while the default device changes, and takes the same sound a moment later.
const REST: Duration = Duration::from_millis(100);

/// Opens the loudspeaker and plays these samples (16 kHz) on it, until what is given is dropped. Faults while it plays go
/// into the sender.
type OpenStream = fn(&[f32], Arc<SpeakerState>, Sender<MicFault>) -> Result<Box<dyn Any>, MicFault>;

/// The system's loudspeaker. The device is open while a sound plays. A stream that breaks is opened once more, at the place
/// where it stood; only a second fault is told.
pub struct Speaker {
    open: OpenStream,
    now: Option<SoundOut>,
    fault: Option<MicFault>,
}

/// A sound on its way out.
struct SoundOut {
    /// All of it, without the fade.
    samples: Arc<[f32]>,
    /// The sample at which this stream began; none for the first stream.
    again_from: Option<usize>,
    shared: Arc<SpeakerState>,
    faults: Receiver<MicFault>,
    /// Dropped with this, which tells the thread to close the device.
    _wanted: Sender<()>,
}

/// What the callback and the window share.
#[derive(Default)]
struct SpeakerState {
    /// Frames played.
    at: AtomicUsize,
    /// Frames a second; 0 until the device is open.
    rate: AtomicUsize,
    done: AtomicBool,
}

impl Default for Speaker {
    fn default() -> Speaker {
        Speaker::opened_by(start)
    }
}

impl Speaker {
    fn opened_by(open: OpenStream) -> Speaker {
        Speaker {
            open,
            now: None,
            fault: None,
        }
    }

    /// What becomes of a sound whose stream told a fault: it goes on in another stream, or the fault is told.
    fn go_on(&mut self, broken: &SoundOut, fault: MicFault) {
        if broken.may_go_on(&fault) {
            let from = broken.heard();
            self.now = Some(SoundOut::begin(self.open, broken.samples.clone(), Some(from)));
        } else {
            self.fault = Some(fault);
        }
    }
}

impl Player for Speaker {
    fn play(&mut self, samples: &[f32]) {
        self.stop();
        self.fault = None;
        self.now = Some(SoundOut::begin(self.open, samples.into(), None));
    }

    fn stop(&mut self) {
        self.now = None;
    }

    fn playing(&mut self) -> Playing {
        if let Some(now) = self.now.take_if(|now| !now.shared.done.load(Ordering::Acquire)) {
            match now.faults.try_recv() {
                Ok(fault) => self.go_on(&now, fault),
                Err(_) => self.now = Some(now),
            }
        } else {
            self.now = None;
        }
        match (&self.fault, &self.now) {
            (Some(fault), _) => Playing::Failed(fault.clone()),
            (None, Some(now)) => Playing::At(now.seconds()),
            (None, None) => Playing::Nothing,
        }
    }
}

impl SoundOut {
    fn begin(open: OpenStream, samples: Arc<[f32]>, again_from: Option<usize>) -> SoundOut {
        let shared = Arc::new(SpeakerState::default());
        let (fault, faults) = mpsc::channel();
        let (wanted, until) = mpsc::channel::<()>();
        let sound = faded(&samples[again_from.unwrap_or(0)..]);
        let theirs = shared.clone();
        let rest = again_from.map_or(Duration::ZERO, |_| REST);
        thread::spawn(move || {
            let _quiet = device::quiet();
            if until.recv_timeout(rest) == Err(RecvTimeoutError::Disconnected) {
                return; // stopped while it rested
            }
            match open(&sound, theirs, fault.clone()) {
                Ok(stream) => {
                    let _ = until.recv(); // returns when the other end is dropped
                    drop(stream);
                }
                Err(e) => drop(fault.send(e)),
            }
        });
        SoundOut {
            samples,
            again_from,
            shared,
            faults,
            _wanted: wanted,
        }
    }

    /// Whether another stream may not meet this fault. A device that has no such format, or is another's, stays so.
    fn may_go_on(&self, fault: &MicFault) -> bool {
        self.again_from.is_none() && matches!(fault, MicFault::Other(_) | MicFault::Unplugged)
    }

    /// How far it is, in seconds from the beginning of the sound.
    fn seconds(&self) -> f32 {
        self.again_from.unwrap_or(0) as f32 / audio::RATE as f32 + self.shared.seconds()
    }

    /// Up to which sample it was surely heard.
    fn heard(&self) -> usize {
        let at = (self.seconds() - UNHEARD_S).max(0.0) * audio::RATE as f32;
        (at.round() as usize).min(self.samples.len())
    }
}

impl SpeakerState {
    /// How much of the sound was handed to the device.
    fn seconds(&self) -> f32 {
        self.at.load(Ordering::Relaxed) as f32 / self.rate.load(Ordering::Relaxed).max(1) as f32
    }
}

/// The samples with a short fade at both ends, and a moment of silence after, for devices that swallow the last buffer.
fn faded(samples: &[f32]) -> Vec<f32> {
    let n = samples.len();
    let fade = FADE.min(n / 2).max(1);
    let gain = |i: usize| (i.min(n - 1 - i) as f32 / fade as f32).min(1.0);
    let mut out: Vec<f32> = samples
        .iter()
        .enumerate()
        .map(|(i, x)| (x * gain(i)).clamp(-1.0, 1.0))
        .collect();
    out.extend([0.0; 1600]);
    out
}

fn start(samples: &[f32], shared: Arc<SpeakerState>, faults: Sender<MicFault>) -> Result<Box<dyn Any>, MicFault> {
    let device = cpal::default_host()
        .default_output_device()
        .ok_or(MicFault::NoSpeaker)?;
    let config = device.default_output_config().map_err(|e| opening(&e))?;
    let rate = config.sample_rate();
    let unfit = || MicFault::Format(format!("{rate} Hz"));
    let sound = audio::from_16k(samples, rate).ok_or_else(unfit)?;
    shared.rate.store(rate as usize, Ordering::Relaxed);
    let stream = match config.sample_format() {
        SampleFormat::F32 => build::<f32>(&device, &config, sound, shared, faults),
        SampleFormat::F64 => build::<f64>(&device, &config, sound, shared, faults),
        SampleFormat::I16 => build::<i16>(&device, &config, sound, shared, faults),
        SampleFormat::I32 => build::<i32>(&device, &config, sound, shared, faults),
        SampleFormat::U8 => build::<u8>(&device, &config, sound, shared, faults),
        SampleFormat::U16 => build::<u16>(&device, &config, sound, shared, faults),
        other => return Err(MicFault::Format(other.to_string())),
    }?;
    stream.play().map_err(|e| opening(&e))?;
    Ok(Box::new(stream))
}

fn build<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    config: &SupportedStreamConfig,
    sound: Vec<f32>,
    shared: Arc<SpeakerState>,
    faults: Sender<MicFault>,
) -> Result<cpal::Stream, MicFault> {
    let channels = usize::from(config.channels().max(1));
    let told = move |e: cpal::Error| {
        if let Some(fault) = device::running(&e) {
            let _ = faults.send(fault);
        }
    };
    let callback = move |data: &mut [T], _: &cpal::OutputCallbackInfo| fill(data, channels, &sound, &shared);
    device
        .build_output_stream(config.config(), callback, told, None)
        .map_err(|e| opening(&e))
}

/// Writes the next frames of `sound` to every channel, silence after its end. Runs in the audio callback.
fn fill<T: SizedSample + FromSample<f32>>(data: &mut [T], channels: usize, sound: &[f32], shared: &SpeakerState) {
    let mut at = shared.at.load(Ordering::Relaxed);
    for frame in data.chunks_mut(channels) {
        let x = sound.get(at).copied().unwrap_or(0.0);
        at = (at + 1).min(sound.len());
        frame.fill(T::from_sample(x));
    }
    shared.at.store(at, Ordering::Relaxed);
    if at == sound.len() {
        shared.done.store(true, Ordering::Release);
    }
}

fn opening(error: &cpal::Error) -> MicFault {
    match error.kind() {
        ErrorKind::DeviceNotAvailable | ErrorKind::HostUnavailable => MicFault::NoSpeaker,
        _ => device::common(error),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Mutex;

    #[test]
    fn a_sound_goes_to_every_channel_and_then_says_that_it_is_done() {
        let (sound, shared) = ([0.5, -0.5, 0.25], SpeakerState::default());
        let mut data = [0i16; 4];
        fill(&mut data, 2, &sound, &shared);
        assert_eq!(
            (data, shared.done.load(Ordering::Acquire)),
            ([16_384, 16_384, -16_384, -16_384], false)
        );
        fill(&mut data, 2, &sound, &shared);
        assert_eq!(
            (data, shared.done.load(Ordering::Acquire)),
            ([8_192, 8_192, 0, 0], true)
        );
    }

    /// What the streams opened by a test were given: the first samples of each.
    static OPENED: Mutex<Vec<(usize, f32)>> = Mutex::new(Vec::new());

    fn given(samples: &[f32]) -> usize {
        let mut opened = OPENED.lock().unwrap();
        opened.push((samples.len(), samples[FADE]));
        opened.len()
    }

    /// A stand-in for a device: the first stream breaks after half a second, the next plays to its end.
    fn breaks_once(
        samples: &[f32],
        shared: Arc<SpeakerState>,
        faults: Sender<MicFault>,
    ) -> Result<Box<dyn Any>, MicFault> {
        shared.rate.store(16_000, Ordering::Relaxed);
        if given(samples) == 1 {
            shared.at.store(8_000, Ordering::Relaxed);
            let words = "ALSA function 'snd_pcm_avail_delay' failed with error 'I/O error (5)'";
            let _ = faults.send(MicFault::Other(words.into()));
        } else {
            shared.at.store(samples.len(), Ordering::Relaxed);
            shared.done.store(true, Ordering::Release);
        }
        Ok(Box::new(()))
    }

    /// A stand-in whose every stream breaks after a tenth of a second.
    fn breaks(_: &[f32], shared: Arc<SpeakerState>, faults: Sender<MicFault>) -> Result<Box<dyn Any>, MicFault> {
        shared.rate.store(16_000, Ordering::Relaxed);
        shared.at.store(1_600, Ordering::Relaxed);
        let _ = faults.send(MicFault::Unplugged);
        Ok(Box::new(()))
    }

    /// All that a speaker says until it is no longer playing, each once.
    fn told(speaker: &mut Speaker) -> Vec<Playing> {
        let mut all: Vec<Playing> = Vec::new();
        loop {
            let now = speaker.playing();
            let goes_on = matches!(now, Playing::At(_));
            if all.last() != Some(&now) {
                all.push(now);
            }
            if !goes_on {
                return all;
            }
            thread::yield_now();
        }
    }

    #[test]
    fn a_stream_that_breaks_once_goes_on_where_it_stood_and_nobody_is_told() {
        let mut speaker = Speaker::opened_by(breaks_once);
        let ramp: Vec<f32> = (0..16_000).map(|i| i as f32 / 16_000.0).collect();
        speaker.play(&ramp);
        let told = told(&mut speaker);
        assert_eq!(told.last(), Some(&Playing::Nothing), "{told:?}");
        let opened = OPENED.lock().unwrap();
        let [(first, _), (second, at)] = opened[..] else {
            panic!("{opened:?}");
        };
        // Half a second was handed over, the last tenth of it may not have been heard.
        assert_eq!((first - second, at), (6_400, ramp[6_400 + FADE]));
    }

    #[test]
    fn a_second_fault_is_told() {
        let mut speaker = Speaker::opened_by(breaks);
        speaker.play(&[0.5; 16_000]);
        let told = told(&mut speaker);
        assert_eq!(told.last(), Some(&Playing::Failed(MicFault::Unplugged)), "{told:?}");
        speaker.play(&[0.5; 16_000]);
        assert!(
            matches!(speaker.playing(), Playing::At(_)),
            "the next sound begins anew"
        );
    }

    #[test]
    fn a_device_that_cannot_play_is_told_at_once() {
        let mut speaker = Speaker::opened_by(|_, _, _| Err(MicFault::NoSpeaker));
        speaker.play(&[0.5; 16_000]);
        let told = told(&mut speaker);
        assert_eq!(told.last(), Some(&Playing::Failed(MicFault::NoSpeaker)), "{told:?}");
    }

    #[test]
    fn a_slice_begins_and_ends_softly() {
        let out = faded(&[1.0; 400]);
        assert_eq!((out[0], out[FADE], out[399], out.len()), (0.0, 1.0, 0.0, 2000));
        assert!(out.windows(2).all(|w| (w[1] - w[0]).abs() <= 1.0 / FADE as f32 + 1e-6));
        assert!(faded(&[]).iter().all(|x| *x == 0.0));
    }
}
