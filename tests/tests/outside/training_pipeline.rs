//! The training recipe, whole but tiny: voices made, a teacher and a student trained, and on, the file written, and what the
//! program computes from that file against what the training framework computed (JAX, an implementation of its own).
//!
//! Needs the read speech (SOUNDBEAD_SPEECH), Python with the packages of dsp/training/README.md and the synthesisers; ignored
//! where one is missing (`tests/build.rs` looks). About a minute and a half on two idle cores; given up after ten.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;
use soundbead_dsp::ear::inside::{Mel, Model, Scores, class_of};

const LONGEST: Duration = Duration::from_secs(600);

/// Waits for the recipe, and ends it when it takes too long.
fn finished(mut child: Child) -> bool {
    let start = Instant::now();
    while start.elapsed() < LONGEST {
        if let Some(status) = child.try_wait().expect("the recipe can be waited for") {
            return status.success();
        }
        std::thread::sleep(Duration::from_millis(200));
    }
    let _ = child.kill();
    let _ = child.wait();
    false
}

fn folder() -> PathBuf {
    std::env::temp_dir().join(format!("soundbead-recipe-{}", std::process::id()))
}

/// Runs one script of the recipe in its tiny form.
fn recipe(script: &str, out: &Path) -> bool {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let speech = std::env::var_os("SOUNDBEAD_SPEECH").expect("asked before");
    let speech = std::fs::canonicalize(speech).expect("the folder of SOUNDBEAD_SPEECH");
    let child = Command::new("sh")
        .arg(root.join("dsp/training").join(script))
        .args([speech.as_os_str(), out.as_os_str()])
        .arg("tiny")
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .env("NUMBA_CACHE_DIR", out.join("numba"))
        .env("JAX_PLATFORMS", "cpu")
        .stdout(Stdio::null())
        .spawn();
    finished(child.expect("sh starts"))
}

#[test]
#[cfg_attr(
    not(has_recipe),
    ignore = "needs recorded speech (SOUNDBEAD_SPEECH), the synthesisers and JAX"
)]
fn the_recipe_runs_from_nothing_to_a_file_that_the_program_computes_alike() {
    let out = folder();
    std::fs::create_dir_all(&out).expect("a folder for what is made");
    let student = |name: &str| std::fs::read(out.join(name)).expect("a student's file");
    let limit = LONGEST.as_secs();
    assert!(recipe("make.sh", &out), "make.sh failed or took over {limit} s");
    let first = student("student_all.npz");
    assert!(recipe("again.sh", &out), "again.sh failed or took over {limit} s");
    assert!(student("first_all.npz") == first, "what was learned first is kept");
    assert!(student("student_all.npz") != first, "the second pass learns");
    let bytes = std::fs::read(out.join("ear_all.safetensors")).expect("the recipe wrote weights");
    let text = std::fs::read_to_string(out.join("vectors_all.json")).expect("the recipe wrote vectors");
    let vectors: Value = serde_json::from_str(&text).expect("vectors are JSON");
    let want: Vec<Vec<f32>> = serde_json::from_value(vectors["scores"].clone()).expect("rows of scores");
    let audio: Vec<i16> = serde_json::from_value(vectors["audio"].clone()).expect("samples");
    let audio: Vec<f32> = audio.iter().map(|&x| f32::from(x) / 32768.0).collect();

    let (mut frames, mut scores) = (Vec::new(), Scores::default());
    Mel::new(1.0).frames(&audio, &mut frames);
    let mut model = Model::from_bytes(&bytes).expect("the program reads what the recipe wrote");
    model.score(&frames, &mut scores);
    assert_eq!(want.len(), scores.rows.len().div_ceil(6));
    for (want, got) in want.iter().zip(scores.rows.iter().step_by(6)) {
        for (w, g) in want.iter().zip(got) {
            assert!((w - g).abs() < 2e-3, "{w} {g}");
        }
    }
    assert!(recipe("listen.sh", &out), "listen.sh failed or took over {limit} s");
    holds_the_listener(&out.join("marks"));
    std::fs::remove_dir_all(&out).expect("what was made can be removed");
}

/// The program marks with the file that `listen.sh` wrote as the training framework did.
fn holds_the_listener(folder: &Path) {
    let bytes = std::fs::read(folder.join("ear_all.safetensors")).expect("the recipe wrote weights");
    let text = std::fs::read_to_string(folder.join("vectors_all.json")).expect("the recipe wrote vectors");
    let vectors: Value = serde_json::from_str(&text).expect("vectors are JSON");
    let audio: Vec<i16> = serde_json::from_value(vectors["audio"].clone()).expect("samples");
    let audio: Vec<f32> = audio.iter().map(|&x| f32::from(x) / 32768.0).collect();
    let mut frames = Vec::new();
    Mel::new(1.0).frames(&audio, &mut frames);
    let asked = vectors["marks"]["sounds"].as_str().expect("names").split(' ');
    let classes: Vec<usize> = asked.map(|s| s.parse().map(class_of).expect("a sound")).collect();
    let cuts: Vec<(usize, usize)> = serde_json::from_value(vectors["marks"]["cuts"].clone()).expect("cuts");
    let want: Vec<Vec<f32>> = serde_json::from_value(vectors["marks"]["votes"].clone()).expect("votes");
    let model = Model::from_bytes(&bytes).expect("the program reads what the recipe wrote");
    let marks = model.marks(&model.hear(&frames), &classes, &cuts);
    assert_eq!(marks.len(), want.len());
    for (want, got) in want.iter().zip(marks) {
        assert!(
            (want[0] - got.right).abs() < 2e-3 && (want[2] - got.wrong).abs() < 2e-3,
            "{want:?} {got:?}"
        );
    }
}

/// What the tiny run does not reach: the pretrained encoder's hints, the neural voices.
#[test]
#[cfg_attr(
    not(has_recipe),
    ignore = "needs recorded speech (SOUNDBEAD_SPEECH), the synthesisers and JAX"
)]
fn the_recipes_own_checks_hold() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let run = Command::new("python3")
        .arg(root.join("dsp/training/selftest.py"))
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .env("JAX_PLATFORMS", "cpu")
        .output()
        .expect("python3 starts");
    let said = String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{said}");
    assert_eq!(said.matches("ok: ").count(), 7, "{said}");
}
