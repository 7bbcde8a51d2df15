//! Files in place of a microphone and a loudspeaker.
//!
//! [`Spoken`] plays a file as if someone spoke it: first a moment of the room, which is the file's own quietest stretch
//! over and over, then the file at its own rate, channels and format, then the room again until it is closed. It goes through the same ring as a device's sound.
//! Troubles can be set, so that a lesson can be rehearsed (and tested) with a microphone that is pulled out.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use soundbead_dsp::audio::{self, RATE};

use super::feed::{self, Feed, Outlet};
use super::{Capture, Device, Flow, Format, MicFault, Microphone, Player, Playing};

/// A stretch louder than this is no quiet, as an amplitude (-35 dBFS) ...
const MOST_ROOM: f32 = 0.0178;
/// ... and is played this softly in its stead (-65 dBFS).
const LEAST_ROOM: f32 = 0.000_56;

/// How the time of a [`Spoken`] passes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Pace {
    /// As fast as speech.
    #[default]
    Clock,
    /// Each reading brings this much, however long it took.
    EachRead(Duration),
}

/// Files played as if spoken: each opening plays the next, and the last one again when there is none after it.
#[derive(Clone, Debug)]
pub struct Spoken {
    files: Vec<PathBuf>,
    next: usize,
    pace: Pace,
    lead: Duration,
    room_dbfs: Option<f32>,
    trouble: Option<(Duration, MicFault)>,
}

impl Spoken {
    /// A microphone into which these files are spoken.
    pub fn new(files: Vec<PathBuf>) -> Spoken {
        Spoken {
            files,
            next: 0,
            pace: Pace::Clock,
            lead: Duration::from_millis(900),
            room_dbfs: None,
            trouble: None,
        }
    }

    /// All sound files of a folder in the order of their names, or one file.
    ///
    /// # Errors
    /// When it is neither, or cannot be read, or holds no file that looks like sound.
    pub fn from_path(path: &Path) -> Result<Spoken, MicFault> {
        if path.is_file() {
            return Ok(Spoken::new(vec![path.to_owned()]));
        }
        let fault = |what: &dyn std::fmt::Display| MicFault::File(format!("{}: {what}", path.display()));
        let entries = std::fs::read_dir(path).map_err(|e| fault(&e))?;
        let mut files: Vec<PathBuf> = entries
            .filter_map(|e| Some(e.ok()?.path()))
            .filter(|p| sounds(p))
            .collect();
        files.sort();
        if files.is_empty() {
            return Err(fault(&"has no WAV, FLAC, MP3, Ogg or M4A file"));
        }
        Ok(Spoken::new(files))
    }

    /// With another pace.
    pub fn paced(self, pace: Pace) -> Spoken {
        Spoken { pace, ..self }
    }

    /// With so long a stretch of the room before each file; 0.9 s unless said.
    pub fn after(self, lead: Duration) -> Spoken {
        Spoken { lead, ..self }
    }

    /// In a room of that noise, RMS in dBFS, which is then heard under the file too.
    pub fn in_room(self, room_dbfs: f32) -> Spoken {
        Spoken {
            room_dbfs: Some(room_dbfs),
            ..self
        }
    }

    /// With a fault so long after each opening; at zero the device cannot be opened.
    pub fn failing(self, after: Duration, fault: MicFault) -> Spoken {
        Spoken {
            trouble: Some((after, fault)),
            ..self
        }
    }

    fn file(&self, at: usize) -> Option<&PathBuf> {
        self.files.get(at.min(self.files.len().saturating_sub(1)))
    }
}

/// Whether a path's ending is one of a sound file that can be decoded.
pub fn sounds(path: &Path) -> bool {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    ending.is_some_and(|e| {
        matches!(
            e.as_str(),
            "wav" | "flac" | "mp3" | "ogg" | "oga" | "m4a" | "mp4" | "aac"
        )
    })
}

impl Microphone for Spoken {
    fn look(&self) -> Receiver<Result<Vec<Device>, MicFault>> {
        let (tell, told) = mpsc::channel();
        let each = self.files.iter().map(|path| Device {
            id: path.display().to_string(),
            name: path
                .file_name()
                .map_or_else(String::new, |n| n.to_string_lossy().into_owned()),
        });
        let all: Vec<Device> = each.collect();
        let _ = tell.send(if all.is_empty() {
            Err(MicFault::NoMicrophone)
        } else {
            Ok(all)
        });
        told
    }

    /// `device` may name one of the files; they go on from there.
    fn open(&mut self, device: Option<&str>) -> Box<dyn Capture> {
        if let Some((after, fault)) = &self.trouble
            && after.is_zero()
        {
            return Box::new(Dead(fault.clone()));
        }
        if let Some(id) = device {
            match self.files.iter().position(|p| p.display().to_string() == id) {
                Some(at) => self.next = at,
                None => return Box::new(Dead(MicFault::NotThere(id.to_owned()))),
            }
        }
        let Some(path) = self.file(self.next) else {
            return Box::new(Dead(MicFault::NoMicrophone));
        };
        match Samples::read(path) {
            Ok(mut samples) => {
                if let Some(room) = self.room_dbfs {
                    samples.put_in_room(room);
                }
                let speech = Speech::new(samples, self);
                self.next += 1;
                Box::new(speech)
            }
            Err(fault) => Box::new(Dead(fault)),
        }
    }
}

/// A device that could not be opened.
struct Dead(MicFault);

impl Capture for Dead {
    fn read(&mut self, _: &mut Vec<f32>) -> Flow {
        Flow::Lost(self.0.clone())
    }
}

/// A file's interleaved samples as it has them.
enum Samples {
    Whole(Vec<i16>, Format),
    Float(Vec<f32>, Format),
}

impl Samples {
    /// WAV as it is; what else can be decoded comes at 16 kHz.
    fn read(path: &Path) -> Result<Samples, MicFault> {
        if let Ok(reader) = hound::WavReader::open(path)
            && let Some(samples) = Self::wav(reader)
        {
            return Ok(samples);
        }
        let recording = audio::decode(path).map_err(|e| MicFault::File(e.to_string()))?;
        let format = Format {
            rate: RATE,
            channels: 1,
            bits: None,
        };
        Ok(Samples::Float(recording.clip.samples, format))
    }

    fn wav(reader: hound::WavReader<std::io::BufReader<std::fs::File>>) -> Option<Samples> {
        let spec = reader.spec();
        let format = Format {
            rate: spec.sample_rate,
            channels: spec.channels,
            bits: (spec.sample_format == hound::SampleFormat::Int).then_some(u32::from(spec.bits_per_sample)),
        };
        match (spec.sample_format, spec.bits_per_sample) {
            (hound::SampleFormat::Int, 16) => Some(Samples::Whole(
                reader.into_samples().collect::<Result<_, _>>().ok()?,
                format,
            )),
            (hound::SampleFormat::Float, 32) => Some(Samples::Float(
                reader.into_samples().collect::<Result<_, _>>().ok()?,
                format,
            )),
            _ => None,
        }
    }

    fn format(&self) -> Format {
        match self {
            Samples::Whole(_, format) | Samples::Float(_, format) => *format,
        }
    }

    fn len(&self) -> usize {
        match self {
            Samples::Whole(x, _) => x.len(),
            Samples::Float(x, _) => x.len(),
        }
    }

    /// The samples as numbers from -1 to 1.
    fn level(&self) -> Vec<f32> {
        match self {
            Samples::Whole(x, _) => x.iter().map(|x| f32::from(*x) / 32_768.0).collect(),
            Samples::Float(x, _) => x.clone(),
        }
    }

    /// The quietest fifth of a second, there and back, so that it can be repeated without a seam. Where a file is cut so
    /// tightly that there is no quiet in it, softened.
    fn room(&self) -> Vec<f32> {
        let (format, level) = (self.format(), self.level());
        let channels = usize::from(format.channels);
        let block = (format.rate as usize / 5 * channels).max(channels);
        let rms = |b: &[f32]| (b.iter().map(|x| x * x).sum::<f32>() / b.len() as f32).sqrt();
        let blocks = level.chunks_exact(block.min(level.len().max(1)));
        let quietest = blocks.min_by(|a, b| rms(a).total_cmp(&rms(b))).unwrap_or(&[]);
        let gain = if rms(quietest) > MOST_ROOM {
            LEAST_ROOM / rms(quietest)
        } else {
            1.0
        };
        let back = quietest.chunks_exact(channels).rev().flatten();
        quietest.iter().chain(back).map(|x| x * gain).collect()
    }

    /// Adds the room's hiss, but not to samples at the very top: a clipped recording stays one.
    fn put_in_room(&mut self, dbfs: f32) {
        let (level, format) = (self.level(), self.format());
        let peak = level.iter().fold(0.0f32, |m, x| m.max(x.abs()));
        let top = if peak > 0.1 { peak * 0.999 } else { 1.0 };
        let mut hiss = Hiss::new(10f32.powf(dbfs / 20.0));
        let add = |x: &f32| {
            if x.abs() < top {
                (x + hiss.next()).clamp(-top, top)
            } else {
                *x
            }
        };
        *self = Samples::Float(level.iter().map(add).collect(), format);
    }

    fn push(&self, from: usize, to: usize, feed: &mut Feed) {
        match self {
            Samples::Whole(x, _) => feed.push(&x[from..to]),
            Samples::Float(x, _) => feed.push(&x[from..to]),
        }
    }
}

/// One file being spoken.
struct Speech {
    samples: Samples,
    feed: Feed,
    outlet: Outlet,
    pace: Pace,
    opened: Instant,
    /// Time that has passed, as the pace counts it.
    passed: Duration,
    /// Samples sent so far, the room's included.
    sent: usize,
    lead: usize,
    room: Vec<f32>,
    trouble: Option<(Duration, MicFault)>,
}

/// Evenly spread noise, the same every time (the multiplier is that of Numerical Recipes' "quick and dirty" generator).
struct Hiss {
    seed: u32,
    most: f32,
}

impl Hiss {
    /// Noise of that RMS; evenly spread noise from -a to a has an RMS of a over the root of three.
    fn new(rms: f32) -> Hiss {
        Hiss {
            seed: 1,
            most: rms * 3f32.sqrt(),
        }
    }

    fn next(&mut self) -> f32 {
        self.seed = self.seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (self.seed as f32 / u32::MAX as f32 * 2.0 - 1.0) * self.most
    }
}

impl Speech {
    fn new(samples: Samples, from: &Spoken) -> Speech {
        let format = samples.format();
        let (feed, outlet) = feed::ring(format.rate, format.channels);
        let frames = (from.lead.as_secs_f64() * f64::from(format.rate)) as usize;
        Speech {
            room: samples.room(),
            samples,
            feed,
            outlet,
            pace: from.pace,
            opened: Instant::now(),
            passed: Duration::ZERO,
            sent: 0,
            lead: frames * usize::from(format.channels),
            trouble: from.trouble.clone(),
        }
    }

    /// Sends everything up to sample `to`.
    fn send(&mut self, to: usize) {
        let end = self.lead + self.samples.len();
        while self.sent < to {
            let next = match self.sent {
                at if at < self.lead => self.lead.min(to),
                at if at < end => end.min(to),
                _ => to,
            };
            if (self.lead..end).contains(&self.sent) {
                self.samples
                    .push(self.sent - self.lead, next - self.lead, &mut self.feed);
            } else {
                let room = self.room.iter().cycle().skip(self.sent % self.room.len().max(1));
                let room: Vec<f32> = room.take(next - self.sent).copied().collect();
                self.feed.push(&room);
            }
            self.sent = next;
        }
    }
}

impl Capture for Speech {
    fn read(&mut self, into: &mut Vec<f32>) -> Flow {
        self.passed = match self.pace {
            Pace::Clock => self.opened.elapsed(),
            Pace::EachRead(step) => self.passed + step,
        };
        let lost = self.trouble.clone().filter(|(after, _)| self.passed >= *after);
        let until = lost.as_ref().map_or(self.passed, |(after, _)| *after);
        let format = self.samples.format();
        let frames = (until.as_secs_f64() * f64::from(format.rate)).round() as usize;
        self.send(frames * usize::from(format.channels));
        self.outlet.drain(into);
        lost.map_or(Flow::Running(format), |(_, fault)| Flow::Lost(fault))
    }

    fn missed(&self) -> u64 {
        self.outlet.missed()
    }
}

/// A player that keeps what it is given, for machines without a loudspeaker and for tests. It takes as long as the
/// sound would. Clones keep together.
#[derive(Clone, Default)]
pub struct Kept {
    sounds: Arc<Mutex<Vec<Vec<f32>>>>,
    began: Option<Instant>,
}

impl Kept {
    /// Every sound that was to be played so far, in order.
    pub fn sounds(&self) -> Vec<Vec<f32>> {
        self.lock().clone()
    }

    fn lock(&self) -> MutexGuard<'_, Vec<Vec<f32>>> {
        self.sounds.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Player for Kept {
    fn play(&mut self, samples: &[f32]) {
        self.lock().push(samples.to_vec());
        self.began = Some(Instant::now());
    }

    fn stop(&mut self) {
        self.began = None;
    }

    fn playing(&mut self) -> Playing {
        let length = self.lock().last().map_or(0.0, |s| s.len() as f32 / RATE as f32);
        match self.began.map(|b| b.elapsed().as_secs_f32()) {
            Some(at) if at < length => Playing::At(at),
            _ => Playing::Nothing,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo(name: &str) -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../recordings-demo")
            .join(name)
    }

    fn each(ms: u64) -> Pace {
        Pace::EachRead(Duration::from_millis(ms))
    }

    #[test]
    fn a_file_comes_at_its_own_rate_and_channels_between_stretches_of_the_room() {
        let path = demo("37-bean.wav");
        let own: Vec<i16> = hound::WavReader::open(&path)
            .unwrap()
            .into_samples()
            .map(Result::unwrap)
            .collect();
        let mut mic = Spoken::new(vec![path])
            .paced(each(50))
            .after(Duration::from_millis(100));
        let (mut capture, mut got) = (mic.open(None), Vec::new());
        let steps = own.len() / 2 / 2205 + 10;
        for _ in 0..steps {
            let flow = capture.read(&mut got);
            let format = Format {
                rate: 44_100,
                channels: 2,
                bits: Some(16),
            };
            assert_eq!(flow, Flow::Running(format));
        }
        assert_eq!(got.len(), steps * 2205 * 2);
        let heard = &got[4410 * 2..][..own.len()];
        assert!(heard.iter().zip(&own).all(|(a, b)| *a == f32::from(*b) / 32_768.0));
        let room = &got[..4410 * 2];
        let rms = (room.iter().map(|x| x * x).sum::<f32>() / room.len() as f32).sqrt();
        assert!(rms > 0.0 && rms < MOST_ROOM, "{rms}");
    }

    #[test]
    fn a_noisy_room_is_heard_before_the_word_and_under_it() {
        let mut mic = Spoken::new(vec![demo("34-nothing.wav")])
            .paced(each(1000))
            .in_room(-40.0);
        let (mut capture, mut got) = (mic.open(None), Vec::new());
        capture.read(&mut got);
        capture.read(&mut got);
        for half in got.chunks(8_000) {
            let rms = (half.iter().map(|x| x * x).sum::<f32>() / half.len() as f32).sqrt();
            assert!((20.0 * rms.log10() + 40.0).abs() < 1.0, "{rms}");
        }
    }

    #[test]
    fn what_came_before_the_plug_was_pulled_is_there() {
        let mic = Spoken::new(vec![demo("01-goat.wav")]).paced(each(30));
        let mut mic = mic.failing(Duration::from_millis(100), MicFault::Unplugged);
        let (mut capture, mut got) = (mic.open(None), Vec::new());
        let flows: Vec<Flow> = (0..4).map(|_| capture.read(&mut got)).collect();
        assert!(flows[..3].iter().all(|f| matches!(f, Flow::Running(_))));
        assert_eq!((flows[3].clone(), got.len()), (Flow::Lost(MicFault::Unplugged), 1600));
    }

    #[test]
    fn each_opening_speaks_the_next_file_and_a_bad_file_is_named() {
        let files = vec![demo("01-goat.wav"), demo("37-bean.wav"), demo("gone.wav")];
        let mut mic = Spoken::new(files).paced(each(20));
        let mut rate = |device: Option<&str>| match mic.open(device).read(&mut Vec::new()) {
            Flow::Running(format) => Ok(format.rate),
            other => Err(other),
        };
        assert_eq!((rate(None), rate(None)), (Ok(16_000), Ok(44_100)));
        let Err(Flow::Lost(MicFault::File(line))) = rate(None) else {
            panic!("a missing file was played")
        };
        assert!(line.contains("gone.wav"), "{line}");
        assert_eq!(
            rate(Some("elsewhere.wav")),
            Err(Flow::Lost(MicFault::NotThere("elsewhere.wav".into())))
        );
    }

    #[test]
    fn a_folder_is_spoken_in_order_and_an_empty_one_is_refused() {
        let mut mic = Spoken::from_path(&demo("")).unwrap();
        assert!(
            mic.files[0].ends_with("01-goat.wav") && mic.files.len() == 38,
            "{:?}",
            mic.files
        );
        assert!(matches!(mic.open(None).read(&mut Vec::new()), Flow::Running(_)));
        assert!(Spoken::from_path(&demo("../dsp/weights")).is_err());
        assert!(Spoken::from_path(&demo("nowhere")).is_err());
    }
}
