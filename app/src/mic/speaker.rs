//! The machine's own loudspeaker, through the `cpal` library.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{ErrorKind, FromSample, SampleFormat, SizedSample, SupportedStreamConfig};
use soundbead_dsp::audio;

use super::{MicFault, Player, Playing, device};

/// Fade at both ends of a sound, in samples at 16 kHz (5 ms): a slice out of a word would begin and end with a click.
const FADE: usize = 80;
/// A sound server may refuse the first buffer of a sound (PulseAudio's ALSA plugin: "I/O error") and take the same sound a
/// moment later. Within this part of a second nothing was heard yet, and the sound is begun once more.
const UNHEARD_S: f32 = 0.1;

/// The system's loudspeaker. The device is open while a sound plays.
#[derive(Default)]
pub struct Speaker {
    now: Option<SoundOut>,
    fault: Option<MicFault>,
}

/// A sound on its way out.
struct SoundOut {
    samples: Arc<[f32]>,
    /// Whether it was begun before and refused.
    again: bool,
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

impl Player for Speaker {
    fn play(&mut self, samples: &[f32]) {
        self.stop();
        self.fault = None;
        self.now = Some(SoundOut::begin(faded(samples).into(), false));
    }

    fn stop(&mut self) {
        self.now = None;
    }

    fn playing(&mut self) -> Playing {
        if let Some(now) = self.now.take() {
            self.fault = now.faults.try_recv().ok();
            self.now = match &self.fault {
                Some(fault) if now.may_begin_again(fault) => {
                    self.fault = None;
                    Some(SoundOut::begin(now.samples.clone(), true))
                }
                None if !now.shared.done.load(Ordering::Acquire) => Some(now),
                _ => None,
            };
        }
        match (&self.fault, &self.now) {
            (Some(fault), _) => Playing::Failed(fault.clone()),
            (None, Some(now)) => Playing::At(now.shared.seconds()),
            (None, None) => Playing::Nothing,
        }
    }
}

impl SoundOut {
    fn begin(samples: Arc<[f32]>, again: bool) -> SoundOut {
        let shared = Arc::new(SpeakerState::default());
        let (fault, faults) = mpsc::channel();
        let (wanted, until) = mpsc::channel::<()>();
        let (sound, theirs) = (samples.clone(), shared.clone());
        thread::spawn(move || {
            let _quiet = device::quiet();
            match start(&sound, theirs, fault.clone()) {
                Ok(stream) => {
                    let _ = until.recv(); // returns when the other end is dropped
                    drop(stream);
                }
                Err(e) => drop(fault.send(e)),
            }
        });
        SoundOut {
            samples,
            again,
            shared,
            faults,
            _wanted: wanted,
        }
    }

    /// Whether a fault came before anything was heard, and is one that another try may not meet.
    fn may_begin_again(&self, fault: &MicFault) -> bool {
        !self.again && matches!(fault, MicFault::Other(_)) && self.shared.seconds() < UNHEARD_S
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

fn start(samples: &[f32], shared: Arc<SpeakerState>, faults: Sender<MicFault>) -> Result<cpal::Stream, MicFault> {
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
    Ok(stream)
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

    #[test]
    fn a_sound_refused_before_it_was_heard_is_begun_once_more() {
        let out = |again, at| {
            let (_, faults) = mpsc::channel();
            let (wanted, _) = mpsc::channel();
            let (samples, shared) = (Arc::from([0.0; 4]), Arc::new(SpeakerState::default()));
            shared.rate.store(16_000, Ordering::Relaxed);
            shared.at.store(at, Ordering::Relaxed);
            SoundOut {
                samples,
                again,
                shared,
                faults,
                _wanted: wanted,
            }
        };
        let refused = MicFault::Other("I/O error".into());
        assert!(out(false, 0).may_begin_again(&refused));
        assert!(!out(true, 0).may_begin_again(&refused));
        assert!(!out(false, 8_000).may_begin_again(&refused), "half a second was heard");
        assert!(!out(false, 0).may_begin_again(&MicFault::NoSpeaker));
    }

    #[test]
    fn a_slice_begins_and_ends_softly() {
        let out = faded(&[1.0; 400]);
        assert_eq!((out[0], out[FADE], out[399], out.len()), (0.0, 1.0, 0.0, 2000));
        assert!(out.windows(2).all(|w| (w[1] - w[0]).abs() <= 1.0 / FADE as f32 + 1e-6));
        assert!(faded(&[]).iter().all(|x| *x == 0.0));
    }
}
