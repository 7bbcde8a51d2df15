//! A practice with 40 families and ten years of lessons, 2 million attempts: the desk should take under 300 ms, a report under a
//! second, and an archive of 2,000 attempts should come in in under five. Prints each beside its target.
//!
//! Each family has a lesson every third day with 41 attempts and 4 written words. `SOUNDBEAD_BENCH_SHARE=0.1` fills a tenth of it: as
//! many families with a tenth of the lessons. `SOUNDBEAD_BENCH_STAGES=1` prints, below each report, how long its parts take;
//! `SOUNDBEAD_BENCH_HOME=FOLDER` fills that folder, or uses it as it was filled, and leaves it there.

mod filled;

use std::path::{Path, PathBuf};
use std::time::Instant;

use jiff::civil::{Date, date};
use soundbead::ask::desk::desk;
use soundbead::ask::writing::ReadWritings;
use soundbead::notebook::handover::Handover;
use soundbead::notebook::progress::{DaySpan, TrendPeriod};
use soundbead::notebook::{Filter, Id, ListRange, NewFrom, Notebook, WritingFilter};
use soundbead::report::collect::collect;
use soundbead_data::Rules;
use soundbead_data::chain::{Graph, WordList};

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

/// Prints how long each part of a report takes, the middle one of a few runs.
fn stages(notebook: &Notebook, who: Id, from: Option<Date>) {
    if std::env::var_os("SOUNDBEAD_BENCH_STAGES").is_none() {
        return;
    }
    let span = DaySpan { from, to: None };
    let (every, filter) = (
        ListRange {
            skip: 0,
            take: u64::MAX,
        },
        WritingFilter {
            from,
            ..WritingFilter::default()
        },
    );
    let part = |what: &str, act: &mut dyn FnMut()| told(&format!("    {what}"), 1_000.0, act);
    part("days", &mut || {
        drop(notebook.trend(who, span, TrendPeriod::Day).unwrap())
    });
    part("lessons", &mut || drop(notebook.lessons(who, from, None).unwrap()));
    part("sums and patterns", &mut || drop(notebook.progress(who, span).unwrap()));
    part("words then and now", &mut || {
        drop(notebook.word_courses(who, span).unwrap())
    });
    part("counted again", &mut || assert!(notebook.again(who, span).is_ok()));
    part("models", &mut || drop(notebook.models(who, span).unwrap()));
    part("heard otherwise", &mut || {
        drop(notebook.heard_otherwise(who, span, 12).unwrap())
    });
    part("sounds for sounds", &mut || {
        drop(notebook.confusions(who, span).unwrap())
    });
    part("ruled apart", &mut || {
        drop(notebook.ruled_apart(who, from, None).unwrap())
    });
    part("latest miscounts", &mut || {
        let filter = Filter {
            miscounted: true,
            from,
            ..Filter::default()
        };
        drop(
            notebook
                .attempts(who, &filter, ListRange { skip: 0, take: 120 })
                .unwrap(),
        );
    });
    part("writing found", &mut || {
        drop(notebook.writings(who, &filter, every).unwrap())
    });
    let (rows, own) = (
        notebook.writings(who, &filter, every).unwrap(),
        notebook.overrides().unwrap(),
    );
    part("writing read", &mut || drop(ReadWritings::of(&rows, &own)));
    let read = ReadWritings::of(&rows, &own);
    let since = read.middle().unwrap_or(Date::MIN);
    part("choices then and now", &mut || drop(read.then_and_now(since)));
    part("choices missed", &mut || drop(read.missed(since)));
    part("letters for sounds", &mut || drop((read.matrix(), read.examples())));
    let list = || WordList::default();
    part("word list", &mut || drop(list()));
    part("words one sound apart", &mut || {
        drop(Graph::new(&list(), &Rules::default()))
    });
}

/// The folder to be filled, and whether it is kept.
fn place() -> (PathBuf, bool) {
    match std::env::var_os("SOUNDBEAD_BENCH_HOME") {
        Some(folder) => (folder.into(), true),
        None => (
            std::env::temp_dir().join(format!("soundbead-practice-{}", std::process::id())),
            false,
        ),
    }
}

fn main() {
    let (folder, kept) = place();
    let home = folder.join("home");
    let every = (EVERY as f64 / share()).round() as u64;
    if !home.exists() {
        filled::fill(&home, FAMILIES, every, TURNS);
    }
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
    stages(&notebook, who, year);
    told("report of ten years", 1_000.0, || {
        collect(&notebook, who, None, None).unwrap()
    });
    stages(&notebook, who, None);
    let file = archive(&folder);
    // Once: a second time nothing of it is new.
    let begun = Instant::now();
    notebook.take_in(&file, None, &|_| true).unwrap();
    let took = begun.elapsed().as_secs_f64() * 1e3;
    line("an archive of 2,000 attempts comes in", took, 5_000.0);
    drop(notebook);
    std::fs::remove_dir_all(match kept {
        true => folder.join("another"),
        false => folder,
    })
    .unwrap();
}
