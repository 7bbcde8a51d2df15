//! Faults: bytes that turned over on a disk or a stick, and a program that is ended while it writes. Bounded in number, and
//! the same each time.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use crate::common::{command, demo, run_in, scratch, text};
use soundbead::notebook::handover::Handover;
use soundbead::notebook::{Filter, Id, ListRange, NewAttempt, NewSession, Notebook};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Clip;

/// Bytes that are turned over, one at a time.
const FLIPS: usize = 150;
const ALL: ListRange = ListRange { skip: 0, take: 1000 };

fn go_on(_: f32) -> bool {
    true
}

/// A notebook in which Juno said a word twice.
fn filled(folder: &Path) -> (Notebook, Id) {
    let mut notebook = Notebook::open_in(folder).unwrap();
    let learner = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
    for turn in 1..3u16 {
        let clip = Clip {
            samples: (0..800u16).map(|i| f32::from(i * turn % 97) / 200.0).collect(),
        };
        let new = NewAttempt {
            word: "pig",
            sounds: &[Sound::P, Sound::IH, Sound::G],
            child: Some(turn),
            clip: Some(&clip),
            ..NewAttempt::default()
        };
        notebook.record(session, &new).unwrap();
    }
    (notebook, learner)
}

fn counted(notebook: &Notebook, learner: Id) -> Vec<Option<u16>> {
    let attempts = notebook.attempts(learner, &Filter::default(), ALL).unwrap();
    let mut counts: Vec<Option<u16>> = attempts.iter().map(|a| a.edits.child).collect();
    counts.sort_unstable();
    counts
}

/// `bytes` with one bit of one byte turned over, for each of [`FLIPS`] places spread over all of them.
fn flipped(bytes: &[u8]) -> impl Iterator<Item = Vec<u8>> {
    (0..FLIPS).map(move |i| {
        let mut copy = bytes.to_vec();
        copy[(i * bytes.len() + i % 7) / FLIPS] ^= 1 << (i % 8);
        copy
    })
}

#[test]
fn a_flipped_byte_in_an_archive_is_refused_or_of_no_consequence() {
    let home = scratch("flipped-archive");
    let (mut parent, learner) = filled(&home.join("parent"));
    let archive = home.join("juno.soundbead");
    let what = Handover {
        recordings: true,
        ..Handover::default()
    };
    parent.hand_over(learner, &what, &archive, &go_on).unwrap();
    let bytes = fs::read(&archive).unwrap();
    let mut refused = 0;
    for (turn, spoilt) in flipped(&bytes).enumerate() {
        fs::write(&archive, spoilt).unwrap();
        let mut other = Notebook::open_in(&home.join(format!("other-{turn}"))).unwrap();
        match other.take_in(&archive, None, &go_on) {
            // A date or a hint that the archive keeps beside its members, and nobody reads.
            Ok(_) => assert_eq!(counted(&other, learner), [Some(1), Some(2)], "byte {turn}"),
            Err(fault) => {
                refused += 1;
                assert_eq!(fault.to_string().lines().count(), 1, "{fault}");
                assert!(other.learners().unwrap().is_empty(), "byte {turn}: {fault}");
            }
        }
    }
    assert!(refused > FLIPS / 2, "{refused}");
}

#[test]
fn a_flipped_byte_in_the_notebook_is_one_line_or_harmless_and_never_the_end() {
    let home = scratch("flipped-notebook");
    drop(filled(&home));
    let path = home.join("notebook.db");
    let bytes = fs::read(&path).unwrap();
    for spoilt in flipped(&bytes) {
        fs::write(&path, spoilt).unwrap();
        let Err(fault) = read_all(&home) else { continue };
        assert!(
            !fault.is_empty() && fault.lines().count() == 1,
            "what is wrong is said in one line: {fault:?}"
        );
    }
    fs::write(&path, bytes).unwrap();
    assert_eq!(read_all(&home), Ok(2), "the file itself is as good as before");
}

/// Opens the notebook and reads what a person would look at; gives how many attempts there are.
fn read_all(home: &Path) -> Result<usize, String> {
    let read = || -> soundbead::notebook::Result<usize> {
        let notebook = Notebook::open_in(home)?;
        let mut attempts = 0;
        for learner in notebook.learners()? {
            attempts += notebook.attempts(learner.id, &Filter::default(), ALL)?.len();
            notebook.progress(learner.id, Default::default())?;
        }
        Ok(attempts)
    };
    read().map_err(|e| e.to_string())
}

#[test]
fn a_program_that_is_ended_while_it_writes_loses_nothing_that_it_has_shown() {
    let home = scratch("ended");
    run_in(&home, &["learner", "add", "Juno"]).well();
    let recording = demo("01-goat.wav");
    let count = [
        "count",
        text(&recording),
        "--word",
        "goat",
        "--learner",
        "Juno",
        "--json",
    ];
    let whole = Instant::now();
    run_in(&home, &count).well();
    let whole = whole.elapsed();
    let mut shown = 1;
    for part in 1..=12 {
        let printed = PathBuf::from(&home).join("printed");
        let out = fs::File::create(&printed).unwrap();
        let mut child = command(&home).args(count).stdout(out).spawn().unwrap();
        std::thread::sleep(Duration::from_secs_f64(whole.as_secs_f64() * f64::from(part) / 11.0));
        // Gone already where it was quick; then it has shown its answer.
        let _ = child.kill();
        child.wait().unwrap();
        shown += usize::from(fs::read_to_string(&printed).unwrap().ends_with("}\n"));
        let kept = run_in(&home, &["attempts", "Juno", "--json"]).well().json().len();
        assert!(kept >= shown, "{kept} kept, {shown} shown");
        shown = kept;
    }
    let strays = fs::read_dir(&home).unwrap().flatten().filter(|e| {
        let name = e.file_name().to_string_lossy().into_owned();
        name.starts_with("incoming") || name.contains("tmp")
    });
    assert_eq!(strays.count(), 0);
}
