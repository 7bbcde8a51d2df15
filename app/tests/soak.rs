//! Lessons at speed: memory stays flat, no sample is lost, a picture takes as long at the end as at the beginning.
//!
//! `SOUNDBEAD_SOAK` says for how many seconds each part runs; two where it is not set. `sh tests/soak.sh` runs it for minutes. What is
//! lost or grows fails; times are told and decide nothing.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

use egui_kittest::kittest::Queryable;
use soundbead::drill::session::{Bench, Intent};
use soundbead::mic::feed;
use soundbead::mic::spoken::{Pace, SpokenFiles};
use soundbead_data::Rules;

fn seconds() -> f64 {
    let given = std::env::var("SOUNDBEAD_SOAK").ok();
    given.map_or(2.0, |text| text.parse().expect("SOUNDBEAD_SOAK is a number of seconds"))
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("soak-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

/// Steps of the ramp: whole numbers that a 32-bit float holds exactly (24 bits, IEEE 754).
const STEPS: u64 = 1 << 24;

fn step(at: u64) -> f32 {
    (at % STEPS) as f32 / STEPS as f32
}

/// One thread plays the audio callback, in buffers of every size that devices use; the other reads as the window does, now often,
/// now late. Each sample is a step of a ramp, so that one that is lost, doubled or out of its place shows.
#[test]
fn no_sample_is_lost_between_the_audio_callback_and_the_window() {
    const RATE: u32 = 48_000;
    let (mut feed, mut outlet) = feed::ring(RATE, 2);
    let room = u64::from(RATE) * 2 * 10;
    let (read, done) = (AtomicU64::new(0), AtomicBool::new(false));
    let end = Instant::now() + Duration::from_secs_f64(seconds());
    let sizes = [64, 96, 128, 441, 480, 512, 1_024, 2_048, 4_096];
    let sent = std::thread::scope(|scope| {
        let callback = scope.spawn(|| {
            let (mut sent, mut buffer) = (0, Vec::new());
            for frames in sizes.iter().cycle() {
                if Instant::now() >= end {
                    break;
                }
                let next = sent + 2 * frames;
                // At speed, but never further ahead than ten seconds of sound, which the ring promises to hold.
                while next - read.load(Ordering::Acquire) > room {
                    std::thread::yield_now();
                }
                buffer.clear();
                buffer.extend((sent..next).map(step));
                feed.push(&buffer);
                sent = next;
            }
            done.store(true, Ordering::Release);
            sent
        });
        let (mut got, mut at, mut turn) = (Vec::new(), 0, 0u64);
        loop {
            let last = done.load(Ordering::Acquire);
            got.clear();
            outlet.drain(&mut got);
            for sample in &got {
                assert_eq!(*sample, step(at), "sample {at}");
                at += 1;
            }
            read.store(at, Ordering::Release);
            if last {
                break;
            }
            turn += 1;
            if turn.is_multiple_of(7) {
                std::thread::sleep(Duration::from_micros(turn % 500));
            }
        }
        let sent = callback.join().expect("the callback's thread");
        assert_eq!((at, outlet.missed()), (sent, 0), "what was read, and what was missed");
        sent
    });
    let hours = sent as f64 / 2.0 / f64::from(RATE) / 3_600.0;
    println!("a ramp of {hours:.2} hours of stereo at {RATE} Hz: no sample lost");
    assert!(sent > u64::from(RATE), "so little says little");
}

/// Bytes that this program holds in memory; none where the system does not tell (proc(5) of Linux, pages of 4,096 bytes).
fn resident() -> Option<u64> {
    let statm = std::fs::read_to_string("/proc/self/statm").ok()?;
    Some(statm.split(' ').nth(1)?.parse::<u64>().ok()? * 4_096)
}

/// A bench at which Juno learns, with made words spoken into its microphone.
fn juno(name: &str) -> Bench {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo");
    let words = ["01-goat.wav", "10-lamb.wav", "24-fan.wav", "27-mix.wav"].map(|name| demo.join(name));
    let files = words.iter().cycle().take(WORDS * 1_000).cloned().collect();
    let mic = SpokenFiles::new(files).paced(Pace::EachRead(Duration::from_millis(200)));
    let mut bench = Bench::over(&folder(name)).hearing(mic);
    let juno = bench.notebook.ask(|n| n.add_learner("Juno", &Rules::default()));
    let juno = juno.wait().expect("a learner");
    bench.learner = Some(juno.into());
    bench
}

/// Words of a lesson.
const WORDS: usize = 4;

/// A lesson from its start to its end: every word counted, recorded and judged.
fn lesson(bench: &mut Bench) {
    bench.apply(Intent::Start("goat lamb fan mix".into()));
    bench.until(|session| session.lesson().is_some());
    for at in 0..WORDS {
        bench.apply(Intent::Beads(3));
        bench.apply(Intent::Record);
        bench.until(|session| session.free() && session.lesson().is_some_and(|l| l.work().latest.is_some()));
        while bench.session.lesson().is_some_and(|l| l.at() == at) && at + 1 < WORDS {
            bench.apply(Intent::Skip);
            bench.poll();
        }
    }
    bench.until(|session| session.unkept().is_none());
    bench.apply(Intent::EndAnyway);
    bench.until(|session| session.lesson().is_none());
    bench.apply(Intent::Close);
    bench.poll();
}

/// Memory may grow by this much between the first tenth and the end: what allocators hold back, and the database's own cache of pages (2 MB).
const MAY_GROW: u64 = 24 << 20;

#[test]
fn lessons_in_a_row_keep_every_word_and_hold_no_more_memory() {
    let mut bench = juno("lessons");
    let start = Instant::now();
    let (mut lessons, mut early) = (0, None);
    while lessons < 3 || start.elapsed().as_secs_f64() < seconds() {
        lesson(&mut bench);
        lessons += 1;
        if early.is_none() && lessons >= 2 && start.elapsed().as_secs_f64() > seconds() / 10.0 {
            early = resident();
        }
    }
    let late = resident();
    let learner = bench.learner.as_ref().expect("Juno").id;
    let kept = bench
        .notebook
        .ask(move |n| n.count_attempts(learner, &Default::default()));
    let kept = kept.wait().expect("the notebook");
    assert_eq!(
        kept,
        (lessons * WORDS) as u64,
        "words of {lessons} lessons that are in the notebook"
    );
    if let (Some(early), Some(late)) = (early, late) {
        let mb = |bytes: u64| bytes as f64 / 1e6;
        println!(
            "{lessons} lessons, {kept} words in {:.0} s: {:.1} MB after a tenth of the time, {:.1} MB at the end",
            start.elapsed().as_secs_f64(),
            mb(early),
            mb(late)
        );
        assert!(late < early + MAY_GROW, "{early} bytes held early, {late} late");
    }
    let folder = bench.folder.clone();
    drop(bench);
    let _ = std::fs::remove_dir_all(folder);
}

/// Does what leads to the next recording.
fn begin(window: &mut egui_kittest::Harness<'_, soundbead::ui::App>) {
    // The question stands over the chain that was asked for, so it goes first.
    for label in ["Only try it: nothing is kept", "Start this chain"] {
        if let Some(button) = window.query_by_label(label) {
            button.click();
            return;
        }
    }
    window.key_press(egui::Key::Space);
}

/// Pictures of the window while words are recorded and judged: how long one takes, early and late.
#[test]
#[ignore = "it only tells times, which decide nothing; sh tests/soak.sh runs it"]
fn pictures_of_a_window_that_records_are_told_of() {
    use soundbead::ui::{App, MainView};

    let folder = folder("window");
    let goat = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo/01-goat.wav");
    let mic = SpokenFiles::new(vec![goat]).paced(Pace::EachRead(Duration::from_micros(16_667)));
    let home = folder.clone();
    let mut window = egui_kittest::Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, home));
    let shared = &mut window.state_mut().shared;
    shared.mic = Box::new(mic);
    shared.playback = soundbead::playback::Playback::on(Box::new(soundbead::mic::spoken::KeepingPlayer::default()));
    shared.go(MainView::Drill);
    window.run_steps(3);
    let start = Instant::now();
    let mut times = Vec::new();
    while times.len() < 40 || start.elapsed().as_secs_f64() < seconds() {
        assert!(
            start.elapsed() < Duration::from_secs(60) || !times.is_empty(),
            "the lesson never began to record"
        );
        let records = window.query_by_label("Stop recording").is_some();
        if !records {
            begin(&mut window);
        }
        let began = Instant::now();
        window.step();
        if records {
            times.push(began.elapsed().as_secs_f64() * 1e3);
        }
    }
    let tenth = times.len() / 10;
    let middle = |part: &[f64]| {
        let mut part = part.to_vec();
        part.sort_by(f64::total_cmp);
        part[part.len() / 2]
    };
    println!(
        "{} pictures: {:.1} ms in the first tenth, {:.1} ms in the last",
        times.len(),
        middle(&times[..tenth]),
        middle(&times[times.len() - tenth..])
    );
    drop(window);
    let _ = std::fs::remove_dir_all(folder);
}
