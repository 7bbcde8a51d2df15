//! What earlier versions of the program wrote stays readable: a notebook and a hand-over of each version are kept in
//! `notebooks/`, as that program wrote them.

use std::path::{Path, PathBuf};

use crate::common::scratch;
use soundbead::notebook::{
    Attempt, Author, Content, Filter, Help, Learner, ListRange, NewWriting, NoteSubject, Notebook, Place,
    WritingFilter, WritingSource,
};
use soundbead::storage;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Verdict;

const ALL: ListRange = ListRange { skip: 0, take: 1000 };

fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notebooks").join(name)
}

/// A folder with the notebook of version 1.
fn version_1(name: &str) -> PathBuf {
    notebook_of("version-1.sql", name)
}

/// A folder with the notebook that a file of SQL makes.
fn notebook_of(sql: &str, name: &str) -> PathBuf {
    let folder = scratch("older").join(name);
    std::fs::create_dir_all(&folder).unwrap();
    let sql = std::fs::read_to_string(kept(sql)).unwrap();
    let db = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    db.execute_batch(&sql).unwrap();
    folder
}

fn find<'a>(attempts: &'a [Attempt], word: &str) -> &'a Attempt {
    attempts.iter().find(|a| a.word == word).unwrap()
}

/// The learner of the fixtures who has attempts.
fn juno(notebook: &Notebook) -> Learner {
    let all = notebook.learners().unwrap();
    all.into_iter().find(|l| l.name == "Juno").unwrap()
}

/// What was written down when the fixture was made.
fn holds_what_was_kept(notebook: &Notebook) {
    let juno = juno(notebook);
    assert_eq!(Some(&juno.rules), Rules::named("phonics").as_ref());
    let attempts = notebook.attempts(juno.id, &Filter::default(), ALL).unwrap();
    assert_eq!(attempts.len(), 5);
    let goat = find(&attempts, "goat");
    assert_eq!(
        (goat.heard, goat.verdict, goat.edits.child),
        (Some(3), Some(Verdict::Same), Some(3))
    );
    assert_eq!(
        (goat.sure.map(|s| s as f32), goat.edits.letters.join(" ").as_str()),
        (Some(0.9976), "g oa t")
    );
    let heard = notebook.judgement(goat.id).unwrap().unwrap();
    assert_eq!((heard.verdict, heard.fit.unwrap().same), (Some(Verdict::Same), 0.9976));
    assert_eq!(heard.count_probabilities, [(3, 0.9984)]);
    let places: Vec<_> = heard.sounds.iter().map(|p| (p.sound, p.start_s)).collect();
    assert_eq!(places, [(Sound::G, 0.35), (Sound::OW, 0.4), (Sound::T, 0.7)]);
    let ring = find(&attempts, "ring");
    let rulings = &ring.edits.rulings;
    assert_eq!(
        (rulings.len(), rulings[0].by, rulings[0].verdict),
        (1, Author::Consultant, Verdict::Changed)
    );
    assert_eq!(rulings[0].sounds, [Sound::W, Sound::IH, Sound::NG]);
    assert!(notebook.judgement(ring.id).unwrap().unwrap().said.is_some());
    // The parent's ruling, which that version put out of its place.
    let earlier = notebook.earlier(ring.id).unwrap();
    assert_eq!(
        (earlier.len(), &earlier[0].body["rulings"][0]["by"]),
        (1, &"parent".into())
    );
    let counts: Vec<_> = attempts
        .iter()
        .filter(|a| a.word == "barn")
        .map(|a| a.expected)
        .collect();
    assert_eq!(counts, [4, 3], "each counted by the rules of its time");
    let note = notebook
        .notes_on(juno.id, &NoteSubject::Sound(Sound::TH))
        .unwrap()
        .remove(0);
    assert_eq!(
        (note.body.place, note.body.text.as_str()),
        (Some(Place::Teeth), "The lips made a ring, twice.")
    );
    assert_eq!(notebook.vowels(juno.id).unwrap()[0].vowel, Sound::IY);
}

#[test]
fn a_notebook_of_version_1_is_read_and_written_on() {
    let folder = version_1("notebook");
    holds_what_was_kept(&Notebook::open_in(&folder).unwrap());
    let mut notebook = Notebook::open_in(&folder).unwrap();
    let juno = juno(&notebook).id;
    assert_eq!(notebook.draft(Some(juno), "note").unwrap().unwrap().0, "The tongue");
    let ring = find(&notebook.attempts(juno, &Filter::default(), ALL).unwrap(), "ring").id;
    let ruled = notebook.take_back_ruling(ring, Author::Consultant).unwrap();
    assert_eq!(ruled.edits.rulings, []);
    let erased = notebook.erase(juno).unwrap();
    assert_eq!((erased.attempts, erased.notes), (5, 3));
}

#[test]
fn a_hand_over_of_version_1_is_taken_in_and_fits_its_notebook() {
    let mut fresh = Notebook::open_in(&scratch("older").join("fresh")).unwrap();
    let came = fresh.take_in(&kept("version-1.soundbead"), None, &|_| true).unwrap();
    assert!(came.new && came.learner.name == "Juno");
    holds_what_was_kept(&fresh);
    let mut old = Notebook::open_in(&version_1("merged")).unwrap();
    let came = old.take_in(&kept("version-1.soundbead"), None, &|_| true).unwrap();
    assert_eq!((came.added, came.removed), (0, 0), "it has all of it already");
    holds_what_was_kept(&old);
}

#[test]
fn a_judgement_that_cannot_be_read_closes_nothing_else() {
    let folder = version_1("unreadable");
    let db = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    db.execute("UPDATE judgement SET answer = 'spoilt' WHERE attempt = 1", [])
        .unwrap();
    drop(db);
    let notebook = Notebook::open_in(&folder).unwrap();
    let juno = juno(&notebook).id;
    let attempts = notebook.attempts(juno, &Filter::default(), ALL).unwrap();
    let fault = notebook.judgement(find(&attempts, "goat").id).unwrap_err().to_string();
    assert!(
        fault.contains("cannot be read") && fault.lines().count() == 1,
        "{fault}"
    );
    assert!(notebook.judgement(find(&attempts, "ring").id).unwrap().is_some());
}

/// The recordings' names are sums of their bytes: the same samples must make the same file for ever.
#[test]
fn a_recording_is_written_as_version_1_wrote_it() {
    let notebook = Notebook::open_in(&version_1("recording")).unwrap();
    let juno = juno(&notebook).id;
    let attempts = notebook.attempts(juno, &Filter::default(), ALL).unwrap();
    let clip = soundbead_dsp::audio::decode(&crate::common::demo("01-goat.wav"))
        .unwrap()
        .clip;
    let bytes = storage::wav(&clip.samples);
    assert_eq!(find(&attempts, "goat").recording, Some(Content::of(&bytes)));
}

/// What was written down when the fixture of version 2 was made: that of version 1, and two more judged attempts.
fn holds_what_version_2_kept(notebook: &Notebook) {
    let juno = juno(notebook).id;
    let attempts = notebook.attempts(juno, &Filter::default(), ALL).unwrap();
    assert_eq!(attempts.len(), 7);
    let shed = find(&attempts, "shed");
    assert_eq!(
        (shed.edits.child, shed.heard, shed.verdict),
        (Some(3), Some(3), Some(Verdict::Same))
    );
    let heard = notebook.judgement(shed.id).unwrap().unwrap();
    let sounds: Vec<_> = heard.sounds.iter().map(|p| p.sound).collect();
    assert_eq!(sounds, [Sound::SH, Sound::EH, Sound::D]);
    assert!(heard.model.is_some(), "that version wrote the model's id");
    assert_eq!(find(&attempts, "ring").edits.rulings[0].by, Author::Consultant);
    let note = notebook
        .notes_on(juno, &NoteSubject::Word("fist".into()))
        .unwrap()
        .remove(0);
    assert_eq!(note.body.text, "The last two sounds run together.");
    // The letters of that time are evidence now.
    let written = notebook.writings(juno, &WritingFilter::default(), ALL).unwrap();
    let told: Vec<_> = written.iter().map(|w| (w.word.as_str(), w.first(), w.source)).collect();
    assert_eq!(told, [("goat", "goat", WritingSource::Boxes)]);
    assert_eq!(notebook.course_tries(juno).unwrap().len(), 1);
}

#[test]
fn a_notebook_and_a_hand_over_of_version_2_are_read_and_written_on() {
    let mut notebook = Notebook::open_in(&notebook_of("version-2.sql", "notebook-2")).unwrap();
    holds_what_version_2_kept(&notebook);
    let juno = juno(&notebook).id;
    let came = notebook.take_in(&kept("version-2.soundbead"), None, &|_| true).unwrap();
    assert_eq!((came.added, came.removed), (0, 0), "it has all of it already");
    let mut fresh = Notebook::open_in(&scratch("older").join("fresh-2")).unwrap();
    assert!(
        fresh
            .take_in(&kept("version-2.soundbead"), None, &|_| true)
            .unwrap()
            .new
    );
    holds_what_version_2_kept(&fresh);
    let new = NewWriting {
        session: None,
        word: "shed".into(),
        tries: vec!["shead".into()],
        source: WritingSource::Paper,
        help: Help::None,
        day: jiff::civil::date(2026, 11, 20),
    };
    notebook.keep_writing(juno, &new).unwrap();
    assert_eq!(notebook.course_tries(juno).unwrap().len(), 2);
}

/// What was written down when the fixture of version 3 was made: that of version 2, a judged attempt with a note on it, two words
/// from paper, and a choice that was taught.
fn holds_what_version_3_kept(notebook: &Notebook) {
    let juno = juno(notebook).id;
    let attempts = notebook.attempts(juno, &Filter::default(), ALL).unwrap();
    assert_eq!(attempts.len(), 8);
    let bell = find(&attempts, "bell");
    assert_eq!((bell.edits.child, bell.verdict), (Some(3), Some(Verdict::Changed)));
    let note = notebook
        .notes_on(juno, &NoteSubject::Attempt(bell.id))
        .unwrap()
        .remove(0);
    assert_eq!(
        (note.author, note.body.text.as_str()),
        (Author::Consultant, "Voice on at the end of bell.")
    );
    assert!(note.body.answers.is_empty() && !note.body.is_settled() && note.body.moment.is_none());
    let filter = WritingFilter {
        source: Some(WritingSource::Paper),
        ..WritingFilter::default()
    };
    let written = notebook.writings(juno, &filter, ALL).unwrap();
    let mut told: Vec<_> = written.iter().map(|w| (w.word.as_str(), w.first())).collect();
    told.sort_unstable();
    assert_eq!(told, [("bridge", "brige"), ("roof", "roof")]);
    assert_eq!(notebook.named_choices(juno).unwrap().taught.len(), 1);
    assert!(notebook.goals(juno).unwrap().is_empty());
}

#[test]
fn a_notebook_and_a_hand_over_of_version_3_are_read_and_written_on() {
    let mut notebook = Notebook::open_in(&notebook_of("version-3.sql", "notebook-3")).unwrap();
    holds_what_version_3_kept(&notebook);
    let juno = juno(&notebook).id;
    let came = notebook.take_in(&kept("version-3.soundbead"), None, &|_| true).unwrap();
    assert_eq!((came.added, came.removed), (0, 0), "it has all of it already");
    let mut fresh = Notebook::open_in(&scratch("older").join("fresh-3")).unwrap();
    assert!(
        fresh
            .take_in(&kept("version-3.soundbead"), None, &|_| true)
            .unwrap()
            .new
    );
    holds_what_version_3_kept(&fresh);
    let session = notebook.lesson_list(juno, ALL).unwrap()[0].session;
    notebook.say_how_it_went(session, "Well.").unwrap();
    assert_eq!(
        notebook.lesson_list(juno, ALL).unwrap()[0].went.as_deref(),
        Some("Well.")
    );
}
