//! Files in place of a microphone and a loudspeaker.
//!
//! [`SpokenFiles`] plays a file as if someone spoke it. First comes a moment of the room, which is the file's own quietest
//! stretch over and over. Then comes the file at its own rate, channels and format, then the room again until it is
//! closed. It goes through the same ring as a device's sound. Troubles can be set, so that a lesson can be rehearsed
//! (and tested) with a microphone that is pulled out.

mod kept;
mod samples;

use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

pub use kept::KeepingPlayer;
use samples::FileSamples;

use super::feed::{self, Feed, Outlet};
use super::{Capture, Device, Flow, MicFault, Microphone};

/// How the time of a [`SpokenFiles`] passes.
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
pub struct SpokenFiles {
    files: Vec<PathBuf>,
    next: usize,
    pace: Pace,
    lead: Duration,
    room_dbfs: Option<f32>,
    trouble: Option<(Duration, MicFault)>,
}

impl SpokenFiles {
    /// A microphone into which these files are spoken.
    pub fn new(files: Vec<PathBuf>) -> SpokenFiles {
        SpokenFiles {
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
    pub fn from_path(path: &Path) -> Result<SpokenFiles, MicFault> {
        if path.is_file() {
            return Ok(SpokenFiles::new(vec![path.to_owned()]));
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
        Ok(SpokenFiles::new(files))
    }

    /// With another pace.
    pub fn paced(self, pace: Pace) -> SpokenFiles {
        SpokenFiles { pace, ..self }
    }

    /// With so long a stretch of the room before each file; 0.9 s unless said.
    pub fn after(self, lead: Duration) -> SpokenFiles {
        SpokenFiles { lead, ..self }
    }

    /// In a room of that noise, RMS in dBFS, which is then heard under the file too.
    pub fn in_room(self, room_dbfs: f32) -> SpokenFiles {
        SpokenFiles {
            room_dbfs: Some(room_dbfs),
            ..self
        }
    }

    /// With a fault so long after each opening; at zero the device cannot be opened.
    pub fn failing(self, after: Duration, fault: MicFault) -> SpokenFiles {
        SpokenFiles {
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

impl Microphone for SpokenFiles {
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
            return Box::new(DeadDevice(fault.clone()));
        }
        if let Some(id) = device {
            match self.files.iter().position(|p| p.display().to_string() == id) {
                Some(at) => self.next = at,
                None => return Box::new(DeadDevice(MicFault::NotThere(id.to_owned()))),
            }
        }
        let Some(path) = self.file(self.next) else {
            return Box::new(DeadDevice(MicFault::NoMicrophone));
        };
        match FileSamples::read(path) {
            Ok(mut samples) => {
                if let Some(room) = self.room_dbfs {
                    samples.put_in_room(room);
                }
                let speech = Speech::new(samples, self);
                self.next += 1;
                Box::new(speech)
            }
            Err(fault) => Box::new(DeadDevice(fault)),
        }
    }
}

/// A device that could not be opened.
struct DeadDevice(MicFault);

impl Capture for DeadDevice {
    fn read(&mut self, _: &mut Vec<f32>) -> Flow {
        Flow::Lost(self.0.clone())
    }
}

/// One file being spoken.
struct Speech {
    samples: FileSamples,
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

impl Speech {
    fn new(samples: FileSamples, from: &SpokenFiles) -> Speech {
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

#[cfg(test)]
mod tests;
