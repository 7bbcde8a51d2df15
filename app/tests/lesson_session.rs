//! The lesson without a window: what is kept, what is said when it could not be, and a monkey at the keys.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;
use soundbead::drill::session::{Bench, Intent, Question};
use soundbead::equipment::LearnerInHand;
use soundbead::mic::spoken::{Pace, Spoken};
use soundbead::notebook::{Attempt, Author, DATABASE, Page};
use soundbead_data::Rules;
use soundbead_dsp::judgement::Verdict;

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("session-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

/// A bench at which Juno learns, with goats spoken into its microphone.
fn juno(name: &str) -> Bench {
    let goat = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo/01-goat.wav");
    let mic = Spoken::new(vec![goat]).paced(Pace::EachRead(Duration::from_millis(200)));
    let mut bench = Bench::over(&folder(name), mic);
    let juno = bench.notebook.ask(|n| n.add_learner("Juno", &Rules::default()));
    let juno = juno.wait().unwrap();
    bench.learner = Some(LearnerInHand {
        id: juno.id,
        name: juno.name,
    });
    bench
}

fn begin(bench: &mut Bench, words: &str) {
    bench.apply(Intent::Start(words.into()));
    bench.until(|session| session.lesson().is_some());
}

fn record(bench: &mut Bench) {
    bench.apply(Intent::Record);
    bench.until(|session| session.free() && session.lesson().is_some_and(|l| l.work().latest.is_some()));
}

fn attempts(bench: &Bench) -> Vec<Attempt> {
    let learner = bench.learner.as_ref().unwrap().id;
    let all = Page { skip: 0, take: 100_000 };
    let found = bench
        .notebook
        .ask(move |n| n.attempts(learner, &Default::default(), all));
    found.wait().unwrap()
}

/// Holds the notebook so that nothing can be written, as another program might.
fn hold(bench: &Bench) -> Connection {
    let db = Connection::open(bench.folder.join(DATABASE)).unwrap();
    db.execute_batch("BEGIN IMMEDIATE").unwrap();
    db
}

#[test]
fn a_ruling_that_could_not_be_written_is_said_and_written_later() {
    let mut bench = juno("ruling");
    begin(&mut bench, "goat");
    record(&mut bench);
    let held = hold(&bench);
    bench.author = Author::Consultant;
    bench.apply(Intent::Rule(Some(Verdict::Fewer)));
    bench.until(|session| session.unkept().is_some());
    bench.apply(Intent::End);
    let asked = bench.session.question().map(|(question, _)| question);
    assert_eq!(asked, Some(Question::Unkept), "the lesson does not end silently");
    assert!(bench.session.lesson().is_some());
    drop(held);
    bench.apply(Intent::SaveAgain);
    bench.until(|session| session.unkept().is_none());
    bench.until(|_| true);
    let kept = attempts(&bench);
    let ruling = kept[0].edits.ruling_by(Author::Consultant).unwrap();
    assert_eq!(ruling.verdict, Verdict::Fewer);
    assert!(
        kept[0].edits.ruling_by(Author::Parent).is_none(),
        "whose ruling it is stays"
    );
}

#[test]
fn a_recording_that_could_not_be_written_is_kept_and_written_later() {
    let mut bench = juno("recording");
    begin(&mut bench, "goat");
    bench.apply(Intent::Beads(3));
    let held = hold(&bench);
    record(&mut bench);
    assert!(bench.session.unkept().is_some());
    drop(held);
    bench.apply(Intent::SaveAgain);
    bench.until(|session| session.unkept().is_none());
    let kept = attempts(&bench);
    assert_eq!(kept.len(), 1);
    assert!(kept[0].recording.is_some() && kept[0].edits.child == Some(3));
}

#[test]
fn work_without_a_recording_is_in_the_notebook_and_leaves_it_when_it_is_undone() {
    let mut bench = juno("bare");
    begin(&mut bench, "goat coat");
    bench.apply(Intent::Beads(4));
    bench.apply(Intent::GoOn);
    bench.until(|_| true);
    let kept = attempts(&bench);
    assert_eq!(kept.len(), 1);
    assert_eq!((kept[0].word.as_str(), kept[0].edits.child), ("goat", Some(4)));
    assert!(kept[0].recording.is_none() && kept[0].heard.is_none());
    bench.poll();
    bench.apply(Intent::Undo);
    bench.poll();
    assert!(attempts(&bench).is_empty());
}
