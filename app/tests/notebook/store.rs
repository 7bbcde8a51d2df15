//! The notebook keeps what it is given: across a close, between two programs, and for its user's eyes alone.

use std::path::{Path, PathBuf};

use crate::common::scratch;
use soundbead::notebook::{
    Author, Filter, Id, ListRange, NewAttempt, NewNote, NewSession, NoteBody, NoteSubject, Notebook, Pointed, Ruling,
};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Clip;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target, Verdict};

const PIG: [Sound; 3] = [Sound::P, Sound::IH, Sound::G];
const ALL: ListRange = ListRange { skip: 0, take: 1000 };

fn folder(name: &str) -> PathBuf {
    scratch("notebook").join(name)
}

fn pig<'a>() -> NewAttempt<'a> {
    NewAttempt {
        word: "pig",
        sounds: &PIG,
        child: Some(3),
        ..NewAttempt::default()
    }
}

/// A notebook with one learner and a session begun.
fn begun(folder: &Path) -> (Notebook, Id, Id) {
    let mut notebook = Notebook::open_in(folder).unwrap();
    let learner = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
    (notebook, learner, session)
}

fn hum(seed: u32, samples: usize) -> Clip {
    let noise = |i: usize| ((i as u32).wrapping_mul(2_654_435_761).wrapping_add(seed) >> 16) as f32 / 65_536.0 - 0.5;
    Clip {
        samples: (0..samples).map(noise).collect(),
    }
}

#[test]
fn what_was_written_is_there_when_the_notebook_is_opened_again() {
    let folder = folder("again");
    let (mut notebook, learner, session) = begun(&folder);
    let clip = hum(1, 800);
    let kept = notebook
        .record(
            session,
            &NewAttempt {
                clip: Some(&clip),
                before: Some("wig"),
                speaking: Speaking::Separate,
                ..pig()
            },
        )
        .unwrap();
    assert!(kept.child_right() && kept.expected == 3);
    // Another open sees it while the first is open still: it was on the disk when `record` returned.
    let other = Notebook::open_in(&folder).unwrap();
    assert_eq!(other.attempt(kept.id).unwrap().as_ref(), Some(&kept));
    drop((notebook, other));
    let notebook = Notebook::open_in(&folder).unwrap();
    assert_eq!(notebook.learners().unwrap()[0].name, "Juno");
    assert_eq!(
        notebook.attempts(learner, &Filter::default(), ALL).unwrap(),
        std::slice::from_ref(&kept)
    );
    let back = notebook.recording(kept.recording.unwrap()).unwrap();
    let far = back.clip.samples.iter().zip(&clip.samples).map(|(a, b)| (a - b).abs());
    assert!(
        back.clip.samples.len() == 800 && far.fold(0.0, f32::max) <= 1.0 / 65_536.0,
        "16 bit are kept"
    );
}

#[test]
fn what_the_ear_found_is_kept_with_its_probabilities() {
    let (mut notebook, _, session) = begun(&folder("judged"));
    let recording = soundbead_dsp::audio::decode(&crate::common::demo("01-goat.wav")).unwrap();
    let target = Target {
        variants: vec![vec![Sound::G, Sound::OW, Sound::T]],
        letters: vec![],
    };
    let rules = Rules::default();
    let judgement = Ear::new()
        .unwrap()
        .judge(&recording, Some(&target), Speaking::Whole, &rules)
        .unwrap();
    let kept = notebook
        .record(
            session,
            &NewAttempt {
                word: "goat",
                sounds: &target.variants[0],
                judgement: Some(&judgement),
                model: "ear 1",
                clip: Some(&recording.clip),
                ..NewAttempt::default()
            },
        )
        .unwrap();
    // Every number as it was, unrounded.
    assert_eq!(notebook.judgement(kept.id).unwrap().as_ref(), Some(&judgement));
    let judged = notebook.judgement(kept.id).unwrap().unwrap();
    assert_eq!(
        (kept.heard, kept.verdict),
        (Some(judgement.heard as u16), judgement.verdict)
    );
    assert_eq!(
        (judged.verdict, judged.said.clone()),
        (judgement.verdict, judgement.said.clone())
    );
    let places = judged.sounds.iter().zip(&judgement.sounds);
    assert!(judged.sounds.len() == 3 && places.clone().all(|(a, b)| a.sound == b.sound));
    assert!(
        places
            .clone()
            .all(|(a, b)| (a.start_s - b.start_s).abs() < 0.001 && (a.evidence - b.evidence).abs() < 0.001)
    );
    let (kept_fit, fit) = (judged.fit.unwrap(), judgement.fit.unwrap());
    assert!((kept_fit.same - fit.same).abs() < 1e-4 && (kept_fit.fewer - fit.fewer).abs() < 1e-4);
    assert_eq!(
        judged.quality.snr_db.map(f32::round),
        judgement.quality.snr_db.map(f32::round)
    );
}

#[test]
fn the_rules_in_force_stay_with_the_attempt_they_counted() {
    let (mut notebook, learner, session) = begun(&folder("rules"));
    let car = [Sound::K, Sound::AA, Sound::R];
    for set in ["phoneme", "phonics"] {
        let rules = Rules::named(set).unwrap();
        notebook
            .record(
                session,
                &NewAttempt {
                    word: "car",
                    sounds: &car,
                    rules,
                    ..NewAttempt::default()
                },
            )
            .unwrap();
    }
    let mut counts: Vec<_> = notebook.attempts(learner, &Filter::default(), ALL).unwrap();
    counts.sort_by_key(|a| a.expected);
    assert_eq!(counts.iter().map(|a| a.expected).collect::<Vec<_>>(), [2, 3]);
    assert_eq!(Some(&counts[0].rules), Rules::named("phonics").as_ref());
}

#[test]
fn a_correction_keeps_what_it_replaced_and_filling_in_does_not() {
    let (mut notebook, _, session) = begun(&folder("history"));
    let id = notebook
        .record(session, &NewAttempt { child: None, ..pig() })
        .unwrap()
        .id;
    notebook.edit(id, |e| e.child = Some(4)).unwrap();
    notebook
        .edit(id, |e| e.pointed = Some(Pointed { at: 1, right: true }))
        .unwrap();
    assert_eq!(notebook.earlier(id).unwrap(), []);
    let ruling = |verdict| Ruling::new(verdict, Author::Parent);
    notebook.rule(id, ruling(Verdict::Fewer)).unwrap();
    let now = notebook.rule(id, ruling(Verdict::Same)).unwrap();
    let given: Vec<_> = now.edits.rulings.iter().map(|r| r.verdict).collect();
    assert_eq!(given, [Verdict::Same]);
    let earlier = notebook.earlier(id).unwrap();
    assert_eq!(earlier.len(), 1);
    assert_eq!(earlier[0].body["rulings"][0]["verdict"], "fewer");
    assert_eq!(earlier[0].body["child"], 4);
}

#[test]
fn the_last_attempt_can_be_taken_back_and_brought_again_and_is_gone_when_the_session_ends() {
    let (mut notebook, learner, session) = begun(&folder("undo"));
    let clip = hum(2, 400);
    notebook.record(session, &pig()).unwrap();
    let last = notebook
        .record(
            session,
            &NewAttempt {
                clip: Some(&clip),
                ..pig()
            },
        )
        .unwrap();
    let path = notebook.recording_path(last.recording.unwrap());
    let count = |n: &Notebook| n.count_attempts(learner, &Filter::default()).unwrap();
    assert_eq!(notebook.undo_last(session).unwrap().unwrap().id, last.id);
    assert_eq!((count(&notebook), path.exists()), (1, true));
    notebook.redo(&last).unwrap();
    assert_eq!(count(&notebook), 2);
    notebook.undo_last(session).unwrap();
    notebook.end_session(session).unwrap();
    assert_eq!((count(&notebook), path.exists()), (1, false));
    assert!(notebook.redo(&last).is_err());
    assert_eq!(notebook.attempt(last.id).unwrap(), None);
}

#[test]
fn a_recording_that_another_attempt_has_too_outlives_the_one_taken_back() {
    let (mut notebook, _, session) = begun(&folder("shared"));
    let clip = hum(3, 400);
    let first = notebook
        .record(
            session,
            &NewAttempt {
                clip: Some(&clip),
                ..pig()
            },
        )
        .unwrap();
    let second = notebook
        .record(
            session,
            &NewAttempt {
                clip: Some(&clip),
                ..pig()
            },
        )
        .unwrap();
    assert_eq!(first.recording, second.recording);
    notebook.undo_last(session).unwrap();
    notebook.end_session(session).unwrap();
    assert!(notebook.recording(first.recording.unwrap()).is_ok());
}

#[test]
fn attempts_are_picked_by_what_a_reviewer_looks_for() {
    let (mut notebook, learner, session) = begun(&folder("filter"));
    let moth = [Sound::M, Sound::AO, Sound::TH];
    notebook.record(session, &pig()).unwrap();
    let wrong = NewAttempt {
        word: "moth",
        sounds: &moth,
        child: Some(4),
        speaking: Speaking::Stretched,
        ..pig()
    };
    let wrong = notebook.record(session, &wrong).unwrap();
    notebook
        .rule(wrong.id, Ruling::new(Verdict::Same, Author::Consultant))
        .unwrap();
    let words = |filter: Filter| -> Vec<String> {
        let count = notebook.count_attempts(learner, &filter).unwrap();
        let found = notebook.attempts(learner, &filter, ALL).unwrap();
        assert_eq!(count, found.len() as u64);
        found.into_iter().map(|a| a.word).collect()
    };
    let none = Filter::default;
    assert_eq!(words(none()), ["moth", "pig"]);
    assert_eq!(
        words(Filter {
            sound: Some(Sound::TH),
            ..none()
        }),
        ["moth"]
    );
    assert_eq!(
        words(Filter {
            sound: Some(Sound::ZH),
            ..none()
        }),
        [""; 0]
    );
    assert_eq!(
        words(Filter {
            word: Some("pig".into()),
            ..none()
        }),
        ["pig"]
    );
    assert_eq!(
        words(Filter {
            unruled: true,
            ..none()
        }),
        ["pig"]
    );
    assert_eq!(
        words(Filter {
            miscounted: true,
            ..none()
        }),
        ["moth"]
    );
    assert_eq!(
        words(Filter {
            speaking: Some(Speaking::Stretched),
            ..none()
        }),
        ["moth"]
    );
    assert_eq!(
        words(Filter {
            verdict: Some(Verdict::Same),
            ..none()
        }),
        [""; 0]
    );
    assert_eq!(
        words(Filter {
            to: Some(jiff::civil::date(2020, 1, 1)),
            ..none()
        }),
        [""; 0]
    );
    assert_eq!(
        notebook
            .attempts(learner, &none(), ListRange { skip: 1, take: 1 })
            .unwrap()[0]
            .word,
        "pig"
    );
    assert_eq!(notebook.words_said(learner, "m", 9).unwrap(), ["moth"]);
}

#[test]
fn notes_are_kept_on_what_they_are_on_and_changed_and_taken_out_and_put_back() {
    let (mut notebook, learner, session) = begun(&folder("notes"));
    let attempt = notebook.record(session, &pig()).unwrap().id;
    let write = |text: &str| NoteBody {
        text: text.into(),
        ..NoteBody::default()
    };
    for on in [
        NoteSubject::Learner,
        NoteSubject::Sound(Sound::TH),
        NoteSubject::Word("pig".into()),
        NoteSubject::Attempt(attempt),
    ] {
        let note = NewNote {
            on: on.clone(),
            author: Author::Parent,
            body: write("heard it"),
        };
        let note = notebook.add_note(learner, &note).unwrap();
        assert_eq!(notebook.notes_on(learner, &on).unwrap(), [note]);
    }
    let note = notebook
        .notes_on(learner, &NoteSubject::Sound(Sound::TH))
        .unwrap()
        .remove(0);
    notebook.change_note(note.id, &write("heard it twice")).unwrap();
    assert_eq!(notebook.earlier(note.id).unwrap()[0].body["text"], "heard it");
    let out = notebook.remove_note(note.id).unwrap();
    assert_eq!(
        (
            notebook.notes(learner).unwrap().len(),
            notebook.earlier(note.id).unwrap().len()
        ),
        (3, 0)
    );
    notebook.restore_note(learner, &out).unwrap();
    assert_eq!(
        notebook.notes_on(learner, &NoteSubject::Sound(Sound::TH)).unwrap()[0]
            .body
            .text,
        "heard it twice"
    );
    let empty = NewNote {
        on: NoteSubject::Learner,
        author: Author::Parent,
        body: NoteBody::default(),
    };
    assert!(
        notebook
            .add_note(learner, &empty)
            .unwrap_err()
            .to_string()
            .contains("empty")
    );
}

#[test]
fn a_draft_is_there_after_a_crash_until_it_is_dropped() {
    let folder = folder("draft");
    let (mut notebook, learner, _) = begun(&folder);
    notebook.keep_draft(Some(learner), "note", "The to").unwrap();
    notebook.keep_draft(Some(learner), "note", "The tongue").unwrap();
    notebook.keep_draft(None, "note", "another").unwrap();
    // No clean end: the connection is never closed.
    std::mem::forget(notebook);
    let mut notebook = Notebook::open_in(&folder).unwrap();
    assert_eq!(notebook.draft(Some(learner), "note").unwrap().unwrap().0, "The tongue");
    notebook.keep_draft(Some(learner), "note", "").unwrap();
    assert_eq!(notebook.draft(Some(learner), "note").unwrap(), None);
    assert_eq!(notebook.draft(None, "note").unwrap().unwrap().0, "another");
}

#[test]
fn names_are_needed_tidied_and_not_given_twice() {
    let (mut notebook, learner, _) = begun(&folder("names"));
    let rules = Rules::default();
    assert!(notebook.add_learner("  ", &rules).is_err());
    assert!(
        notebook
            .add_learner("JUNO ", &rules)
            .unwrap_err()
            .to_string()
            .contains("Juno")
    );
    assert!(notebook.add_learner(&"x".repeat(81), &rules).is_err());
    let alby = notebook.add_learner(" Alby  Q ", &rules).unwrap();
    assert_eq!(alby.name, "Alby Q");
    assert_eq!(notebook.change_learner(learner, "juno", &rules).unwrap().name, "juno");
    assert!(notebook.change_learner(learner, "alby q", &rules).is_err());
    assert_eq!(notebook.earlier(learner).unwrap()[0].body["name"], "Juno");
}

#[test]
fn two_threads_write_at_once_and_nothing_is_lost() {
    let folder = folder("threads");
    let (notebook, learner, session) = begun(&folder);
    let write = |seed: u32| {
        let folder = folder.clone();
        move || {
            let mut own = Notebook::open_in(&folder).unwrap();
            for i in 0..25 {
                let clip = hum(seed * 100 + i, 400);
                own.record(
                    session,
                    &NewAttempt {
                        clip: Some(&clip),
                        ..pig()
                    },
                )
                .unwrap();
            }
        }
    };
    std::thread::scope(|s| {
        s.spawn(write(1));
        s.spawn(write(2));
    });
    let all = notebook.attempts(learner, &Filter::default(), ALL).unwrap();
    assert_eq!(all.len(), 50);
    assert!(all.iter().all(|a| notebook.recording(a.recording.unwrap()).is_ok()));
}

#[test]
fn what_is_no_notebook_or_a_later_ones_is_left_alone() {
    let (none, later) = (folder("none"), folder("later"));
    std::fs::create_dir_all(&none).unwrap();
    let text = b"This is a letter to Gran, not a notebook. ".repeat(40);
    crate::common::file(&none, "notebook.db", &text);
    let fault = Notebook::open_in(&none).err().unwrap().to_string();
    assert!(
        fault.contains("notebook.db") && fault.contains("no notebook") && fault.lines().count() == 1,
        "{fault}"
    );
    assert_eq!(std::fs::read(none.join("notebook.db")).unwrap(), text);
    drop(Notebook::open_in(&later).unwrap());
    rusqlite::Connection::open(later.join("notebook.db"))
        .unwrap()
        .pragma_update(None, "user_version", 99)
        .unwrap();
    let fault = Notebook::open_in(&later).err().unwrap().to_string();
    assert!(fault.contains("later version"), "{fault}");
}

#[cfg(unix)]
#[test]
fn only_its_user_may_read_it() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder("private");
    let (mut notebook, _, session) = begun(&folder);
    let clip = hum(4, 160);
    notebook
        .record(
            session,
            &NewAttempt {
                clip: Some(&clip),
                ..pig()
            },
        )
        .unwrap();
    let mut open = vec![folder.clone()];
    let mut seen = Vec::new();
    while let Some(path) = open.pop() {
        let about = std::fs::metadata(&path).unwrap();
        assert_eq!(about.permissions().mode() & 0o077, 0, "{}", path.display());
        if about.is_dir() {
            open.extend(std::fs::read_dir(&path).unwrap().map(|e| e.unwrap().path()));
        }
        seen.push(path);
    }
    // The database, its log and index, and the recording are among them.
    assert!(
        seen.iter().any(|p| p.ends_with("notebook.db-wal"))
            && seen.iter().any(|p| p.extension() == Some("wav".as_ref()))
    );
}

#[test]
fn a_recording_that_was_altered_is_noticed_and_put_right_when_the_same_sound_comes_again() {
    let folder = folder("altered");
    let (mut notebook, _, session) = begun(&folder);
    let sound = hum(3, 2_000);
    let new = NewAttempt {
        clip: Some(&sound),
        ..pig()
    };
    let content = notebook.record(session, &new).unwrap().recording.unwrap();
    let path = notebook.recording_path(content);
    let whole = std::fs::read(&path).unwrap();
    notebook.record(session, &new).unwrap();
    assert!(notebook.cautions().is_empty());
    let mut altered = whole.clone();
    altered[100] ^= 1;
    std::fs::write(&path, &altered).unwrap();
    notebook.record(session, &new).unwrap();
    let told = notebook.cautions().join(" ");
    assert!(told.contains("altered"), "{told}");
    assert_eq!(std::fs::read(&path).unwrap(), whole);
}

/// What a program that was ended left behind goes at the next start; what another has in hand stays.
#[test]
fn what_was_left_half_done_goes_at_the_next_start() {
    let folder = folder("left");
    drop(begun(&folder));
    let outside = scratch("notebook").join(".soundbead-unfinished-archive");
    let innocent = scratch("notebook").join("letter.txt");
    std::fs::write(&outside, "half an archive").unwrap();
    std::fs::write(&innocent, "dear Gran").unwrap();
    for name in ["incoming-7-7", "incoming-8-8", "incoming-9-9"] {
        std::fs::create_dir(folder.join(name)).unwrap();
        std::fs::write(folder.join(name).join("notes.jsonl"), "in clear").unwrap();
    }
    std::fs::write(folder.join("incoming-8-8.lock"), "").unwrap();
    std::fs::write(folder.join("incoming-9-9.lock"), "").unwrap();
    std::fs::write(folder.join("outgoing-7-7.lock"), outside.to_str().unwrap()).unwrap();
    std::fs::write(folder.join("outgoing-8-8.lock"), innocent.to_str().unwrap()).unwrap();
    let old = folder.join(".soundbead-unfinished-x");
    std::fs::write(&old, "half").unwrap();
    let hour_ago = std::time::SystemTime::now() - std::time::Duration::from_secs(3_600);
    std::fs::File::options()
        .write(true)
        .open(&old)
        .unwrap()
        .set_modified(hour_ago)
        .unwrap();
    std::fs::write(folder.join(".soundbead-unfinished-y"), "another program's, just now").unwrap();
    // Another program at work.
    let held = std::fs::File::open(folder.join("incoming-9-9.lock")).unwrap();
    held.lock().unwrap();
    drop(Notebook::open_in(&folder).unwrap());
    let names = std::fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap());
    let mut left: Vec<String> = names
        .filter(|n| n.contains("ing-") || n.starts_with(".sound"))
        .collect();
    left.sort();
    assert_eq!(left, [".soundbead-unfinished-y", "incoming-9-9", "incoming-9-9.lock"]);
    assert!(!outside.exists() && innocent.exists());
}
