//! A practice with 40 families and ten years of lessons, 2 million attempts: the desk should take under 300 ms, a report under a
//! second, and an archive of 2,000 attempts should come in in under five. Prints each beside its target.
//!
//! Each family has a lesson every third day with 41 attempts and 4 written words. `SOUNDBEAD_BENCH_SHARE=0.1` fills a tenth of it: as
//! many families with a tenth of the lessons.

mod filled;

use std::path::{Path, PathBuf};
use std::time::Instant;

use jiff::civil::{Date, date};
use soundbead::ask::desk::desk;
use soundbead::notebook::handover::Handover;
use soundbead::notebook::{NewFrom, Notebook};
use soundbead::report::collect::collect;

const FAMILIES: i64 = 40;
/// Days from one lesson of a family to the next.
const EVERY: u64 = 3;
/// Attempts of a lesson.
const TURNS: u64 = 41;
/// Lessons of the archive that comes in: with [`TURNS`] each, 2,000 attempts.
const BROUGHT: u64 = 49;
/// How often each is timed; the middle one is told.
const TIMES: usize = 5;

fn share() -> f64 {
    let given = std::env::var("SOUNDBEAD_BENCH_SHARE").ok();
    given.and_then(|text| text.parse().ok()).unwrap_or(1.0)
}

/// Times something and prints it beside its target, in milliseconds.
fn told<R>(what: &str, target_ms: f64, mut act: impl FnMut() -> R) {
    let mut took: Vec<f64> = (0..TIMES)
        .map(|_| {
            let begun = Instant::now();
            std::hint::black_box(act());
            begun.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    took.sort_by(f64::total_cmp);
    line(what, took[TIMES / 2], target_ms);
}

fn line(what: &str, took_ms: f64, target_ms: f64) {
    println!("{what:<44} {took_ms:>8.0} ms   target: under {target_ms:.0} ms");
}

/// An archive of one learner with some 2,000 attempts, from another notebook.
fn archive(folder: &Path) -> PathBuf {
    let home = folder.join("another");
    filled::fill(&home, 1, filled::DAYS / BROUGHT, TURNS);
    let mut notebook = Notebook::open_in(&home).unwrap();
    let learner = notebook.learners().unwrap().remove(0).id;
    let file = folder.join("brought.soundbead");
    // Days that are still to come on this machine's calendar would be refused elsewhere.
    let what = Handover {
        to: Some(jiff::Zoned::now().date()),
        ..Handover::default()
    };
    notebook.hand_over(learner, &what, &file, &|_| true).unwrap();
    file
}

fn main() {
    let folder: PathBuf = std::env::temp_dir().join(format!("soundbead-practice-{}", std::process::id()));
    let home = folder.join("home");
    let every = (EVERY as f64 / share()).round() as u64;
    filled::fill(&home, FAMILIES, every, TURNS);
    let mut notebook = Notebook::open_in(&home).unwrap();
    let learners = notebook.learners().unwrap();
    let attempts: u64 = learners
        .iter()
        .map(|l| notebook.count_attempts(l.id, &Default::default()).unwrap())
        .sum();
    println!("{FAMILIES} families, {attempts} attempts");
    // The last lesson was on 29 December 2026.
    let today = date(2026, 12, 30);
    let since = NewFrom::Day(date(2026, 12, 1));
    told("desk, four weeks", 300.0, || notebook.families(since, today).unwrap());
    let seen = notebook.desk_seen().unwrap();
    notebook.clear_desk(seen).unwrap();
    told("desk, after it was cleared", 300.0, || {
        desk(&notebook, None, today).unwrap()
    });
    let (who, year): (_, Option<Date>) = (learners[0].id, Some(date(2026, 1, 1)));
    told("report of a year", 1_000.0, || {
        collect(&notebook, who, year, None).unwrap()
    });
    told("report of ten years", 1_000.0, || {
        collect(&notebook, who, None, None).unwrap()
    });
    let file = archive(&folder);
    // Once: a second time nothing of it is new.
    let begun = Instant::now();
    notebook.take_in(&file, None, &|_| true).unwrap();
    let took = begun.elapsed().as_secs_f64() * 1e3;
    line("an archive of 2,000 attempts comes in", took, 5_000.0);
    drop(notebook);
    std::fs::remove_dir_all(&folder).unwrap();
}
