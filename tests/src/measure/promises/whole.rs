//! Promises of the program as a whole, measured by driving it.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

use jiff::Zoned;

use super::program::Program;
use super::{PromiseRow, made_folder, middle, rows};

/// What the released program, its model and its voice may take, in MB.
///
/// # Errors
/// When a file is missing.
pub fn sizes(program: &Program) -> Result<Vec<PromiseRow>, String> {
    let dsp = Path::new(env!("CARGO_MANIFEST_DIR")).join("../dsp");
    let mb = |path: &Path| {
        let about = fs::metadata(path).map_err(|e| format!("{}: {e}", path.display()))?;
        Ok::<f64, String>(about.len() as f64 / 1e6)
    };
    Ok(vec![
        PromiseRow::most("the program, as it was built", mb(program.path())?, 45.0, "MB"),
        PromiseRow::most(
            "the ear's weights",
            mb(&dsp.join("weights/ear.safetensors"))?,
            6.0,
            "MB",
        ),
    ])
}

/// Whole lines of a manifest over the made recordings, so many of them.
fn manifest(lines: usize) -> String {
    let folder = made_folder();
    let goat = folder.join("01-goat.wav").display().to_string();
    let line = |at: usize| serde_json::json!({"id": at.to_string(), "audio": goat, "word": "goat"}).to_string();
    (0..lines).map(|at| line(at) + "\n").collect()
}

/// Starting, one answer, and many.
///
/// # Errors
/// When the program does not do what it is asked.
pub fn answers(program: &Program, work: &Path) -> Result<Vec<PromiseRow>, String> {
    let home = work.join("answers");
    let goat = made_folder().join("01-goat.wav").display().to_string();
    let one = middle(7, || {
        Ok(program.well(&home, &["count", &goat, "--word", "goat"], "")?.seconds)
    })?;
    // The share of a start in a short run would be taken for time per line.
    let (few, many) = (1_000, 5_000);
    let timed = |lines: usize, times: usize| {
        let list = manifest(lines);
        middle(times, || Ok(program.well(&home, &["batch", "-"], &list)?.seconds))
    };
    let (short, long) = (timed(few, 3)?, timed(many, 1)?);
    let per_line = |seconds: f64, lines: usize| seconds / lines as f64;
    let grows = 100.0 * (per_line(long, many) / per_line(short, few) - 1.0);
    let length = soundbead_dsp::audio::decode(Path::new(&goat))
        .map_err(|e| e.to_string())?
        .clip
        .seconds();
    Ok(vec![
        PromiseRow::most("one recording judged, start-up included", 1e3 * one, 300.0, "ms"),
        PromiseRow::least("batch, start-up included", many as f64 * length / long, 150.0, "x real"),
        PromiseRow::most(
            "time a line of batch, 5,000 lines beside 1,000: grows by",
            grows,
            5.0,
            "%",
        ),
    ])
}

/// Families of the practice.
const FAMILIES: i64 = 40;
/// Days from one lesson of a family to the next, and attempts of a lesson: 2 million in ten years.
const EVERY: f64 = 3.0;
const TURNS: u64 = 41;
/// Attempts of the archive that is handed over.
const HANDED_OVER: u64 = 2_000;

/// A practice of forty families over ten years, or a share of it.
///
/// # Errors
/// When the program does not do what it is asked.
pub fn practice(program: &Program, work: &Path, share: f64) -> Result<Vec<PromiseRow>, String> {
    let home = work.join("practice");
    for n in 1..=FAMILIES {
        program.well(&home, &["learner", "add", &format!("Learner {n:02}")], "")?;
    }
    let every = (EVERY / share.clamp(0.001, 1.0)).round() as u64;
    rows::fill(&home, FAMILIES, every, TURNS);
    let lessons = (rows::DAYS).div_ceil(every);
    let attempts = FAMILIES as u64 * lessons * TURNS;
    let timed = |args: &[&str]| middle(5, || Ok(program.well(&home, args, "")?.seconds));
    let desk = timed(&["desk", "--since", "2026-12-01"])?;
    let out = home.join("report.pdf").display().to_string();
    let report = timed(&["report", "Learner 01", "--out", &out, "--force"])?;
    let handed = handed_over(program, work)?;
    let of = |what: &str| format!("{what}, of {attempts} attempts");
    Ok(vec![
        PromiseRow::most(of("desk"), 1e3 * desk, 300.0, "ms"),
        PromiseRow::most(of("report of ten years"), report, 1.0, "s"),
        PromiseRow::most(
            format!("taking in {HANDED_OVER} attempts handed over"),
            handed,
            5.0,
            "s",
        ),
    ])
}

fn handed_over(program: &Program, work: &Path) -> Result<f64, String> {
    let from = work.join("from");
    program.well(&from, &["learner", "add", "Juno"], "")?;
    // A lesson of so many attempts every five weeks.
    let every = 35;
    rows::fill(&from, 1, every, HANDED_OVER.div_ceil(rows::DAYS.div_ceil(every)));
    let archive = work.join("juno.soundbead").display().to_string();
    // Days of the filled notebook that are still to come on this machine's calendar would be refused elsewhere.
    let today = Zoned::now().date().to_string();
    program.well(
        &from,
        &["handover", "export", "Juno", "--out", &archive, "--to", &today],
        "",
    )?;
    let mut turn = 0;
    middle(3, || {
        turn += 1;
        let to = work.join(format!("to-{turn}"));
        Ok(program.well(&to, &["handover", "import", &archive], "")?.seconds)
    })
}

/// What is refused or answered within bounds, however large it is: seconds and memory.
///
/// # Errors
/// When the program cannot be started.
pub fn limits(program: &Program, work: &Path) -> Result<Vec<PromiseRow>, String> {
    let home = work.join("limits");
    let (long, longest) = (silence(work, 8, 600)?, silence(work, 8, 150)?);
    let plain = work.join("plain.soundbead");
    let locked = work.join("locked.soundbead").display().to_string();
    let (pass, wrong) = (
        work.join("pass").display().to_string(),
        work.join("wrong").display().to_string(),
    );
    fs::write(&pass, "right horse")
        .and_then(|()| fs::write(&wrong, "wrong horse"))
        .map_err(|e| e.to_string())?;
    fs::write(&plain, b"no archive").map_err(|e| e.to_string())?;
    program.well(&home, &["learner", "add", "Juno"], "")?;
    program.well(
        &home,
        &["handover", "export", "Juno", "--out", &locked, "--passphrase", &pass],
        "",
    )?;
    let asked = refused([&long, &longest, &plain], &locked, &wrong);
    let mut all = Vec::new();
    for (what, args) in asked {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let ran = program.run(&home, &args, "")?;
        if ran.code != 2 {
            return Err(format!("{what}: ended with status {}, wanted a refusal", ran.code));
        }
        all.push(PromiseRow::most(format!("{what}: refused in"), ran.seconds, 2.0, "s"));
        all.extend(
            ran.peak_mb
                .map(|mb| PromiseRow::most(format!("{what}: memory"), mb, 300.0, "MB")),
        );
    }
    let many = program.well(&home, &["batch", "-", "--jobs", "256"], &manifest(2_000))?;
    all.extend(
        many.peak_mb
            .map(|mb| PromiseRow::most("batch --jobs 256: memory", mb, 1_000.0, "MB")),
    );
    Ok(all)
}

/// What is to be refused, and the command for each: recordings too long, a list without an end, hand-overs that are none or
/// locked otherwise.
fn refused([long, longest, plain]: [&Path; 3], locked: &str, wrong: &str) -> [(&'static str, Vec<String>); 5] {
    let shown = |path: &Path| path.display().to_string();
    [
        (
            "ten minutes of eight channels",
            vec!["count".into(), shown(long), "--word".into(), "goat".into()],
        ),
        (
            "as long as eight channels may be",
            vec!["count".into(), shown(longest), "--word".into(), "goat".into()],
        ),
        ("a list without an end", vec!["batch".into(), "/dev/zero".into()]),
        (
            "a hand-over that is none",
            vec!["handover".into(), "import".into(), shown(plain)],
        ),
        (
            "a hand-over with a wrong passphrase",
            ["handover", "import", locked, "--passphrase", wrong]
                .map(str::to_owned)
                .into(),
        ),
    ]
}

/// A WAV file of silence, 16 bits, 48 kHz, which takes no room on the disk.
fn silence(work: &Path, channels: u16, seconds: u32) -> Result<PathBuf, String> {
    const RATE: u32 = 48_000;
    let block = 2 * channels;
    let bytes = RATE * u32::from(block) * seconds;
    let head = [
        b"RIFF".to_vec(),
        (36 + bytes).to_le_bytes().to_vec(),
        b"WAVEfmt \x10\0\0\0\x01\0".to_vec(),
        channels.to_le_bytes().to_vec(),
        RATE.to_le_bytes().to_vec(),
        (RATE * u32::from(block)).to_le_bytes().to_vec(),
        block.to_le_bytes().to_vec(),
        b"\x10\0data".to_vec(),
        bytes.to_le_bytes().to_vec(),
    ]
    .concat();
    let path = work.join(format!("silence-{channels}-{seconds}.wav"));
    let made = File::create(&path).and_then(|mut file| {
        file.write_all(&head)?;
        file.set_len(u64::from(bytes) + head.len() as u64)
    });
    made.map_err(|e| format!("{}: {e}", path.display()))?;
    Ok(path)
}
