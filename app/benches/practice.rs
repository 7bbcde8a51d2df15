//! A practice with 40 families and ten years of lessons, 2 million attempts: the desk should take under 300 ms, a report under a second.
//!
//! Each family has a lesson every third day with 41 attempts. `SOUNDBEAD_BENCH_SHARE=0.1` fills a tenth of it: as many families
//! with a tenth of the lessons.

mod filled;

use std::hint::black_box;
use std::path::PathBuf;

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::civil::date;
use soundbead::notebook::{NewFrom, Notebook};
use soundbead::report::collect::collect;

const FAMILIES: i64 = 40;
/// Days from one lesson of a family to the next.
const EVERY: u64 = 3;
/// Attempts of a lesson.
const TURNS: u64 = 41;

fn share() -> f64 {
    let given = std::env::var("SOUNDBEAD_BENCH_SHARE").ok();
    given.and_then(|text| text.parse().ok()).unwrap_or(1.0)
}

fn practice(c: &mut Criterion) {
    let folder: PathBuf = std::env::temp_dir().join(format!("soundbead-practice-{}", std::process::id()));
    let every = (EVERY as f64 / share()).round() as u64;
    filled::fill(&folder, FAMILIES, every, TURNS);
    let notebook = Notebook::open_in(&folder).unwrap();
    let learners = notebook.learners().unwrap();
    let attempts: u64 = learners
        .iter()
        .map(|l| notebook.count_attempts(l.id, &Default::default()).unwrap())
        .sum();
    let mut group = c.benchmark_group(format!("{FAMILIES} families, {attempts} attempts"));
    group.sample_size(10);
    let (since, today) = (date(2026, 12, 1), date(2026, 12, 30));
    group.bench_function("desk, four weeks", |b| {
        b.iter(|| notebook.families(NewFrom::Day(black_box(since)), today).unwrap())
    });
    group.bench_function("report of ten years", |b| {
        b.iter(|| collect(&notebook, black_box(learners[0].id), None, None).unwrap())
    });
    let year = Some(date(2026, 1, 1));
    group.bench_function("report of a year", |b| {
        b.iter(|| collect(&notebook, black_box(learners[0].id), year, None).unwrap())
    });
    group.finish();
    std::fs::remove_dir_all(&folder).unwrap();
}

criterion_group!(benches, practice);
criterion_main!(benches);
