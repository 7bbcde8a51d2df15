//! Long recordings with many channels are refused by their header, or decoded without holding more than is promised.

mod common;

use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

use common::{Counting, most_during};
use soundbead_dsp::audio::{self, AudioFault};

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// What is held at most while a recording is refused, in bytes: a reader's buffers, no sound.
const TO_REFUSE: isize = 4 << 20;
/// What is held at most while one is decoded: the program promises 300 MB for all that it does.
const TO_DECODE: isize = 200 << 20;

/// A file of silence, 16 bits, 48 kHz, which takes no room on the disk: only its header is written (RIFF, "Multimedia
/// Programming Interface and Data Specifications 1.0", IBM and Microsoft, 1991).
fn silence(name: &str, channels: u16, seconds: u32) -> PathBuf {
    const RATE: u32 = 48_000;
    let block = 2 * channels;
    let bytes = RATE * u32::from(block) * seconds;
    let mut head = Vec::new();
    head.extend(b"RIFF");
    head.extend((36 + bytes).to_le_bytes());
    head.extend(b"WAVEfmt ");
    head.extend(16u32.to_le_bytes());
    head.extend([1u16, channels].map(u16::to_le_bytes).concat());
    head.extend([RATE, RATE * u32::from(block)].map(u32::to_le_bytes).concat());
    head.extend([block, 16].map(u16::to_le_bytes).concat());
    head.extend(b"data");
    head.extend(bytes.to_le_bytes());
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}.wav", std::process::id()));
    let mut file = File::create(&path).expect("a scratch file");
    file.write_all(&head).expect("its header");
    file.set_len(u64::from(bytes) + head.len() as u64).expect("its length");
    path
}

#[test]
fn long_recordings_of_many_channels_stay_within_their_memory() {
    let ten_minutes = silence("eight-channels-600", 8, 600);
    let (refused, most) = most_during(|| audio::decode(&ten_minutes));
    let fault = refused.expect_err("ten minutes of eight channels").fault;
    assert_eq!(fault, AudioFault::TooManyLong(8, 150.0));
    assert!(most < TO_REFUSE, "{most} bytes held to refuse it");

    let eleven = silence("one-channel-660", 1, 660);
    let (refused, most) = most_during(|| audio::decode(&eleven));
    assert!(matches!(
        refused.expect_err("eleven minutes").fault,
        AudioFault::TooLong(Some(_), _)
    ));
    assert!(most < TO_REFUSE, "{most} bytes held to refuse it");

    let longest = silence("eight-channels-150", 8, 150);
    let (decoded, most) = most_during(|| audio::decode(&longest));
    let decoded = decoded.expect("as long as eight channels may be");
    assert_eq!((decoded.channels, decoded.clip.samples.len()), (8, 150 * 16_000));
    assert!(most < TO_DECODE, "{most} bytes held to decode it");
    let many = silence("thirty-two-channels", 32, 30);
    let line = audio::decode(&many)
        .expect_err("more than a WAV file can name")
        .to_string();
    assert!(
        line.contains("more than 18 channels") && line.contains("save it as"),
        "{line}"
    );
    for path in [ten_minutes, eleven, longest, many] {
        std::fs::remove_file(path).expect("a scratch file");
    }
}
