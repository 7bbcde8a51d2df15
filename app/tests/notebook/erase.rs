//! Erasing a learner leaves no trace: every file of the data folder is searched for the learner's bytes.

use std::path::{Path, PathBuf};

use crate::common::scratch;
use soundbead::notebook::{
    Author, Edits, Help, Id, NewAttempt, NewNote, NewSession, NewWriting, NoteBody, NoteSubject, Notebook,
    VowelMeasure, WritingSource,
};
use soundbead_data::course::Choice;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Clip;

const NAME: &str = "Quillabeth";
const NOTE: &str = "The tongue came forward in every thistledown";
const DRAFT: &str = "half a thought about marmalade";
const WORD: &str = "zwieback";
/// No file at all.
const NOWHERE: [PathBuf; 0] = [];

/// Samples that no other file has.
fn clip(seed: u32) -> Clip {
    let mut state = seed;
    let mut next = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) as f32 / 65_536.0 - 0.5
    };
    Clip {
        samples: (0..2_000).map(|_| next()).collect(),
    }
}

/// The samples as a WAV file has them: 16 bit, least byte first (the RIFF format).
fn bytes(clip: &Clip) -> Vec<u8> {
    let samples = clip.samples[100..132].iter().map(|s| (s * 32_768.0).round() as i16);
    samples.flat_map(i16::to_le_bytes).collect()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let (mut open, mut all) = (vec![folder.to_owned()], Vec::new());
    while let Some(path) = open.pop() {
        match std::fs::read_dir(&path) {
            Ok(list) => open.extend(list.map(|e| e.unwrap().path())),
            Err(_) => all.push(path),
        }
    }
    all
}

/// The files that hold `needle`, in any mix of letters' cases for text.
fn found(folder: &Path, needle: &[u8]) -> Vec<PathBuf> {
    let holds = |path: &PathBuf| {
        let bytes = std::fs::read(path).unwrap();
        bytes.windows(needle.len()).any(|w| w == needle)
    };
    let mut all = files(folder);
    all.retain(holds);
    all
}

fn attempt<'a>(word: &'a str, clip: &'a Clip) -> NewAttempt<'a> {
    NewAttempt {
        word,
        sounds: &[Sound::Z, Sound::W, Sound::IY],
        clip: Some(clip),
        ..NewAttempt::default()
    }
}

/// Words that were written: in a dictation with a later try, taken back, in boxes; and what the parent says of a choice.
fn write(notebook: &mut Notebook, learner: Id, session: Id, attempt: Id) {
    let new = |word: &str, tried: &str| NewWriting {
        session: Some(session),
        word: word.into(),
        tries: vec![tried.into()],
        source: WritingSource::Dictation,
        help: Help::None,
        day: jiff::civil::date(2026, 11, 3),
    };
    // Enough of them that the table has pages to free.
    let many = vec![new("quicksilver", "kwiksilvr"); 150];
    let kept = notebook.keep_writings(learner, &many).unwrap();
    notebook
        .add_try(kept[0].id, Some("quiksilver"), Help::AfterFirst)
        .unwrap();
    notebook.add_try(kept[0].id, None, Help::None).unwrap();
    let back = notebook
        .keep_writing(learner, &new("hobgoblin", "hobgobbelin"))
        .unwrap();
    notebook.take_back_writing(back.id).unwrap();
    let letters = |edits: &mut Edits| edits.letters = vec!["marigoald".into()];
    notebook.edit(attempt, letters).unwrap();
    notebook.name_choice(learner, Choice::Tion, Some(true)).unwrap();
}

/// Settings of the ear for a voice, as an earlier version of the program kept them.
fn keep_ears_settings(folder: &Path, learner: &str, numbers: &str) {
    let db = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    let sql = "INSERT INTO enrolment (id, learner, at, model, numbers) SELECT randomblob(16), n, 0, 'ear', ?2
        FROM learner WHERE name = ?1";
    assert_eq!(db.execute(sql, [learner, numbers]).unwrap(), 1);
}

#[test]
fn no_byte_of_an_erased_learner_is_left_and_the_others_stay() {
    let folder = scratch("erase").join("home");
    let mut notebook = Notebook::open_in(&folder).unwrap();
    let rules = Rules::default();
    let (gone, stays) = (
        notebook.add_learner(NAME, &rules).unwrap().id,
        notebook.add_learner("Alby", &rules).unwrap().id,
    );
    let own = clip(1);
    let shared = clip(2);
    let session = notebook
        .begin_session(
            gone,
            &NewSession {
                plan: "elderberry plan".into(),
                began: None,
            },
        )
        .unwrap()
        .id;
    let other = notebook.begin_session(stays, &NewSession::default()).unwrap().id;
    // Enough rows that the database has pages to free.
    for _ in 0..200 {
        notebook.record(session, &attempt(WORD, &own)).unwrap();
    }
    let first = notebook.record(session, &attempt(WORD, &shared)).unwrap();
    notebook.record(other, &attempt("pig", &shared)).unwrap();
    let body = |text: &str| NoteBody {
        text: text.into(),
        ..NoteBody::default()
    };
    let note = NewNote {
        on: NoteSubject::Attempt(first.id),
        author: Author::Parent,
        body: body("first, nightingale words"),
    };
    let note = notebook.add_note(gone, &note).unwrap();
    notebook.change_note(note.id, &body(NOTE)).unwrap();
    notebook.keep_draft(Some(gone), "note", DRAFT).unwrap();
    keep_ears_settings(&folder, NAME, r#"{"warp": "gooseberry"}"#);
    let vowel = VowelMeasure {
        id: note.id,
        at: note.made,
        day: note.day,
        vowel: Sound::IY,
        word: Some("kiwiberry".into()),
        f0: None,
        f1: 450.0,
        f2: 3_000.0,
        f3: None,
        recording: None,
    };
    notebook.keep_vowel(gone, &vowel).unwrap();
    write(&mut notebook, gone, session, first.id);
    // A recording whose row was never made, as a crash leaves it.
    let stray = clip(3);
    let stray_path = folder.join("recordings/ff").join(format!("{}.wav", "ff".repeat(32)));
    std::fs::create_dir_all(stray_path.parent().unwrap()).unwrap();
    std::fs::write(&stray_path, bytes(&stray)).unwrap();

    let own_bytes = bytes(&own);
    let texts = [
        NAME,
        NOTE,
        DRAFT,
        WORD,
        "elderberry",
        "nightingale",
        "gooseberry",
        "kiwiberry",
        "quicksilver",
        "kwiksilvr",
        "quiksilver",
        "hobgoblin",
        "hobgobbelin",
        "marigoald",
        Choice::Tion.name(),
    ];
    for text in texts {
        assert!(
            !found(&folder, text.as_bytes()).is_empty(),
            "{text} is found while it is there"
        );
    }
    assert_eq!(found(&folder, &own_bytes).len(), 1);

    let erased = notebook.erase(gone).unwrap();
    assert_eq!((erased.attempts, erased.notes, erased.recordings), (201, 1, 2));
    assert_eq!(erased.writings, 151);
    let clean = || {
        for text in texts {
            assert_eq!(found(&folder, text.as_bytes()), NOWHERE, "{text}");
        }
        for clip in [&own, &stray] {
            assert_eq!(found(&folder, &bytes(clip)), NOWHERE);
        }
        // Ids are bytes in the database and hexadecimal in what speaks of it.
        assert_eq!(found(&folder, gone.to_string().as_bytes()), NOWHERE);
        assert_eq!(found(&folder, &hex(&gone.to_string())), NOWHERE);
    };
    // While it is open, and after it is closed.
    clean();
    assert_eq!(found(&folder, &bytes(&shared)).len(), 1, "Alby has this one too");
    assert_eq!(notebook.learners().unwrap().len(), 1);
    drop(notebook);
    clean();
    assert_eq!(Notebook::open_in(&folder).unwrap().attempts_of(other).unwrap().len(), 1);
}

fn hex(text: &str) -> Vec<u8> {
    (0..text.len())
        .step_by(2)
        .map(|i| u8::from_str_radix(&text[i..i + 2], 16).unwrap())
        .collect()
}

#[test]
fn an_erasure_that_another_program_holds_up_is_finished_later() {
    let folder = scratch("erase").join("held");
    let mut notebook = Notebook::open_in(&folder).unwrap();
    let learner = notebook.add_learner(NAME, &Rules::default()).unwrap().id;
    // Another program in the middle of reading.
    let other = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    let reading = other.unchecked_transaction().unwrap();
    let names: i64 = reading
        .query_row("SELECT count(*) FROM learner", [], |r| r.get(0))
        .unwrap();
    assert_eq!(names, 1);
    let fault = notebook.erase(learner).unwrap_err().to_string();
    assert!(
        fault.contains("is erased") && fault.contains("close that program"),
        "{fault}"
    );
    assert!(notebook.learners().unwrap().is_empty());
    drop(reading);
    drop((other, notebook));
    drop(Notebook::open_in(&folder).unwrap());
    assert_eq!(found(&folder, NAME.as_bytes()), NOWHERE);
    assert!(!folder.join("erase-unfinished").exists());
}
