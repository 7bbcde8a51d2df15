//! The graph of words one sound apart and questions to it (limits of the project: built once within 300 ms, any question
//! over at least 20,000 words within 20 ms).

use criterion::{Criterion, criterion_group, criterion_main};
use soundbead_data::Rules;
use soundbead_data::chain::{ChangeKind, Graph, Limits, WordList};
use std::hint::black_box;

fn build(c: &mut Criterion) {
    let mut group = c.benchmark_group("chain");
    group.sample_size(20);
    for (name, rules) in [
        ("phoneme", Rules::default()),
        ("phonics", Rules::named("phonics").unwrap()),
    ] {
        group.bench_function(format!("build, {name} rules"), |b| {
            b.iter(|| Graph::new(black_box(&WordList::default()), &rules).pairs())
        });
    }
}

fn ask(c: &mut Criterion) {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    println!(
        "{} words, {} rows of sounds, {} pairs",
        graph.words().count(),
        graph.len(),
        graph.pairs()
    );
    let none = Limits::default();
    let mut group = c.benchmark_group("ask");
    group.sample_size(30);
    for (from, to) in [
        ("pig", "ten"),
        ("school", "wonder"),
        ("elephant", "pig"),
        ("snorkel", "flibbet"),
    ] {
        group.bench_function(format!("shortest {from} {to}"), |b| {
            b.iter(|| graph.shortest(black_box(from), to, &none, 7).is_ok())
        });
    }
    let drop = Limits {
        kinds: vec![ChangeKind::Drop],
        ..Limits::default()
    };
    group.bench_function("shortest under limits, none", |b| {
        b.iter(|| graph.shortest("pig", "string", &drop, 7).is_ok())
    });
    let letters = "p i g e t a n s m d b l r f c k ck o u h";
    let spellings = letters.split(' ').map(str::to_owned).collect();
    let decodable = Limits {
        spellings,
        ..Limits::default()
    };
    group.bench_function("shortest, only given spellings", |b| {
        b.iter(|| graph.shortest("pig", "ten", &decodable, 7).is_ok())
    });
    group.bench_function("practice of 12, only given spellings", |b| {
        b.iter(|| graph.practice(None, 12, &decodable, 7).is_ok())
    });
    group.bench_function("exactly 30 words", |b| {
        b.iter(|| graph.exact("pig", "ten", 30, &none, 7).is_ok())
    });
    let contrasts = vec![("EH".parse().unwrap(), "IH".parse().unwrap())];
    let short = Limits {
        contrasts,
        ..Limits::default()
    };
    group.bench_function("practice of 10, short e and i", |b| {
        b.iter(|| graph.practice(None, 10, &short, 7).is_ok())
    });
    group.bench_function("practice of 60, short e and i", |b| {
        b.iter(|| graph.practice(None, 60, &short, 7).is_ok())
    });
    let contrasts = vec![("S".parse().unwrap(), "SH".parse().unwrap())];
    let hiss = Limits {
        contrasts,
        ..Limits::default()
    };
    group.bench_function("practice of 10, s and sh", |b| {
        b.iter(|| graph.practice(None, 10, &hiss, 7).is_ok())
    });
    let vowels = Limits {
        vowels: true,
        ..Limits::default()
    };
    group.bench_function("vowels only, more than there are", |b| {
        b.iter(|| graph.practice(Some("pig"), 60, &vowels, 7).is_ok())
    });
}

criterion_group!(benches, build, ask);
criterion_main!(benches);
