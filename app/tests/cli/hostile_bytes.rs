//! Whatever bytes come in from elsewhere, they are taken in or refused with one line: recordings from the decoder to the
//! judgement, hand-overs, plans, lists for `batch`, and writing. Good inputs are changed by dice that always fall alike, so
//! many times; `sh tests/fuzz.sh` does the same for much longer, by other dice.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use crate::common::{demo, file, run_in, scratch, text};
use soundbead::ask::ear::CountRequest;
use soundbead::notebook::handover::Handover;
use soundbead::notebook::{
    Author, Filter, ListRange, NewAttempt, NewNote, NewSession, NoteBody, NoteSubject, Notebook,
};
use soundbead::plan::{EXAMPLE, Plan};
use soundbead_data::word::{self, Overrides};
use soundbead_data::{Rules, Sound, writing};
use soundbead_dsp::audio::{Clip, decode_bytes};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::Speaking;

/// Names how many times longer than in the tests, and by which dice.
const TIMES: &str = "SOUNDBEAD_FUZZ_TIMES";
const SEED: &str = "SOUNDBEAD_FUZZ_SEED";

fn setting(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|v| v.parse().ok()).unwrap_or(usual)
}

/// The 64-bit linear congruential generator of Knuth's MMIX, so that a failure can be had again.
struct Dice(u64);

impl Dice {
    fn new() -> Dice {
        Dice(setting(SEED, 20_261_128))
    }

    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % sides.max(1)
    }

    /// One to six changes: a byte, a bit, a part left out, doubled, or cut off.
    fn change(&mut self, bytes: &mut Vec<u8>) {
        for _ in 0..=self.roll(6) {
            let (at, n) = (self.roll(bytes.len()), bytes.len());
            match self.roll(6) {
                _ if n == 0 => return,
                0 => bytes[at] = self.roll(256) as u8,
                1 => bytes[at] ^= 1 << self.roll(8),
                2 => bytes[at] = *b"\0\xff\x7f\"{}[],:-0918 \n".get(self.roll(18)).unwrap_or(&b'e'),
                3 => drop(bytes.drain(at..(at + 1 + self.roll(40)).min(n))),
                4 => {
                    let part = bytes[at..(at + self.roll(80)).min(n)].to_vec();
                    let to = self.roll(n);
                    bytes.splice(to..to, part);
                }
                _ => bytes.truncate(n - self.roll(n / 8 + 2).min(n)),
            }
        }
    }
}

/// Runs so many rounds; a panic says by which bytes, in a file of its own.
fn rounds(what: &str, count: u64, good: &[Vec<u8>], mut take: impl FnMut(Vec<u8>)) {
    let mut dice = Dice::new();
    for round in 0..count * setting(TIMES, 1) {
        let mut bytes = good[dice.roll(good.len())].clone();
        dice.change(&mut bytes);
        let kept = bytes.clone();
        if catch_unwind(AssertUnwindSafe(|| take(bytes))).is_err() {
            let path = file(&scratch("hostile-bytes"), &format!("{what}-{round}"), &kept);
            panic!("{what}, round {round}: see {}", path.display());
        }
    }
}

fn one_line(line: &str) {
    assert!(!line.is_empty() && line.lines().count() == 1, "not one line: {line:?}");
}

#[test]
fn recordings_are_judged_or_refused() {
    let demos = ["01-goat.wav", "02-shed.wav"].map(|name| std::fs::read(demo(name)).expect("a recording"));
    let mut ear = Ear::new().expect("the ear");
    let request = CountRequest {
        word: Some("goat".into()),
        sounds: None,
        speaking: Speaking::Whole,
        rules: Rules::default(),
    };
    let hearing = request
        .hearing(&Overrides::default())
        .expect("a word of the dictionary");
    rounds("recording", 60, &demos, |bytes| match decode_bytes(bytes, "wav") {
        Ok(recording) => match hearing.answer(&mut ear, &recording) {
            Ok(judged) => {
                let sum: f32 = judged.count_probabilities.iter().map(|(_, p)| p).sum();
                assert!((sum - 1.0).abs() < 0.01, "{sum}");
                assert!(
                    judged
                        .sounds
                        .iter()
                        .all(|s| s.start_s <= s.end_s && s.evidence.is_finite())
                );
            }
            Err(e) => one_line(&e.to_string()),
        },
        Err(e) => one_line(&e.to_string()),
    });
}

/// The members of a small hand-over with a bit of everything in it.
fn members() -> Vec<(String, Vec<u8>)> {
    let home = scratch("hostile-bytes").join("from");
    let mut notebook = Notebook::open_in(&home).expect("a notebook");
    let learner = notebook.add_learner("Juno", &Rules::default()).expect("a learner").id;
    let session = notebook
        .begin_session(learner, &NewSession::default())
        .expect("a session")
        .id;
    let clip = Clip {
        samples: (0..800u16).map(|i| f32::from(i % 97) / 200.0).collect(),
    };
    let new = NewAttempt {
        word: "pig",
        sounds: &[Sound::P, Sound::IH, Sound::G],
        child: Some(3),
        clip: Some(&clip),
        ..NewAttempt::default()
    };
    let kept = notebook.record(session, &new).expect("an attempt");
    let note = NewNote {
        on: NoteSubject::Attempt(kept.id),
        author: Author::Parent,
        body: NoteBody {
            text: "Clear.".into(),
            ..NoteBody::default()
        },
    };
    notebook.add_note(learner, &note).expect("a note");
    let path = home.with_extension("soundbead");
    let what = Handover {
        recordings: true,
        ..Handover::default()
    };
    notebook
        .hand_over(learner, &what, &path, &|_| true)
        .expect("an archive");
    let mut zip = zip::ZipArchive::new(std::fs::File::open(&path).expect("the archive")).expect("a ZIP file");
    let count = zip.len();
    let read = |i| {
        let mut member = zip.by_index(i).expect("a member");
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut member, &mut bytes).expect("its bytes");
        (member.name().expect("its name").into_owned(), bytes)
    };
    (0..count).map(read).collect()
}

/// The archive of these members, with sums that are right for them: what is changed is then read, and not refused at once.
fn sealed(members: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    let mut put = |name: &str, bytes: &[u8]| {
        zip.start_file(name, options).expect("a member");
        std::io::Write::write_all(&mut zip, bytes).expect("its bytes");
    };
    let mut rows = Vec::new();
    let mut manifest = serde_json::Value::Null;
    for (name, bytes) in members {
        if name == "manifest.json" {
            manifest = serde_json::from_slice(bytes).expect("a manifest");
            continue;
        }
        put(name, bytes);
        let sum = soundbead::notebook::Content::of(bytes).to_string();
        rows.push(serde_json::json!({"name": name, "bytes": bytes.len(), "sha256": sum}));
    }
    manifest["members"] = rows.into();
    put("manifest.json", manifest.to_string().as_bytes());
    zip.finish().expect("an archive").into_inner()
}

/// Takes an archive into an empty notebook; whatever came in can be listed, added up and handed on.
fn taken_in(path: &Path, home: &Path) {
    let mut notebook = Notebook::open_in(home).expect("a notebook");
    match notebook.take_in(path, None, &|_| true) {
        Err(e) => {
            one_line(&e.to_string());
            assert_eq!(notebook.learners().expect("it is whole").len(), 0);
        }
        Ok(came) => {
            came.besides().iter().for_each(|line| one_line(line));
            let learner = came.learner.id;
            let all = ListRange { skip: 0, take: 100 };
            notebook.attempts(learner, &Filter::default(), all).expect("a list");
            notebook.progress(learner, Default::default()).expect("progress");
            let on = home.join("on.soundbead").with_file_name("../on.soundbead");
            notebook
                .hand_over(learner, &Handover::default(), &on, &|_| true)
                .expect("handed on");
            assert_eq!(notebook.cautions().len(), 0, "nothing that is bad came in");
        }
    }
    drop(notebook);
    std::fs::remove_dir_all(home).expect("it goes");
}

#[test]
fn archives_are_taken_in_or_refused() {
    let good = members();
    let (folder, mut dice) = (scratch("hostile-bytes"), Dice::new());
    let whole = sealed(&good);
    let home = folder.join("into").join("home");
    rounds("archive", 40, std::slice::from_ref(&whole), |bytes| {
        taken_in(&file(&folder, "changed.soundbead", &bytes), &home);
    });
    // The same with a member changed and its sum put right.
    rounds("member", 80, &[whole], |_| {
        let mut changed = good.clone();
        let rows: Vec<usize> = (0..changed.len())
            .filter(|i| changed[*i].0.ends_with(".jsonl"))
            .collect();
        let at = rows[dice.roll(rows.len())];
        dice.change(&mut changed[at].1);
        taken_in(&file(&folder, "changed.soundbead", &sealed(&changed)), &home);
    });
}

#[test]
fn plans_are_read_or_refused() {
    rounds("plan", 1_500, &[EXAMPLE.as_bytes().to_vec()], |bytes| {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        match Plan::from_text(&text) {
            Ok(plan) => {
                let again = Plan::from_text(&plan.to_text()).expect("what is written can be read");
                assert_eq!(again.to_text(), plan.to_text());
            }
            Err(fault) => one_line(&fault.to_string()),
        }
    });
}

#[test]
fn writing_is_read_or_refused() {
    let words = ["cake", "bridge", "through", "mischievous"].map(|w| w.as_bytes().to_vec());
    let known: Vec<_> = ["cake", "bridge", "through", "mischievous"]
        .iter()
        .map(|w| word::find(w, &Overrides::default()).expect("a word"))
        .collect();
    rounds("writing", 1_500, &words, |bytes| {
        let wrote = String::from_utf8_lossy(&bytes).into_owned();
        for word in &known {
            match writing::read(word, &wrote) {
                Ok(reading) => assert_eq!(reading.sounds.len(), reading.of(), "{wrote:?}"),
                Err(e) => one_line(&e.to_string()),
            }
        }
    });
}

#[test]
fn lists_are_answered_or_refused_line_by_line() {
    let line = format!(
        "{}\n",
        serde_json::json!({"id": "a", "audio": text(&demo("01-goat.wav")), "start_s": 0.1, "word": "goat", "sounds": ["G", "OW", "T"], "speaking": "whole"})
    );
    let (folder, home) = (scratch("hostile-bytes"), scratch("hostile-bytes").join("batch"));
    rounds("list", 12, &[line.repeat(3).into_bytes()], |bytes| {
        let path = file(&folder, "list.jsonl", &bytes);
        let ran = run_in(&home, &["batch", text(&path), "--json", "--jobs", "1"]);
        assert!(
            matches!(ran.code, 0 | 2) && !ran.err.contains("panicked"),
            "{}",
            ran.err
        );
        ran.json();
    });
}
