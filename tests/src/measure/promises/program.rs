//! The built program, run and watched.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The built program.
pub struct Program(PathBuf);

/// What a run cost.
pub struct RunCost {
    /// From the start to the end, in seconds.
    pub seconds: f64,
    /// The most memory that was in use, in MB; none where the system does not tell.
    pub peak_mb: Option<f64>,
    /// The exit status.
    pub code: i32,
}

/// How often a running program is looked at. What it took in its last moments may be missed.
const LOOK: Duration = Duration::from_millis(2);

impl Program {
    /// The one named, or that which lies beside this program.
    ///
    /// # Errors
    /// When there is none.
    pub fn find(named: Option<&Path>) -> Result<Program, String> {
        let here = std::env::current_exe().map_err(|e| e.to_string())?;
        let path = named.map_or_else(|| here.with_file_name("soundbead"), Path::to_owned);
        match path.is_file() {
            true => Ok(Program(path)),
            false => Err(format!(
                "{}: the program is not built; cargo build --release -p soundbead, or name it with --program",
                path.display()
            )),
        }
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Runs it with a data folder of its own, giving it `input`.
    ///
    /// # Errors
    /// When it cannot be started.
    pub fn run(&self, home: &Path, args: &[&str], input: &str) -> Result<RunCost, String> {
        let fault = |e: std::io::Error| format!("{}: {e}", self.0.display());
        std::fs::create_dir_all(home).map_err(fault)?;
        let start = Instant::now();
        let mut child = Command::new(&self.0)
            .args(args)
            .env("SOUNDBEAD_HOME", home)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .map_err(fault)?;
        if let Some(mut pipe) = child.stdin.take() {
            // A program that has ended reads no more.
            let _ = pipe.write_all(input.as_bytes());
        }
        let mut peak_mb = None;
        let status = loop {
            peak_mb = peak(child.id()).or(peak_mb);
            if let Some(status) = child.try_wait().map_err(fault)? {
                break status;
            }
            std::thread::sleep(LOOK);
        };
        Ok(RunCost {
            seconds: start.elapsed().as_secs_f64(),
            peak_mb,
            code: status.code().unwrap_or(-1),
        })
    }

    /// As [`Program::run`], for what has to go well.
    ///
    /// # Errors
    /// When it cannot be started, or ends otherwise.
    pub fn well(&self, home: &Path, args: &[&str], input: &str) -> Result<RunCost, String> {
        let ran = self.run(home, args, input)?;
        match ran.code {
            0 => Ok(ran),
            code => Err(format!("soundbead {} ended with status {code}", args.join(" "))),
        }
    }
}

/// The most memory that a running program has used, in MB (`VmHWM`, proc(5) of Linux, in kB of 1,024 bytes).
fn peak(id: u32) -> Option<f64> {
    let status = std::fs::read_to_string(format!("/proc/{id}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kb: f64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(kb * 1_024.0 / 1e6)
}
