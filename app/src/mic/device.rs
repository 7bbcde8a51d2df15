//! The machine's own microphones, through the `cpal` library.
//!
//! A stream lives on a thread of its own, which opens the device, waits until it is no longer wanted and closes it:
//! opening may take long, and on some systems a stream may not move between threads.

use std::sync::mpsc::{self, Receiver, Sender, TryRecvError};
use std::thread;
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{ErrorKind, SampleFormat, StreamConfig, SupportedStreamConfig};
use soundbead_dsp::audio::{MAX_RATE, MIN_RATE};

use super::feed::{self, Feed, Outlet};
use super::{Capture, Device, Flow, MicFault, Microphone, StreamFormat};

/// A device that sends nothing for this long is taken to be lost, whatever it says of itself.
const PATIENCE: Duration = Duration::from_secs(2);

/// The devices of this machine.
#[derive(Default)]
pub struct Devices;

impl Microphone for Devices {
    fn look(&self) -> Receiver<Result<Vec<Device>, MicFault>> {
        let (tell, told) = mpsc::channel();
        thread::spawn(move || {
            let _quiet = quiet();
            tell.send(list())
        });
        told
    }

    fn open(&mut self, device: Option<&str>) -> Box<dyn Capture> {
        Box::new(DeviceCapture::open(device.map(str::to_owned)))
    }
}

fn list() -> Result<Vec<Device>, MicFault> {
    let found = cpal::default_host().input_devices().map_err(|e| opening(&e))?;
    let each = found.filter_map(|d| {
        let id = d.id().ok()?.to_string();
        let name = d
            .description()
            .map_or_else(|_| id.clone(), |about| about.name().to_owned());
        Some(Device { id, name })
    });
    let all: Vec<Device> = each.collect();
    let (mut shown, others): (Vec<Device>, Vec<Device>) = all.into_iter().partition(|d| is_for_people(&d.id));
    if shown.is_empty() {
        shown = others;
    }
    if shown.is_empty() {
        Err(MicFault::NoMicrophone)
    } else {
        Ok(shown)
    }
}

/// ALSA's own plugins and the shapes of a card beside `plughw`, which takes any rate: names of its configuration files
/// (`/usr/share/alsa`). They are no microphones, or the same one again.
const NOT_FOR_PEOPLE: [&str; 18] = [
    "dmix",
    "dsnoop",
    "front",
    "hw",
    "iec958",
    "jack",
    "lavrate",
    "null",
    "oss",
    "samplerate",
    "speex",
    "speexrate",
    "surround40",
    "surround51",
    "surround71",
    "sysdefault",
    "upmix",
    "vdownmix",
];

/// Whether a device is one that a person would choose; of other systems than ALSA each is.
fn is_for_people(id: &str) -> bool {
    let Some(name) = id.strip_prefix("alsa:") else {
        return true;
    };
    let kind = name.split(':').next().unwrap_or(name);
    !NOT_FOR_PEOPLE.contains(&kind)
}

/// Keeps what ALSA would print on standard error from a terminal, as long as it is held, on this thread.
#[cfg(target_os = "linux")]
pub(super) fn quiet() -> impl Sized {
    alsa::Output::local_error_handler()
}

/// Other systems print nothing.
#[cfg(not(target_os = "linux"))]
pub(super) fn quiet() -> impl Sized {}

/// What the stream's thread hands over once the device is open.
struct OpenedDevice {
    format: StreamFormat,
    outlet: Outlet,
}

struct DeviceCapture {
    opening: Receiver<Result<OpenedDevice, MicFault>>,
    opened: Option<OpenedDevice>,
    faults: Receiver<MicFault>,
    last: Instant,
    ended: Option<MicFault>,
    /// Dropped with this, which tells the thread to close the device.
    _wanted: Sender<()>,
}

impl DeviceCapture {
    fn open(device: Option<String>) -> DeviceCapture {
        let (tell, opening) = mpsc::channel();
        let (fault, faults) = mpsc::channel();
        let (wanted, until) = mpsc::channel::<()>();
        thread::spawn(move || {
            let _quiet = quiet();
            match start(device.as_deref(), fault) {
                Ok((opened, stream)) => {
                    if tell.send(Ok(opened)).is_ok() {
                        let _ = until.recv(); // returns when the other end is dropped
                    }
                    drop(stream);
                }
                Err(e) => drop(tell.send(Err(e))),
            }
        });
        DeviceCapture {
            opening,
            opened: None,
            faults,
            last: Instant::now(),
            ended: None,
            _wanted: wanted,
        }
    }

    /// Looks whether the device has been opened meanwhile.
    fn wait_for_device(&mut self) {
        match self.opening.try_recv() {
            Ok(Ok(opened)) => {
                self.opened = Some(opened);
                self.last = Instant::now();
            }
            Ok(Err(fault)) => self.ended = Some(fault),
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => self.ended = Some(MicFault::Unplugged),
        }
    }
}

impl Capture for DeviceCapture {
    fn read(&mut self, into: &mut Vec<f32>) -> Flow {
        if self.opened.is_none() && self.ended.is_none() {
            self.wait_for_device();
        }
        // A fault is asked for first: what came before it is then in the ring.
        let fault = self.faults.try_recv().ok();
        let Some(opened) = &mut self.opened else {
            return self.ended.clone().map_or(Flow::Opening, Flow::Lost);
        };
        let before = into.len();
        opened.outlet.drain(into);
        if into.len() > before {
            self.last = Instant::now();
        } else if self.last.elapsed() > PATIENCE {
            self.ended.get_or_insert(MicFault::Silent);
        }
        if let Some(fault) = fault {
            self.ended.get_or_insert(fault);
        }
        match &self.ended {
            Some(fault) => Flow::Lost(fault.clone()),
            None => Flow::Running(opened.format),
        }
    }

    fn missed(&self) -> u64 {
        self.opened.as_ref().map_or(0, |o| o.outlet.missed())
    }
}

fn start(device: Option<&str>, faults: Sender<MicFault>) -> Result<(OpenedDevice, cpal::Stream), MicFault> {
    let host = cpal::default_host();
    let device = match device {
        None => host.default_input_device().ok_or(MicFault::NoMicrophone)?,
        Some(id) => {
            let gone = || MicFault::NotThere(id.to_owned());
            let id = id.parse().map_err(|_| gone())?;
            host.device_by_id(&id).ok_or_else(gone)?
        }
    };
    let config = choose(&device)?;
    let format = StreamFormat {
        rate: config.sample_rate(),
        channels: config.channels(),
        bits: feed::bits_of(config.sample_format()),
    };
    let (feed, outlet) = feed::ring(format.rate, format.channels);
    let stream = build(&device, &config, feed, faults)?;
    stream.play().map_err(|e| opening(&e))?;
    Ok((OpenedDevice { format, outlet }, stream))
}

/// The device's own choice if it can be read, else the first that can.
fn choose(device: &cpal::Device) -> Result<SupportedStreamConfig, MicFault> {
    let fits = |c: &SupportedStreamConfig| {
        readable(c.sample_format()) && (MIN_RATE..=MAX_RATE).contains(&c.sample_rate()) && c.channels() > 0
    };
    let own = device.default_input_config();
    if let Ok(config) = &own
        && fits(config)
    {
        return Ok(*config);
    }
    let offered: Vec<_> = match device.supported_input_configs() {
        Ok(all) => all.map(|range| range.with_max_sample_rate()).collect(),
        Err(e) => return Err(opening(&own.err().unwrap_or(e))),
    };
    let shown = || {
        let each = offered
            .iter()
            .map(|c| format!("{}, {} Hz", c.sample_format(), c.sample_rate()));
        each.take(3).collect::<Vec<_>>().join("; ")
    };
    offered
        .iter()
        .find(|c| fits(c))
        .cloned()
        .ok_or_else(|| MicFault::Format(shown()))
}

fn readable(format: SampleFormat) -> bool {
    use SampleFormat::{F32, F64, I8, I16, I32, U8, U16, U32};
    matches!(format, I8 | I16 | I32 | U8 | U16 | U32 | F32 | F64)
}

fn build(
    device: &cpal::Device,
    config: &SupportedStreamConfig,
    mut feed: Feed,
    faults: Sender<MicFault>,
) -> Result<cpal::Stream, MicFault> {
    let told = move |e: cpal::Error| {
        if let Some(fault) = running(&e) {
            let _ = faults.send(fault);
        }
    };
    let shape: StreamConfig = config.config();
    macro_rules! stream {
        ($sample:ty) => {
            device.build_input_stream(
                shape,
                move |data: &[$sample], _: &cpal::InputCallbackInfo| feed.push(data),
                told,
                None,
            )
        };
    }
    let made = match config.sample_format() {
        SampleFormat::I8 => stream!(i8),
        SampleFormat::I16 => stream!(i16),
        SampleFormat::I32 => stream!(i32),
        SampleFormat::U8 => stream!(u8),
        SampleFormat::U16 => stream!(u16),
        SampleFormat::U32 => stream!(u32),
        SampleFormat::F64 => stream!(f64),
        _ => stream!(f32),
    };
    made.map_err(|e| opening(&e))
}

/// What an error means while a microphone is being opened.
fn opening(error: &cpal::Error) -> MicFault {
    match error.kind() {
        ErrorKind::DeviceNotAvailable | ErrorKind::HostUnavailable => MicFault::NoMicrophone,
        _ => common(error),
    }
}

/// What an error means while a stream runs; `None` where the stream goes on.
pub(super) fn running(error: &cpal::Error) -> Option<MicFault> {
    match error.kind() {
        ErrorKind::DeviceChanged | ErrorKind::Xrun | ErrorKind::RealtimeDenied => None,
        ErrorKind::DeviceNotAvailable | ErrorKind::HostUnavailable | ErrorKind::StreamInvalidated => {
            Some(MicFault::Unplugged)
        }
        _ => Some(common(error)),
    }
}

/// What an error means at any time.
pub(super) fn common(error: &cpal::Error) -> MicFault {
    match error.kind() {
        ErrorKind::DeviceBusy => MicFault::Busy,
        ErrorKind::PermissionDenied => MicFault::Refused,
        ErrorKind::UnsupportedConfig => MicFault::Format(error.to_string()),
        _ if nobody_answers(&error.to_string()) => MicFault::Other("its sound server is not running".into()),
        _ => MicFault::Other(error.to_string().trim_end_matches('.').to_owned()),
    }
}

/// Whether there is nobody where a sound server should be: PulseAudio's plugin for ALSA gives ECONNREFUSED then, PipeWire's
/// EHOSTDOWN.
fn nobody_answers(words: &str) -> bool {
    words.contains("Connection refused") || words.contains("Host is down")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_error_of_the_system_is_told_as_what_it_means_then() {
        let at_opening = |kind| opening(&kind_of(kind));
        assert_eq!(at_opening(ErrorKind::DeviceNotAvailable), MicFault::NoMicrophone);
        assert_eq!(at_opening(ErrorKind::DeviceBusy), MicFault::Busy);
        assert_eq!(at_opening(ErrorKind::PermissionDenied), MicFault::Refused);
        let later = |kind| running(&kind_of(kind));
        assert_eq!(later(ErrorKind::DeviceNotAvailable), Some(MicFault::Unplugged));
        assert_eq!(later(ErrorKind::StreamInvalidated), Some(MicFault::Unplugged));
        assert_eq!(later(ErrorKind::Xrun), None);
        assert_eq!(later(ErrorKind::DeviceChanged), None);
    }

    /// The words are those of the C library for the two errors, as they came from the plugins.
    #[test]
    fn a_sound_server_that_is_not_there_is_named_and_not_its_error() {
        for words in ["Connection refused (111)", "Host is down (112)"] {
            let said = format!("ALSA function 'snd_pcm_open' failed with error '{words}'");
            let error = cpal::Error::with_message(ErrorKind::BackendError, said);
            let not_running = MicFault::Other("its sound server is not running".into());
            assert_eq!(opening(&error), not_running, "{words}");
        }
    }

    fn kind_of(kind: ErrorKind) -> cpal::Error {
        cpal::Error::new(kind)
    }

    #[test]
    fn of_alsa_only_what_a_person_would_choose_is_listed() {
        // Names as ALSA's configuration gives them; common practice, no source.
        for id in [
            "alsa:default",
            "alsa:pulse",
            "alsa:pipewire",
            "alsa:plughw:CARD=PCH,DEV=0",
            "coreaudio:hw",
        ] {
            assert!(is_for_people(id), "{id}");
        }
        for id in [
            "alsa:null",
            "alsa:lavrate",
            "alsa:hw:CARD=PCH,DEV=0",
            "alsa:sysdefault:CARD=PCH",
        ] {
            assert!(!is_for_people(id), "{id}");
        }
    }

    #[test]
    fn an_unknown_device_is_told_and_not_waited_for() {
        let mut capture = Devices.open(Some("alsa:no such device"));
        let (mut into, until) = (Vec::new(), Instant::now() + Duration::from_secs(10));
        let flow = loop {
            match capture.read(&mut into) {
                Flow::Opening if Instant::now() < until => thread::sleep(Duration::from_millis(5)),
                flow => break flow,
            }
        };
        assert!(matches!(flow, Flow::Lost(_)), "{flow:?}");
        assert!(into.is_empty());
    }
}
