//! Thousands of words in a row must not let memory grow: a lesson is long, and a batch longer.

mod common;

use common::{Counting, held};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Recording;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target};

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// A buzz of `length` samples at a child's pitch: what matters here is only that there is something to judge.
fn buzz(length: usize) -> Recording {
    let sample = |i: usize| {
        let t = i as f32 / 16_000.0;
        (1..8)
            .map(|h| 0.1 * (std::f32::consts::TAU * 250.0 * h as f32 * t).sin() / h as f32)
            .sum()
    };
    Recording::from_samples((0..length).map(sample).collect()).expect("samples")
}

#[test]
fn three_thousand_words_hold_no_more_than_a_hundred() {
    let mut ears = [Ear::new().expect("weights"), Ear::new().expect("weights")];
    let target = Target {
        variants: vec![vec![Sound::AH, Sound::N]],
        letters: Vec::new(),
    };
    let recordings: Vec<Recording> = (0..5).map(|i| buzz(1_600 + 160 * i)).collect();
    // Half of them on each of two threads, to be done in half the time.
    let mut judge = |words: usize| {
        std::thread::scope(|scope| {
            for ear in &mut ears {
                scope.spawn(|| {
                    for recording in recordings.iter().cycle().take(words / 2) {
                        let judged = ear.judge(recording, Some(&target), Speaking::Whole, &Rules::default());
                        assert!(judged.is_ok(), "{judged:?}");
                    }
                });
            }
        });
        held()
    };
    let early = judge(100);
    // Two bytes kept of each word would go over the bound.
    let late = judge(2_900);
    assert!(
        late - early < 4_096,
        "{early} bytes held after 100 words, {late} after 3,000"
    );
}
