//! What one picture of the window costs while a word is recorded: input, the recorder's turn, layout, and the triangles that
//! the graphics card is given. At sixty pictures a second there are 16.7 ms for it; what the card needs comes on top.

use std::f32::consts::TAU;
use std::hint::black_box;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use egui::{Key, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use soundbead::mic::spoken::{KeepingPlayer, Pace, SpokenFiles};
use soundbead::ui::{App, MainView};

/// Twelve seconds of a hum whose loudness comes and goes, so that the whole of a long recording is shown.
fn hum(folder: &std::path::Path) -> PathBuf {
    std::fs::create_dir_all(folder).unwrap();
    let path = folder.join("hum.wav");
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 16_000,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut file = hound::WavWriter::create(&path, spec).unwrap();
    for i in 0..12 * 16_000 {
        let t = i as f32 / 16_000.0;
        let loud = 0.6 + 0.4 * (TAU * 1.5 * t).sin();
        let sample = (1..12)
            .map(|h| (TAU * 250.0 * h as f32 * t).sin() / h as f32)
            .sum::<f32>();
        file.write_sample((3_000.0 * loud * sample) as i16).unwrap();
    }
    file.finalize().unwrap();
    path
}

/// A window at the Drill with a word in hand.
fn window(folder: PathBuf) -> Harness<'static, App> {
    let mic = SpokenFiles::new(vec![hum(&folder)]).paced(Pace::EachRead(Duration::from_micros(16_667)));
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    let shared = &mut window.state_mut().shared;
    shared.mic = Box::new(mic);
    shared.playback = soundbead::playback::Playback::on(Box::new(KeepingPlayer::default()));
    shared.go(MainView::Drill);
    window.run_steps(3);
    window.get_by_label("Start this chain").click();
    window.run_steps(3);
    window.get_by_label("Only try it: nothing is kept").click();
    while window.query_by_label_contains("Add a bead").is_none() {
        window.step();
    }
    window
}

fn frames(c: &mut Criterion) {
    let folder = std::env::temp_dir().join(format!("soundbead-frame-{}", std::process::id()));
    let mut window = window(folder.clone());
    c.bench_function("a picture while recording", |b| {
        b.iter_custom(|count| {
            let mut spent = Duration::ZERO;
            for _ in 0..count {
                recording(&mut window);
                let start = Instant::now();
                window.step();
                let shapes = window.output().shapes.clone();
                black_box(window.ctx.tessellate(shapes, 1.0));
                spent += start.elapsed();
            }
            spent
        });
    });
    drop(window);
    let _ = std::fs::remove_dir_all(folder);
}

/// Sees to it that a recording is on its way, and waits for the one before to be judged.
fn recording(window: &mut Harness<'static, App>) {
    while window.query_by_label("Stop recording").is_none() {
        if window.query_by_label("Say it again").is_some() || window.query_by_label("Record").is_some() {
            window.key_press(Key::Space);
        }
        window.step();
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = frames
}
criterion_main!(benches);
