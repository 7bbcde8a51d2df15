//! Bytes to samples: the container and codec work, done by the `symphonia` library.
//!
//! What is added here: a look at the first bytes, so that a text named `.wav` is called what it is; limits that stop
//! long files early; and a verdict on files that are cut short.

use std::io::{Read, Seek, SeekFrom};

use symphonia::core::codecs::CodecParameters;
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions, well_known as codec};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, Track, TrackType};
use symphonia::core::io::{MediaSource, MediaSourceStream};
use symphonia::core::meta::MetadataOptions;

use super::error::AudioFault;

/// What is known of a recording once its header is read.
#[derive(Debug, Clone)]
pub struct Header {
    /// Name of the container, as people call it.
    pub kind: &'static str,
    /// Bits a sample, where the source stores whole numbers.
    pub bits: Option<u32>,
    /// Whether the coding throws some of the sound away.
    pub lossy: bool,
    /// Frames the header promises.
    pub frames: Option<u64>,
    /// Channels the header states; 1 where it states none.
    pub channels: usize,
    /// Sample rate the header states, in Hz.
    pub rate: Option<u32>,
}

/// A recording opened for reading, frame by frame.
pub struct SoundReader {
    /// What the header says.
    pub header: Header,
    format: Box<dyn FormatReader>,
    decoder: Box<dyn AudioDecoder>,
    track: u32,
    planes: Vec<Vec<f32>>,
    /// Set when some packet could not be decoded, or the data ended before the container said they would.
    pub broken: bool,
    bad_packets: u32,
}

/// A run of bad packets longer than this ends the reading: what follows is no sound.
const MOST_BAD_PACKETS: u32 = 50;

impl SoundReader {
    /// Opens a source of bytes. `hint` is the file's extension, used only where the bytes leave a doubt.
    ///
    /// # Errors
    /// When the bytes are no recording that can be decoded.
    pub fn open(mut source: Box<dyn MediaSource>, hint: &str) -> Result<SoundReader, AudioFault> {
        let kind = sniff(&mut source, hint)?;
        let bytes = source.byte_len();
        let mut clue = Hint::new();
        clue.with_extension(extension(kind));
        let stream = MediaSourceStream::new(source, Default::default());
        let format = symphonia::default::get_probe()
            .probe(&clue, stream, FormatOptions::default(), MetadataOptions::default())
            .map_err(|e| header_fault(kind, &e))?;
        let track = format
            .default_track(TrackType::Audio)
            .or_else(|| format.tracks().first());
        let track = track.ok_or_else(|| AudioFault::Header(kind, "no sound track in it".into()))?;
        let Some(CodecParameters::Audio(params)) = &track.codec_params else {
            return Err(AudioFault::Codec("an unknown codec".into()));
        };
        let decoder = symphonia::default::get_codecs()
            .make_audio_decoder(params, &AudioDecoderOptions::default())
            .map_err(|e| codec_fault(kind, params, &e))?;
        let header = header(kind, track, params, bytes);
        let track = track.id;
        Ok(SoundReader {
            header,
            format,
            decoder,
            track,
            planes: Vec::new(),
            broken: false,
            bad_packets: 0,
        })
    }

    /// The next stretch of sound: rate in Hz and one slice a channel. None at the end.
    pub fn next(&mut self) -> Option<(u32, &[Vec<f32>])> {
        loop {
            let packet = match self.format.next_packet() {
                Ok(Some(p)) => p,
                Ok(None) | Err(Error::ResetRequired) => return None,
                Err(_) => {
                    self.broken = true;
                    return None;
                }
            };
            if packet.track_id != self.track {
                continue;
            }
            match self.decoder.decode(&packet) {
                Ok(buffer) if buffer.frames() > 0 && buffer.num_planes() > 0 => {
                    let rate = buffer.spec().rate();
                    buffer.copy_to_vecs_planar(&mut self.planes);
                    self.bad_packets = 0;
                    return Some((rate, &self.planes));
                }
                Ok(_) => {}
                Err(_) => {
                    self.broken = true;
                    self.bad_packets += 1;
                    if self.bad_packets > MOST_BAD_PACKETS {
                        return None;
                    }
                }
            }
        }
    }
}

fn header(kind: &'static str, track: &Track, params: &AudioCodecParameters, bytes: Option<u64>) -> Header {
    let pcm = kind == "WAV";
    let lossless = pcm || kind == "FLAC" || params.codec == codec::CODEC_ID_ALAC;
    let float = [
        codec::CODEC_ID_PCM_F32LE,
        codec::CODEC_ID_PCM_F64LE,
        codec::CODEC_ID_PCM_F32BE,
    ]
    .contains(&params.codec);
    let bits = params.bits_per_sample.filter(|_| lossless && !float);
    let mut frames = track.num_frames;
    let channels = params.channels.as_ref().map_or(1, |c| c.count()).max(1);
    if let (true, Some(n), Some(bytes)) = (pcm, frames, bytes) {
        // A cut-off WAV may promise more than its bytes can hold, at one byte a frame or more.
        let least = channels as u64 * u64::from(params.bits_per_coded_sample.unwrap_or(8).div_ceil(8));
        frames = Some(n.min(bytes / least.max(1) + 1));
    }
    Header {
        kind,
        bits,
        lossy: !lossless,
        frames,
        channels,
        rate: params.sample_rate,
    }
}

/// Which container the bytes begin as. Leaves the source at its start.
fn sniff(source: &mut Box<dyn MediaSource>, hint: &str) -> Result<&'static str, AudioFault> {
    let unreadable = |e: std::io::Error| AudioFault::Unreadable(e.to_string());
    let mut head = [0u8; 64];
    let mut n = fill(source, &mut head).map_err(unreadable)?;
    if n == 0 {
        return Err(AudioFault::Empty);
    }
    if n >= 10 && &head[..3] == b"ID3" {
        // Tags may stand before MP3, AAC or FLAC. Their length is given seven bits a byte (ID3v2.4, section 3.1).
        let length = head[6..10].iter().fold(0u64, |acc, &b| acc << 7 | u64::from(b & 0x7f));
        source.seek(SeekFrom::Start(length + 10)).map_err(unreadable)?;
        n = fill(source, &mut head).map_err(unreadable)?;
        let kind = if n >= 4 && &head[..4] == b"fLaC" { "FLAC" } else { "MP3" };
        source.seek(SeekFrom::Start(0)).map_err(unreadable)?;
        return Ok(kind);
    }
    source.seek(SeekFrom::Start(0)).map_err(unreadable)?;
    kind_of(&head[..n], hint).ok_or(AudioFault::NotAudio)
}

fn kind_of(head: &[u8], hint: &str) -> Option<&'static str> {
    let sync = head.len() >= 2 && head[0] == 0xff && head[1] & 0xe0 == 0xe0;
    if head.starts_with(b"RIFF") {
        return (head.len() < 12 || &head[8..12] == b"WAVE").then_some("WAV");
    }
    if head.starts_with(b"fLaC") {
        return Some("FLAC");
    }
    if head.starts_with(b"OggS") {
        return Some(if head.windows(8).any(|w| w == b"OpusHead") {
            "Ogg Opus"
        } else {
            "Ogg"
        });
    }
    if head.len() >= 8 && [&b"ftyp"[..], b"moov", b"mdat", b"wide", b"free"].contains(&&head[4..8]) {
        return Some("MP4");
    }
    if sync {
        return Some(if head[1] & 0x16 == 0x10 { "AAC" } else { "MP3" });
    }
    // Some MP3 files begin with padding or junk; the extension is then the only clue.
    (hint.eq_ignore_ascii_case("mp3") && head.iter().all(|&b| b == 0)).then_some("MP3")
}

fn extension(kind: &str) -> &'static str {
    match kind {
        "WAV" => "wav",
        "FLAC" => "flac",
        "MP4" => "m4a",
        "AAC" => "aac",
        "MP3" => "mp3",
        _ => "ogg",
    }
}

/// Reads until `to` is full or the source ends.
fn fill(source: &mut Box<dyn MediaSource>, to: &mut [u8]) -> std::io::Result<usize> {
    let mut n = 0;
    while n < to.len() {
        match source.read(&mut to[n..]) {
            Ok(0) => break,
            Ok(k) => n += k,
            Err(e) if e.kind() == std::io::ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    Ok(n)
}

fn header_fault(kind: &'static str, e: &Error) -> AudioFault {
    if kind == "Ogg Opus" {
        return AudioFault::Codec("Opus".into());
    }
    match e {
        Error::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => {
            AudioFault::Header(kind, "it ends too soon".into())
        }
        Error::IoError(e) => AudioFault::Unreadable(e.to_string()),
        Error::Unsupported(what) if kind == "WAV" && what.contains("codec") => AudioFault::Codec((*what).into()),
        // Beyond 18, a WAV file must say which channel is which.
        Error::DecodeError(what) if kind == "WAV" && what.contains("channel count") => {
            AudioFault::Codec("more than 18 channels, or none".into())
        }
        Error::Unsupported(what) if what.contains("no suitable format reader") => {
            AudioFault::Header(kind, "too little of it is there".into())
        }
        e => AudioFault::Header(kind, reason(e)),
    }
}

/// The last part of the library's message: what comes before names its modules.
fn reason(e: &Error) -> String {
    let whole = e.to_string();
    whole.rsplit(": ").next().unwrap_or(&whole).to_string()
}

fn codec_fault(kind: &'static str, params: &AudioCodecParameters, e: &Error) -> AudioFault {
    let name = match params.codec {
        codec::CODEC_ID_OPUS => "Opus",
        codec::CODEC_ID_SPEEX => "Speex",
        codec::CODEC_ID_AC3 => "AC-3",
        codec::CODEC_ID_AAC => {
            return AudioFault::Codec(format!(
                "a kind of AAC with more than two channels or an odd profile ({e})"
            ));
        }
        _ if matches!(e, Error::Unsupported(_)) => {
            return AudioFault::Codec(format!("an unusual codec in {kind} ({e})"));
        }
        _ => return AudioFault::Header(kind, e.to_string()),
    };
    AudioFault::Codec(name.into())
}
