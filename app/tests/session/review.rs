//! The consultant's review without a window: what is kept, what is said when it could not be, and a monkey at the keys.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use jiff::civil::{Date, date};
use rusqlite::Connection;
use soundbead::notebook::{
    Attempt, Author, DATABASE, Filter, Id, ListRange, Moment, NewAttempt, NewNote, NewSession, NoteBody, NoteSubject,
    Notebook,
};
use soundbead::review::ReviewBench;
use soundbead::review::compare::ComparedTime;
use soundbead::review::list::ListRow;
use soundbead::review::note::{NoteEdit, SubjectPick};
use soundbead::review::session::ReviewIntent;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::{Clip, RATE};
use soundbead_dsp::judgement::{Judgement, Verdict};

const SPOON: [Sound; 4] = [Sound::S, Sound::P, Sound::UW, Sound::N];
const ALL: ListRange = ListRange { skip: 0, take: 1_000 };

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("review-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

/// A judgement on "spoon", in its written form.
fn judged(verdict: Verdict) -> Judgement {
    let text = format!(
        r#"{{"format":1,"speaking":"whole","expected":4,"expected_sounds":["S","P","UW","N"],"heard":4,
        "count_probabilities":[[4,1.0]],"verdict":"{}","fit":null,"sounds":[],"quality":{{"level_dbfs":-20.0,
        "snr_db":30.0,"clipped":false,"speech_s":0.05,"warnings":[]}},"said":null}}"#,
        verdict.name()
    );
    serde_json::from_str(&text).unwrap()
}

/// A short tone: 50 ms, so that many can be fetched.
fn tone(hertz: f32) -> Clip {
    let turn = |i: usize| i as f32 * hertz / RATE as f32 * std::f32::consts::TAU;
    Clip {
        samples: (0..RATE as usize / 20).map(|i| 0.3 * turn(i).sin()).collect(),
    }
}

fn at(day: Date, minute: i64) -> Moment {
    let noon = day.at(12, 0, 0, 0).in_tz("UTC").unwrap();
    Moment(noon.timestamp().as_millisecond() + minute * 60_000)
}

/// A lesson of so many spoons on a day of November 2026, from a minute on.
fn lesson(notebook: &mut Notebook, learner: Id, day: i8, minute: i64, plan: &str, spoons: i64) {
    let day = date(2026, 11, day);
    let new = NewSession {
        plan: plan.into(),
        began: Some((at(day, minute), day)),
    };
    let session = notebook.begin_session(learner, &new).unwrap().id;
    for n in 0..spoons {
        let clip = tone(200.0 + 100.0 * (n % 3) as f32);
        let judgement = judged(Verdict::ALL[n as usize % 5]);
        let spoken = n % 4 != 3;
        let new = NewAttempt {
            word: if n % 2 == 0 { "spoon" } else { "spoons" },
            sounds: &SPOON,
            child: Some(3 + (n % 2) as u16),
            judgement: Some(&judgement).filter(|_| spoken),
            clip: Some(&clip).filter(|_| spoken),
            model: "ear",
            at: Some((at(day, minute + n), day)),
            ..NewAttempt::default()
        };
        notebook.record(session, &new).unwrap();
    }
}

/// Juno and Alby with five lessons each on four days, two of them on one day; Juno is in hand.
fn bench(name: &str) -> ReviewBench {
    let folder = folder(name);
    let mut notebook = Notebook::open_in(&folder).unwrap();
    for name in ["Alby", "Juno"] {
        let learner = notebook.add_learner(name, &Rules::default()).unwrap().id;
        lesson(&mut notebook, learner, 3, 0, "ends", 6);
        lesson(&mut notebook, learner, 10, 0, "", 5);
        lesson(&mut notebook, learner, 17, 0, "morning", 4);
        lesson(&mut notebook, learner, 17, 60, "evening", 6);
        lesson(&mut notebook, learner, 24, 0, "clusters", 9);
    }
    drop(notebook);
    let mut bench = ReviewBench::over(&folder);
    take(&mut bench, "Juno");
    bench
}

fn take(bench: &mut ReviewBench, name: &'static str) {
    let found = bench.notebook.ask(move |n| {
        let all = n.learners()?;
        Ok(all.into_iter().find(|l| l.name == name))
    });
    bench.learner = found.wait().unwrap().map(Into::into);
    bench.poll();
    bench.until(|session| session.in_hand().is_some());
}

fn attempts(bench: &ReviewBench, learner: Id) -> Vec<Attempt> {
    let found = bench
        .notebook
        .ask(move |n| n.attempts(learner, &Filter::default(), ALL));
    found.wait().unwrap()
}

fn learner(bench: &ReviewBench) -> Id {
    bench.learner.as_ref().unwrap().id
}

#[test]
fn each_lesson_has_its_heading_and_days_and_names_lead_to_attempts() {
    let mut bench = bench("headings");
    let list = bench.session.list();
    let told: Vec<(i8, String, u64)> = list
        .runs()
        .iter()
        .map(|run| (run.day.day(), run.plans.join("; "), run.attempts))
        .collect();
    let wanted = [
        (24, "clusters", 9),
        (17, "evening", 6),
        (17, "morning", 4),
        (10, "", 5),
        (3, "ends", 6),
    ];
    assert_eq!(told, wanted.map(|(day, plan, n)| (day, plan.to_owned(), n)));
    // Every attempt stands under the day and lesson in which it was made.
    let mut day = None;
    for row in 0..list.shown() {
        match list.row(row).unwrap() {
            ListRow::Heading(run) => day = Some(run.day),
            ListRow::Attempt(_, attempt) => assert_eq!(attempt.map(|a| a.day), day),
        }
    }
    bench.apply(ReviewIntent::Day(date(2026, 11, 20)));
    assert_eq!(bench.session.list().in_hand().unwrap().day, date(2026, 11, 17));
    bench.apply(ReviewIntent::StepLesson(1));
    bench.apply(ReviewIntent::StepLesson(1));
    assert_eq!(bench.session.list().in_hand().unwrap().day, date(2026, 11, 10));
    let wanted = attempts(&bench, learner(&bench))[27].id;
    bench.apply(ReviewIntent::Filter(Box::new(Filter {
        unruled: true,
        word: Some("spoon".into()),
        ..Filter::default()
    })));
    bench.poll();
    bench.apply(ReviewIntent::Open(wanted));
    bench.until(|session| session.in_hand() == Some(wanted));
    assert_eq!(bench.session.list().at(), 27);
}

/// What is looked for changes no note, so the notes of years are not read again for it.
#[test]
fn notes_are_asked_for_once_and_when_they_may_have_changed_not_with_each_filter() {
    let mut bench = bench("noted");
    let (juno, id) = (learner(&bench), attempts(&bench, learner(&bench))[0].id);
    // Written from elsewhere, so that only a question to the notebook finds it.
    let note = NewNote {
        on: NoteSubject::Attempt(id),
        author: Author::Parent,
        body: NoteBody {
            text: "Lips at rest.".into(),
            ..NoteBody::default()
        },
    };
    bench.notebook.ask(move |n| n.add_note(juno, &note)).wait().unwrap();
    for word in ["spoon", "spoons", "spoon"] {
        bench.apply(ReviewIntent::Filter(Box::new(Filter {
            word: Some(word.into()),
            ..Filter::default()
        })));
        bench.until(|session| session.in_hand().is_some() && session.list().in_hand().is_some_and(|a| a.word == word));
    }
    // The notebook answers in order: whatever was asked before this is answered.
    bench.notebook.ask(|n| n.learners()).wait().unwrap();
    bench.poll();
    assert_eq!(bench.session.list().noted(id), None);
    bench.session.stale();
    bench.until(|session| session.list().noted(id).is_some());
}

/// Two lessons of one day whose attempts lie between each other cannot each have a heading; they have one together.
#[test]
fn lessons_that_lie_between_each_other_have_one_heading() {
    let folder = folder("mixed");
    let mut notebook = Notebook::open_in(&folder).unwrap();
    let juno = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    lesson(&mut notebook, juno, 3, 0, "one", 6);
    lesson(&mut notebook, juno, 3, 3, "two", 6);
    lesson(&mut notebook, juno, 3, 90, "late", 2);
    let runs = notebook.attempt_runs(juno, &Filter::default()).unwrap();
    let told: Vec<_> = runs.iter().map(|r| (r.plans.join(" "), r.attempts)).collect();
    assert_eq!(told, [("late".to_owned(), 2), ("two one".to_owned(), 12)]);
}

#[test]
fn a_ruling_that_could_not_be_written_is_shown_said_and_written_later() {
    let mut bench = bench("held");
    let id = bench.session.in_hand().unwrap();
    let held = Connection::open(bench.folder.join(DATABASE)).unwrap();
    held.execute_batch("BEGIN IMMEDIATE").unwrap();
    bench.author = Author::Consultant;
    bench.apply(ReviewIntent::Rule(Some(Verdict::Fewer)));
    let shown = |bench: &ReviewBench| {
        bench
            .session
            .list()
            .in_hand()
            .unwrap()
            .edits
            .ruling_by(Author::Consultant)
            .cloned()
    };
    assert_eq!(shown(&bench).unwrap().verdict, Verdict::Fewer);
    bench.until(|session| session.unkept().is_some());
    // It stays in sight, also when the list is asked for anew, and whoever is looked at next.
    bench.session.stale();
    bench.poll();
    take(&mut bench, "Alby");
    assert!(bench.session.unkept().is_some());
    drop(held);
    bench.apply(ReviewIntent::SaveAgain);
    bench.until(|session| session.settled());
    take(&mut bench, "Juno");
    let kept = attempts(&bench, learner(&bench));
    let ruling = kept
        .iter()
        .find(|a| a.id == id)
        .unwrap()
        .edits
        .ruling_by(Author::Consultant);
    assert_eq!(ruling.map(|r| r.verdict), Some(Verdict::Fewer));
}

#[test]
fn a_note_that_could_not_be_written_is_still_there_and_can_be_kept_again() {
    let mut bench = bench("held-note");
    let id = bench.session.in_hand().unwrap();
    bench.apply(ReviewIntent::Note);
    bench.apply(ReviewIntent::Edit(NoteEdit::Text("Lips at rest.".into())));
    bench.until(|session| session.settled());
    let held = Connection::open(bench.folder.join(DATABASE)).unwrap();
    held.execute_batch("BEGIN IMMEDIATE").unwrap();
    bench.apply(ReviewIntent::Edit(NoteEdit::Keep));
    bench.until(|session| session.note().is_some_and(|n| n.fault().is_some()));
    drop(held);
    bench.apply(ReviewIntent::Edit(NoteEdit::Keep));
    bench.until(|session| session.note().is_none() && session.settled());
    let learner = learner(&bench);
    let there = bench.notebook.ask(move |n| {
        Ok((
            n.notes_on(learner, &NoteSubject::Attempt(id))?,
            n.draft(Some(learner), &format!("note {id}"))?,
        ))
    });
    let (notes, draft) = there.wait().unwrap();
    assert_eq!(
        notes.iter().map(|n| n.body.text.as_str()).collect::<Vec<_>>(),
        ["Lips at rest."]
    );
    assert_eq!(draft, None);
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

/// Any intent. What is typed names the attempt at which it is typed.
fn any(dice: &mut Dice, bench: &ReviewBench) -> ReviewIntent {
    let small = dice.below(14);
    let target = bench.session.note().and_then(|n| n.target().attempt);
    let filter = || {
        Box::new(match small {
            0 => Filter {
                word: Some("spoon".into()),
                ..Filter::default()
            },
            1 => Filter {
                unruled: true,
                ..Filter::default()
            },
            2 => Filter {
                miscounted: true,
                verdict: Some(Verdict::Unsure),
                ..Filter::default()
            },
            3 => Filter {
                word: Some("nobody".into()),
                ..Filter::default()
            },
            _ => Filter::default(),
        })
    };
    match dice.below(64) {
        0..=13 => ReviewIntent::Step(small as i64 - 6),
        14..=16 => ReviewIntent::StepLesson(small as i64 - 6),
        17..=19 => ReviewIntent::Pick(3 * small as u64),
        20 => ReviewIntent::Day(date(2026, 11, 1 + 2 * small as i8)),
        21 => match bench.session.list().attempt(small as u64) {
            Some(attempt) => ReviewIntent::Open(attempt.id),
            None => ReviewIntent::Step(1),
        },
        22 | 23 => ReviewIntent::Filter(filter()),
        24 => ReviewIntent::InSight(small as u64..2 * small as u64),
        25..=27 => ReviewIntent::Play([1.0, 0.5][small % 2]),
        28 => ReviewIntent::PlayPart(small as f32 * 0.01, 0.05),
        29 => ReviewIntent::PlayAtOnce(small.is_multiple_of(2)),
        30..=36 => ReviewIntent::Rule(Some(Verdict::ALL[small % 5])),
        37 => ReviewIntent::Rule(None),
        38 => ReviewIntent::Tell(small % 5, [None, Some(Sound::T), Some(Sound::IY)][small % 3]),
        39 => ReviewIntent::KeepTold,
        40..=43 => ReviewIntent::Undo,
        44..=48 => ReviewIntent::Note,
        49..=53 => match target {
            Some(id) => ReviewIntent::Edit(NoteEdit::Text(format!("{id} {small}"))),
            None => ReviewIntent::Note,
        },
        54 => ReviewIntent::Edit(NoteEdit::On([SubjectPick::Attempt, SubjectPick::Learner][small % 2])),
        55 => ReviewIntent::Edit(NoteEdit::Sound(Sound::S)),
        56 => ReviewIntent::Edit(NoteEdit::Word("moth".into())),
        57 | 58 => ReviewIntent::Edit(NoteEdit::Keep),
        59 if small < 4 => ReviewIntent::Edit(NoteEdit::Drop),
        60 => ReviewIntent::Compare,
        61 => [
            ReviewIntent::CompareStep(ComparedTime::Then, small as i64 - 6),
            ReviewIntent::ComparePlay(ComparedTime::Later),
            ReviewIntent::ComparePart(ComparedTime::Then, 0.0, 0.02),
        ][small % 3]
            .clone(),
        62 => ReviewIntent::Author([Author::Parent, Author::Consultant][small % 2]),
        63 => [ReviewIntent::SaveAgain, ReviewIntent::Away][small % 2].clone(),
        _ => ReviewIntent::Step(1),
    }
}

/// What each person's ruling on each attempt should be, by what was shown when it was given.
#[derive(Default)]
struct Expected {
    now: HashMap<(Id, Author), Option<Verdict>>,
    before: Vec<(Id, Author, Option<Verdict>)>,
}

impl Expected {
    fn give(&mut self, id: Id, by: Author, verdict: Option<Verdict>) {
        let before = self.now.get(&(id, by)).copied().flatten();
        if verdict.is_some() || before.is_some() {
            self.before.push((id, by, before));
            self.now.insert((id, by), verdict);
        }
    }

    fn undo(&mut self) {
        if let Some((id, by, verdict)) = self.before.pop() {
            self.now.insert((id, by), verdict);
        }
    }
}

/// What sounds that are told come to, where the word has these.
fn told(bench: &ReviewBench) -> Option<Verdict> {
    let said: Vec<Sound> = bench.session.told().chosen().iter().flatten().copied().collect();
    match said.len() {
        0 => None,
        n if n < SPOON.len() => Some(Verdict::Fewer),
        _ if said == SPOON => Some(Verdict::Same),
        _ => Some(Verdict::Changed),
    }
}

/// Nothing panics; every ruling is in the notebook at the attempt that was shown, given by who sat there, and undone where it was
/// undone; and every note and every half-written note is at the attempt at which it was typed.
#[test]
fn a_monkey_of_20_000_intents_loses_no_ruling_and_no_note() {
    let mut bench = bench("monkey");
    let mut dice = Dice(0x5eed_de54);
    let mut expected = Expected::default();
    let names = ["Juno", "Alby"];
    for turn in 0..20_000 {
        if turn % 1_000 == 999 {
            // Another learner is taken in hand: what could be undone is left as it is.
            bench.learner = None;
            bench.poll();
            take(&mut bench, names[turn / 1_000 % 2]);
            expected.before.clear();
        }
        let intent = any(&mut dice, &bench);
        let (shown, by) = (bench.session.in_hand(), bench.author);
        match (&intent, shown) {
            (ReviewIntent::Rule(verdict), Some(id)) => expected.give(id, by, *verdict),
            (ReviewIntent::KeepTold, Some(id)) => {
                if let Some(verdict) = told(&bench) {
                    expected.give(id, by, Some(verdict));
                }
            }
            (ReviewIntent::Undo, _) => expected.undo(),
            _ => {}
        }
        bench.apply(intent);
        bench.poll();
        let (note, shown) = (bench.session.note(), bench.session.in_hand());
        if let (Some(note), Some(shown)) = (note, shown) {
            assert_eq!(note.target().attempt, Some(shown), "a note is written at what is shown");
        }
        if dice.below(4) == 0 && !bench.session.list().is_empty() {
            bench.until(|session| session.in_hand().is_some() || session.list().is_empty());
        }
    }
    bench.until(|session| session.settled());
    let everyone = bench.notebook.ask(|n| n.learners()).wait().unwrap();
    let (mut rulings, mut texts) = (0, 0);
    for learner in everyone.iter().map(|l| l.id) {
        for attempt in attempts(&bench, learner) {
            for by in Author::ALL {
                let kept = attempt.edits.ruling_by(*by).map(|r| r.verdict);
                let wanted = expected.now.get(&(attempt.id, *by)).copied().flatten();
                assert_eq!(kept, wanted, "{} by the {by}", attempt.id);
                rulings += usize::from(kept.is_some());
            }
            texts += texts_at(&bench, learner, attempt.id);
        }
    }
    assert!(
        rulings > 20 && texts > 20,
        "{rulings} rulings and {texts} texts say little"
    );
}

/// How many notes and half-written notes there are at an attempt; each names it.
fn texts_at(bench: &ReviewBench, learner: Id, id: Id) -> usize {
    let found = bench.notebook.ask(move |n| {
        let notes = n.notes_on(learner, &NoteSubject::Attempt(id))?;
        let draft = n.draft(Some(learner), &format!("note {id}"))?;
        Ok((notes, draft))
    });
    let (notes, draft) = found.wait().unwrap();
    let mut texts: Vec<String> = notes.into_iter().map(|n| n.body.text).collect();
    if let Some((draft, _)) = draft {
        let draft: serde_json::Value = serde_json::from_str(&draft).unwrap();
        let body: NoteBody = serde_json::from_value(draft["body"].clone()).unwrap();
        texts.push(body.text);
    }
    for text in &texts {
        assert!(text.starts_with(&id.to_string()), "`{text}` is at {id}");
    }
    texts.len()
}
