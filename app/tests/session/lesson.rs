//! The lesson without a window: what is kept, what is said when it could not be, and a monkey at the keys.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;
use soundbead::drill::TryKept;
use soundbead::drill::session::{Bench, CloseUpVoice, Intent, OpenQuestion};
use soundbead::equipment::News;
use soundbead::mic::spoken::{Pace, SpokenFiles};
use soundbead::notebook::{Attempt, Author, Cued, DATABASE, Id, ListRange, ShownAnswer};
use soundbead::plan::{Content, Plan, PlanItem, PlanWord};
use soundbead_data::Rules;
use soundbead_dsp::judgement::{Speaking, Verdict};

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("session-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

/// A bench at which Juno learns, with goats spoken into its microphone.
fn juno(name: &str) -> Bench {
    let goat = Path::new(env!("CARGO_MANIFEST_DIR")).join("../recordings-demo/01-goat.wav");
    let mic = SpokenFiles::new(vec![goat]).paced(Pace::EachRead(Duration::from_millis(200)));
    let mut bench = Bench::over(&folder(name)).hearing(mic);
    let juno = bench.notebook.ask(|n| n.add_learner("Juno", &Rules::default()));
    let juno = juno.wait().unwrap();
    bench.learner = Some(juno.into());
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
    let all = ListRange { skip: 0, take: 100_000 };
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
    assert_eq!(asked, Some(OpenQuestion::Unkept), "the lesson does not end silently");
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
fn a_word_that_was_heard_first_or_said_again_is_kept_as_said_with_help() {
    let mut bench = juno("cued");
    begin(&mut bench, "goat coat");
    record(&mut bench);
    let first = bench.session.lesson().unwrap().work().latest.as_ref().unwrap().number;
    bench.apply(Intent::Again);
    bench.until(|session| {
        let latest = session
            .lesson()
            .and_then(|l| l.work().latest.as_ref().map(|l| l.number));
        session.free() && latest.is_some_and(|n| n != first)
    });
    while bench.session.lesson().unwrap().at() == 0 {
        bench.apply(Intent::Skip);
    }
    bench.apply(Intent::HearModel(Speaking::Whole));
    record(&mut bench);
    let mut kept = attempts(&bench);
    kept.sort_by_key(|a| (a.word == "coat", a.edits.cued == Some(Cued::Cued)));
    let told: Vec<_> = kept.iter().map(|a| (a.word.as_str(), a.edits.cued)).collect();
    let wanted = [
        ("goat", Some(Cued::Alone)),
        ("goat", Some(Cued::Cued)),
        ("coat", Some(Cued::Cued)),
    ];
    assert_eq!(told, wanted);
}

/// Juno is taught by other rules than the settings': the phonics set, in which the ar of *car* is one sound.
fn by_phonics(name: &str) -> Bench {
    let bench = juno(name);
    let id = bench.learner.as_ref().unwrap().id;
    let phonics = Rules::named("phonics").unwrap();
    let changed = bench.notebook.ask(move |n| n.change_learner(id, "Juno", &phonics));
    // In hand she is as she was: what holds is what the notebook has.
    changed.wait().unwrap();
    bench
}

/// Two counters for *car* are right for Juno, on the string and in the notebook.
fn two_for_car(bench: &mut Bench) {
    let lesson = bench.session.lesson().unwrap();
    assert_eq!((lesson.word().spelling.as_str(), lesson.word().count()), ("car", 2));
    bench.apply(Intent::Beads(2));
    bench.apply(Intent::GoOn);
    assert!(bench.session.lesson().unwrap().work().count.right_at_once());
    bench.until(|_| true);
    let kept = attempts(bench);
    let car = kept.iter().find(|a| a.word == "car").unwrap();
    assert_eq!((car.expected, car.edits.child), (2, Some(2)));
    assert!(car.child_right() && !car.miscounted() && !car.recounted());
    assert_eq!(car.rules, Rules::named("phonics").unwrap());
}

#[test]
fn a_learner_is_counted_by_the_learners_own_rules_not_by_the_settings() {
    let mut bench = by_phonics("own-rules");
    begin(&mut bench, "car far");
    two_for_car(&mut bench);
    assert!(bench.session.news().is_empty());
}

#[test]
fn a_plan_made_by_other_rules_is_counted_by_the_learners_and_that_is_said() {
    let mut bench = by_phonics("plan-rules");
    let chain = PlanItem {
        title: String::new(),
        note: String::new(),
        content: Content::Chain(vec![PlanWord::new("car"), PlanWord::new("far")]),
    };
    let plan = Plan {
        items: vec![chain],
        ..Plan::default()
    };
    bench.apply(Intent::Plan(Box::new(plan)));
    bench.until(|session| session.lesson().is_some());
    let news = bench.session.news();
    assert!(
        matches!(&news[..], [News::Said(line)] if line.contains("Juno's own rules hold")),
        "{news:?}"
    );
    two_for_car(&mut bench);
}

#[test]
fn a_lesson_that_goes_on_another_day_is_counted_by_the_rules_of_that_day() {
    let mut bench = juno("later-rules");
    begin(&mut bench, "goat car");
    bench.apply(Intent::Beads(3));
    bench.apply(Intent::GoOn);
    bench.until(|session| session.unkept().is_none());
    bench.apply(Intent::Pause);
    let id = bench.learner.as_ref().unwrap().id;
    let phonics = Rules::named("phonics").unwrap();
    let changed = bench.notebook.ask(move |n| n.change_learner(id, "Juno", &phonics));
    changed.wait().unwrap();
    bench.until(|session| session.draft().is_some());
    bench.apply(Intent::Resume);
    bench.until(|session| session.lesson().is_some());
    while bench.session.lesson().unwrap().at() == 0 {
        bench.apply(Intent::Skip);
    }
    two_for_car(&mut bench);
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

#[test]
fn first_tries_and_last_are_both_in_the_notebook_and_what_was_shown_is_not_the_childs() {
    let mut bench = juno("tries");
    begin(&mut bench, "goat");
    bench.apply(Intent::Beads(2));
    record(&mut bench);
    bench.apply(Intent::GoOn);
    bench.apply(Intent::Beads(3));
    bench.apply(Intent::GoOn);
    bench.apply(Intent::GoOn);
    for (at, text) in ["g", "o", "t"].into_iter().enumerate() {
        bench.apply(Intent::Write(at, text.into()));
    }
    bench.apply(Intent::GoOn);
    bench.apply(Intent::Write(1, "oe".into()));
    bench.apply(Intent::GoOn);
    for _ in 0..5 {
        bench.until(|_| true);
        attempts(&bench);
    }
    let edits = &attempts(&bench)[0].edits;
    assert_eq!((edits.child, edits.after.child), (Some(2), Some(3)));
    assert_eq!(edits.letters, ["g", "o", "t"]);
    assert_eq!(edits.after.letters, ["g", "oe", "t"]);
    assert_eq!(edits.after.shown, [ShownAnswer::Letters]);
}

/// Until the notebook has all that was done so far.
fn settle(bench: &mut Bench) {
    for _ in 0..5 {
        bench.until(|_| true);
        attempts(bench);
    }
}

#[test]
fn letters_and_beads_that_were_never_given_are_no_first_try() {
    let mut bench = juno("not-given");
    begin(&mut bench, "goat coat");
    // One bead, left behind; then letters, typed and left behind.
    bench.apply(Intent::Beads(1));
    bench.apply(Intent::Skip);
    bench.apply(Intent::Write(0, "gote".into()));
    bench.apply(Intent::Skip);
    settle(&mut bench);
    assert!(attempts(&bench).is_empty(), "nothing was given: {:?}", attempts(&bench));
    // The next word: the count is given, the letters are not.
    bench.apply(Intent::Beads(3));
    bench.apply(Intent::GoOn);
    bench.apply(Intent::GoOn);
    bench.apply(Intent::Skip);
    bench.apply(Intent::Write(0, "k".into()));
    settle(&mut bench);
    let kept = attempts(&bench);
    assert_eq!(kept.len(), 1);
    assert_eq!((kept[0].word.as_str(), kept[0].edits.child), ("coat", Some(3)));
    assert!(kept[0].edits.letters.is_empty(), "{:?}", kept[0].edits.letters);
    // What was typed is still there to go on with; once it is given it is the first try.
    for (at, text) in ["c", "o", "t"].into_iter().enumerate() {
        bench.apply(Intent::Write(at, text.into()));
    }
    bench.apply(Intent::GoOn);
    settle(&mut bench);
    let work = &bench.session.lesson().unwrap().works()[0];
    assert_eq!(work.letters, ["gote"]);
    let edits = attempts(&bench).pop().unwrap().edits;
    assert_eq!(edits.letters, ["c", "o", "t"]);
    assert!(edits.after.letters.is_empty());
}

/// Numbers that look drawn by chance, the same at each run (xorshift with the shifts 13, 7, 17: Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n as u64) as usize
    }
}

/// Any intent but that for the machine's own microphones, which would end the recordings.
fn any(dice: &mut Dice) -> Intent {
    let small = dice.below(14);
    match dice.below(64) {
        0 => Intent::Start(["goat coat", "mud mug rug rag", "stop", "7", ""][small % 5].into()),
        1 => Intent::StartPlan,
        2 => Intent::Resume,
        3 if small == 0 => Intent::DropDraft,
        4..=13 => Intent::Beads(small),
        14 => Intent::Say([Speaking::Whole, Speaking::Stretched][small % 2]),
        15..=18 => Intent::Record,
        19 if small < 3 => Intent::RecordModel,
        20 => [
            Intent::HearModel(Speaking::Whole),
            Intent::HearModel(Speaking::Separate),
            Intent::HearBefore,
        ][small % 3]
            .clone(),
        21 => Intent::Stop,
        22 if small < 5 => Intent::Cancel,
        23 => Intent::Again,
        24 => Intent::Play([1.0, 0.75, 0.5][small % 3]),
        25 => match small {
            0..=5 => Intent::Hear(small, small + small % 2),
            6..=8 => Intent::CloseUp((small < 8).then_some(small - 6)),
            9 => Intent::HearClose(CloseUpVoice::Own),
            10 => Intent::HearClose(CloseUpVoice::Other),
            _ => Intent::HearClose(CloseUpVoice::Model),
        },
        26 => Intent::Silence,
        27 => Intent::Rule(Some(Verdict::ALL[small % 5])),
        28 => Intent::Rule(None),
        29..=32 => Intent::Point(small % 5, small.is_multiple_of(2)),
        33..=40 => Intent::Write(small % 6, ["g", "oa", "t", "c", "m", ""][small % 6].into()),
        41 => Intent::Show,
        42..=50 => Intent::GoOn,
        51 => Intent::Skip,
        52..=54 => Intent::Undo,
        55 => Intent::GrownUp(small.is_multiple_of(2)),
        56 => Intent::Ask(
            [
                None,
                Some(OpenQuestion::File),
                Some(OpenQuestion::Device),
                Some(OpenQuestion::Leave),
            ][small % 4],
        ),
        57 => Intent::BringIn("no such file".into()),
        58 => Intent::SpeakFrom("no such file".into()),
        59 => Intent::Device(None),
        60 => Intent::SaveAgain,
        61 if small < 2 => Intent::Away,
        62 if small < 2 => Intent::End,
        63 if small < 2 => [Intent::Pause, Intent::EndAnyway][small].clone(),
        _ => Intent::GoOn,
    }
}

/// The recordings that the lesson shows as kept.
fn shown(bench: &Bench) -> HashSet<Id> {
    let works = bench.session.lesson().map_or(&[][..], |l| l.works());
    let latest = works.iter().filter_map(|w| w.latest.as_ref());
    latest
        .filter_map(|l| match l.kept {
            TryKept::As(id) => Some(id),
            TryKept::Nowhere | TryKept::Failed(_) => None,
        })
        .collect()
}

/// Nothing panics, every recording that was shown and not undone is in the notebook, and none that was undone.
#[test]
fn a_monkey_of_20_000_intents_loses_no_recording() {
    let mut bench = juno("monkey");
    let mut dice = Dice(0x5eed_b3ad);
    let (mut kept, mut undone) = (HashSet::new(), HashSet::new());
    for _ in 0..20_000 {
        let intent = any(&mut dice);
        let before = shown(&bench);
        let undoes = intent == Intent::Undo;
        let starts = matches!(intent, Intent::Start(_)) && dice.below(2) == 0;
        bench.apply(intent);
        // On a slow machine the words would be read while thousands of intents go by, and nothing would be recorded.
        for _ in 0..if starts { 100 } else { 0 } {
            if bench.session.lesson().is_some() || bench.session.words_fault().is_some() {
                break;
            }
            std::thread::sleep(Duration::from_millis(10));
            bench.poll();
        }
        if undoes {
            undone.extend(before.difference(&shown(&bench)).copied());
        }
        bench.poll();
        if !bench.session.free() && dice.below(8) == 0 {
            bench.until(|session| session.free());
        }
        kept.extend(shown(&bench));
    }
    bench.apply(Intent::EndAnyway);
    bench.until(|session| session.lesson().is_none() && session.unkept().is_none());
    let there: HashSet<Id> = attempts(&bench).iter().map(|a| a.id).collect();
    let still: HashSet<Id> = kept.difference(&undone).copied().collect();
    assert!(
        still.is_subset(&there),
        "{} of {} are lost",
        still.difference(&there).count(),
        still.len()
    );
    assert!(undone.is_disjoint(&there), "what was undone is there");
    assert!(still.len() > 10, "{} recordings say little", still.len());
}

#[test]
fn a_word_that_looks_like_a_slip_is_asked_about_once_and_then_taken_as_it_stands() {
    let mut bench = juno("slip");
    let typed = "badge brige";
    bench.apply(Intent::Start(typed.into()));
    bench.until(|session| session.words_fault().is_some());
    let asked = bench.session.words_fault().unwrap_or_default().to_owned();
    assert!(
        asked.starts_with("brige is not in the dictionary; did you mean bridge?"),
        "{asked}"
    );
    bench.apply(Intent::Start(typed.into()));
    bench.until(|session| session.lesson().is_some());
    let words = bench.session.lesson().map_or(&[][..], |lesson| lesson.words());
    let words: Vec<&str> = words.iter().map(|word| word.spelling.as_str()).collect();
    assert_eq!(words, ["badge", "brige"]);
}
