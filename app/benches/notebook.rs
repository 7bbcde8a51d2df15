//! Ten years of daily use: 500,000 attempts of three learners. Opening should take under a second and each view under
//! 200 ms.
//!
//! The notebook is made anew for each run (`filled/mod.rs`).

mod filled;

use std::hint::black_box;
use std::path::PathBuf;

use criterion::{Criterion, criterion_group, criterion_main};
use soundbead::notebook::progress::{DaySpan, TrendPeriod, practice};
use soundbead::notebook::{Filter, Id, ListRange, Notebook};
use soundbead::report::collect::collect;
use soundbead_data::chain::{Graph, WordList};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Verdict;

const ATTEMPTS: u64 = 500_000;

/// What a reviewer looks for, each with a name.
fn filters() -> [(&'static str, Filter); 5] {
    let none = Filter::default;
    [
        ("all", none()),
        (
            "with a rare sound",
            Filter {
                sound: Some(Sound::ZH),
                ..none()
            },
        ),
        (
            "of one word",
            Filter {
                word: Some("the".into()),
                ..none()
            },
        ),
        (
            "disagreed on",
            Filter {
                disagreed: true,
                ..none()
            },
        ),
        (
            "of one verdict",
            Filter {
                verdict: Some(Verdict::Fewer),
                ..none()
            },
        ),
    ]
}

fn views(c: &mut Criterion) {
    let folder: PathBuf = std::env::temp_dir().join(format!("soundbead-bench-{}", std::process::id()));
    filled::fill(&folder, 3, 1, ATTEMPTS / filled::DAYS / 3 + 1);
    let mut group = c.benchmark_group("500,000 attempts");
    group.sample_size(10);
    group.bench_function("open", |b| {
        b.iter(|| Notebook::open_in(black_box(&folder)).unwrap().learners().unwrap());
    });
    let notebook = Notebook::open_in(&folder).unwrap();
    let who: Id = notebook.learners().unwrap()[0].id;
    let list = |filter: &Filter, skip| {
        let count = notebook.count_attempts(who, filter).unwrap();
        (
            count,
            notebook.attempts(who, filter, ListRange { skip, take: 60 }).unwrap(),
        )
    };
    for (name, filter) in &filters() {
        assert!(list(filter, 0).0 > 0, "{name}");
        group.bench_function(format!("timeline {name}"), |b| b.iter(|| list(black_box(filter), 0)));
    }
    group.bench_function("timeline 150,000 rows down", |b| {
        b.iter(|| list(&Filter::default(), black_box(150_000)));
    });
    let whole = DaySpan::default();
    let odd = DaySpan {
        from: Some(jiff::civil::date(2025, 9, 3)),
        to: Some(jiff::civil::date(2026, 11, 25)),
    };
    for (name, span) in [("progress", whole), ("progress of 15 months, not whole ones", odd)] {
        group.bench_function(name, |b| b.iter(|| notebook.progress(who, black_box(span)).unwrap()));
    }
    group.bench_function("trend by week", |b| {
        b.iter(|| notebook.trend(who, black_box(whole), TrendPeriod::Week).unwrap());
    });
    group.bench_function("sounds heard for others", |b| {
        b.iter(|| notebook.confusions(who, black_box(whole)).unwrap());
    });
    let progress = notebook.progress(who, whole).unwrap();
    let graph = Graph::new(&WordList::default(), &Rules::default());
    group.bench_function("what to practice", |b| {
        b.iter(|| practice(black_box(&progress), &graph))
    });
    group.bench_function("the view of progress, and the report", |b| {
        b.iter(|| collect(black_box(&notebook), who, None, None).unwrap());
    });
    group.finish();
    let bytes = std::fs::metadata(folder.join("notebook.db")).unwrap().len();
    println!("the database has {} MB", bytes / 1_000_000);
    std::fs::remove_dir_all(&folder).unwrap();
}

criterion_group!(benches, views);
criterion_main!(benches);
