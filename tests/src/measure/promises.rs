//! What the project promises of speed, size and memory, each measured beside its target.

mod parts;
mod program;
#[path = "../../../app/benches/filled/rows.rs"]
mod rows;
mod whole;

use std::path::{Path, PathBuf};

use program::Program;

/// One promise, as it was measured.
pub struct PromiseRow {
    what: String,
    measured: f64,
    target: f64,
    unit: &'static str,
    /// Whether more is better.
    least: bool,
}

impl PromiseRow {
    /// A figure that is to be at most `target`.
    fn most(what: impl Into<String>, measured: f64, target: f64, unit: &'static str) -> PromiseRow {
        PromiseRow {
            what: what.into(),
            measured,
            target,
            unit,
            least: false,
        }
    }

    /// A figure that is to be at least `target`.
    fn least(what: impl Into<String>, measured: f64, target: f64, unit: &'static str) -> PromiseRow {
        PromiseRow {
            least: true,
            ..PromiseRow::most(what, measured, target, unit)
        }
    }

    fn met(&self) -> bool {
        match self.least {
            true => self.measured >= self.target,
            false => self.measured <= self.target,
        }
    }

    fn print(&self) {
        let bound = if self.least { "at least" } else { "at most" };
        let met = if self.met() { "met" } else { "NOT MET" };
        println!(
            "{:<58} {:>9} {:<7} {bound} {:>6}  {met}",
            self.what,
            short(self.measured),
            self.unit,
            short(self.target)
        );
    }
}

/// Three figures that count.
fn short(x: f64) -> String {
    let digits = match x.abs() {
        a if a >= 100.0 || a == 0.0 => 0,
        a if a >= 10.0 => 1,
        a if a >= 1.0 => 2,
        _ => 3,
    };
    format!("{x:.digits$}")
}

/// How much of ten years of a practice is filled where nothing is said: the whole takes minutes and gigabytes.
const SHARE: f64 = 0.05;

/// Measures and prints. `rows` picks from `time`, `size` and `memory`; all when it is empty. `ear` by itself needs no built program.
///
/// # Errors
/// When the built program is not there, or does not do what it is asked.
pub fn run(program: Option<&Path>, share: Option<f64>, rows: &str) -> Result<(), String> {
    let wanted = |name: &str| rows.is_empty() || rows.split(',').any(|row| row == name);
    println!("Measured on this machine, which may be busy; the targets are for an idle core of a usual one.");
    println!("{:<58} {:>9} {:<7} {:>15}", "what", "measured", "", "target");
    if rows == "ear" {
        parts::judging().iter().for_each(PromiseRow::print);
        return Ok(());
    }
    let program = Program::find(program)?;
    let work = ScratchFolder::new()?;
    if wanted("size") {
        whole::sizes(&program)?.iter().for_each(PromiseRow::print);
    }
    if wanted("time") {
        parts::all().iter().for_each(PromiseRow::print);
        whole::answers(&program, &work.0)?.iter().for_each(PromiseRow::print);
        whole::practice(&program, &work.0, share.unwrap_or(SHARE))?
            .iter()
            .for_each(PromiseRow::print);
    }
    if wanted("memory") {
        whole::limits(&program, &work.0)?.iter().for_each(PromiseRow::print);
    }
    println!(
        "Elsewhere: the window's first picture and its memory, tests/window.sh; a package and its installing, tests/package.sh;"
    );
    println!("an hour of lessons, tests/soak.sh; every benchmark with its spread, cargo bench.");
    Ok(())
}

/// Where the made recordings are.
fn made_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo")
}

/// A folder that is removed when it is dropped.
struct ScratchFolder(PathBuf);

impl ScratchFolder {
    fn new() -> Result<ScratchFolder, String> {
        let path = std::env::temp_dir().join(format!("soundbead-promises-{}", std::process::id()));
        std::fs::create_dir_all(&path).map_err(|e| format!("{}: {e}", path.display()))?;
        Ok(ScratchFolder(path))
    }
}

impl Drop for ScratchFolder {
    fn drop(&mut self) {
        // What cannot be removed from the system's folder for scratch files is removed by the system.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The middle of the times, in seconds, of `times` runs.
fn middle(times: usize, mut run: impl FnMut() -> Result<f64, String>) -> Result<f64, String> {
    let mut all = (0..times).map(|_| run()).collect::<Result<Vec<f64>, String>>()?;
    all.sort_by(f64::total_cmp);
    Ok(all[all.len() / 2])
}
