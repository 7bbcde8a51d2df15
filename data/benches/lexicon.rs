//! Look-up of a word and opening the dictionary (limits of the project: under 2 us, under 5 ms), what is made of a word, and what a misspelling shows.

use criterion::{Criterion, criterion_group, criterion_main};
use soundbead_data::lexicon::{self, Lexicon};
use soundbead_data::word::{self, Overrides};
use soundbead_data::{guess, spelling, syllable, writing};
use std::hint::black_box;

fn look_up(c: &mut Criterion) {
    // Words spread over the whole table, in an order that keeps no block warm, then words it does not have.
    let all: Vec<&str> = lexicon::words().map(|e| e.spelling()).collect();
    let spread: Vec<&str> = (0..all.len()).map(|i| all[i * 7919 % all.len()]).collect();
    let mut next = spread.iter().cycle();
    c.bench_function("look up a word", |b| {
        b.iter(|| lexicon::look_up(black_box(next.next().unwrap())).is_some())
    });
    c.bench_function("look up and say", |b| {
        b.iter(|| lexicon::look_up(black_box(next.next().unwrap())).and_then(|e| e.variants().next()))
    });
    c.bench_function("look up a word that is not there", |b| {
        b.iter(|| lexicon::look_up(black_box("soundbead")))
    });
}

fn open(c: &mut Criterion) {
    c.bench_function("open the dictionary", |b| {
        b.iter(|| black_box(Lexicon::builtin()).len())
    });
}

/// Sound boxes, syllables and a guess, for words a child meets.
fn words(c: &mut Criterion) {
    for word in ["chess", "watermelon"] {
        let said = lexicon::look_up(word).and_then(|e| e.variants().next()).unwrap();
        c.bench_function(&format!("boxes of {word}"), |b| {
            b.iter(|| spelling::boxes(black_box(word), said.sounds()))
        });
        c.bench_function(&format!("syllables of {word}"), |b| {
            b.iter(|| syllable::syllables(black_box(word), &said))
        });
        c.bench_function(&format!("guess {word}"), |b| b.iter(|| guess::guess(black_box(word))));
    }
}

/// What a misspelling shows (limit of the project: under 1 ms a pair).
fn misspellings(c: &mut Criterion) {
    for (meant, wrote) in [("bridge", "brige"), ("approximately", "acproximently")] {
        let word = word::find(meant, &Overrides::default()).unwrap();
        c.bench_function(&format!("read {wrote} for {meant}"), |b| {
            b.iter(|| writing::read(&word, black_box(wrote)))
        });
    }
}

criterion_group!(benches, look_up, open, words, misspellings);
criterion_main!(benches);
