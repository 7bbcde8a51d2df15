//! Runs the built program as a person or a script would.
#![allow(dead_code, reason = "each test file uses a part")]

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

/// What a run gave.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// The lines of standard output, each as JSON.
    pub fn json(&self) -> Vec<Value> {
        let read = |line: &str| serde_json::from_str(line).unwrap_or_else(|e| panic!("not JSON ({e}): {line}"));
        self.out.lines().map(read).collect()
    }

    /// The rule for everything that cannot be used: status 2, one line on standard error, nothing else.
    pub fn refused(&self, what: &str) -> &str {
        assert_eq!(self.code, 2, "{what}: status {}, stderr: {}", self.code, self.err);
        assert_eq!(self.err.lines().count(), 1, "{what}: not one line: {}", self.err);
        assert!(!self.err.contains("panicked"), "{what}: {}", self.err);
        assert!(self.out.is_empty(), "{what}: standard output: {}", self.out);
        self.err.trim_end()
    }

    /// A run that went well and said nothing on standard error.
    pub fn well(self) -> Ran {
        assert_eq!((self.code, self.err.as_str()), (0, ""), "stdout: {}", self.out);
        self
    }
}

/// The program with a clean environment: its own data folder, a UTF-8 locale, no display.
pub fn command(home: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_soundbead"));
    command
        .env("SOUNDBEAD_HOME", home)
        .env("LC_ALL", "C.UTF-8")
        .env_remove("NO_COLOR")
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .stdin(Stdio::null());
    command
}

/// Runs with these arguments and an empty data folder.
#[track_caller]
pub fn run<S: AsRef<OsStr>>(args: &[S]) -> Ran {
    run_in(&scratch("home"), args)
}

/// Runs with these arguments and this data folder.
pub fn run_in<S: AsRef<OsStr>>(home: &Path, args: &[S]) -> Ran {
    finish(command(home).args(args))
}

/// Runs the command to its end.
pub fn finish(command: &mut Command) -> Ran {
    let output = command.output().expect("the program starts");
    Ran {
        code: output.status.code().expect("the program ends by itself"),
        out: String::from_utf8(output.stdout).expect("standard output is UTF-8"),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// A folder of this name for the test file that asks, in this run; made if it is not there.
#[track_caller]
pub fn scratch(name: &str) -> PathBuf {
    let asked_by = Path::new(std::panic::Location::caller().file()).file_stem();
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("tests-{}", std::process::id()))
        .join(asked_by.expect("a source file has a name"))
        .join(name);
    std::fs::create_dir_all(&folder).expect("a scratch folder can be made");
    folder
}

/// A file with these bytes.
pub fn file(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("a scratch file can be written");
    path
}

/// One of the made recordings.
pub fn demo(name: &str) -> PathBuf {
    demo_folder().join(name)
}

/// Where the made recordings are.
pub fn demo_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the app lies in the workspace")
        .join("recordings-demo")
}

/// A path as text, for arguments and manifests.
pub fn text(path: &Path) -> &str {
    path.to_str().expect("scratch paths are UTF-8")
}

/// A 16-bit WAV at 16 kHz of these samples.
pub fn wav(folder: &Path, name: &str, samples: impl IntoIterator<Item = i16>) -> PathBuf {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 16_000,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let path = folder.join(name);
    let mut writer = hound::WavWriter::create(&path, spec).expect("a scratch recording can be written");
    samples
        .into_iter()
        .for_each(|s| writer.write_sample(s).expect("a sample can be written"));
    writer.finalize().expect("a scratch recording can be finished");
    path
}
