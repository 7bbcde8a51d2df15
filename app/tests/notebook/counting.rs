//! What a child's count is held against: the sounds that were said, by the learner's own rules as they are now.

use crate::common::scratch;
use soundbead::notebook::progress::{DaySpan, TrendPeriod};
use soundbead::notebook::{
    Attempt, Author, Filter, Id, ListRange, NewAttempt, NewNote, NewSession, NoteBody, NoteSubject, Notebook, Ruling,
};
use soundbead::report::collect::collect;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::{Judgement, Verdict};

const ALL: ListRange = ListRange { skip: 0, take: 1000 };
const CAR: [Sound; 3] = [Sound::K, Sound::AA, Sound::R];
const SPOON: [Sound; 4] = [Sound::S, Sound::P, Sound::UW, Sound::N];

fn begun(name: &str) -> (Notebook, Id, Id) {
    let mut notebook = Notebook::open_in(&scratch("counting").join(name)).unwrap();
    let learner = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
    (notebook, learner, session)
}

/// A judgement on "spoon", in its written form.
fn judged(verdict: &str, heard: u16) -> Judgement {
    let text = format!(
        r#"{{"format":1,"speaking":"whole","expected":4,"expected_sounds":["S","P","UW","N"],"heard":{heard},
        "count_probabilities":[[{heard},1.0]],"verdict":"{verdict}","fit":null,"sounds":[],"quality":{{"level_dbfs":-20.0,
        "snr_db":30.0,"clipped":false,"speech_s":0.5,"warnings":[]}},"said":null}}"#
    );
    serde_json::from_str(&text).unwrap()
}

fn spoon(notebook: &mut Notebook, session: Id, judgement: &Judgement, child: u16) -> Attempt {
    let new = NewAttempt {
        word: "spoon",
        sounds: &SPOON,
        child: Some(child),
        judgement: Some(judgement),
        model: "ear",
        ..NewAttempt::default()
    };
    notebook.record(session, &new).unwrap()
}

fn miscounted(notebook: &Notebook, learner: Id) -> Vec<Attempt> {
    let filter = Filter {
        miscounted: true,
        ..Filter::default()
    };
    let found = notebook.attempts(learner, &filter, ALL).unwrap();
    assert_eq!(notebook.count_attempts(learner, &filter).unwrap(), found.len() as u64);
    found
}

#[test]
fn changed_rules_count_what_is_shown_anew_and_the_record_stays() {
    let (mut notebook, learner, session) = begun("rules");
    let car = NewAttempt {
        word: "car",
        sounds: &CAR,
        child: Some(2),
        ..NewAttempt::default()
    };
    let made = notebook.record(session, &car).unwrap();
    assert!(!made.child_right() && made.miscounted() && !made.recounted());
    assert_eq!(miscounted(&notebook, learner).len(), 1);
    notebook
        .change_learner(learner, "Juno", &Rules::named("phonics").unwrap())
        .unwrap();
    let now = notebook.attempt(made.id).unwrap().unwrap();
    assert_eq!((now.expected, now.expected_now), (3, 2), "an r-vowel is one sound now");
    assert!(now.child_right() && now.recounted() && now.rules == Rules::default());
    assert_eq!(miscounted(&notebook, learner), []);
    let progress = notebook.progress(learner, DaySpan::default()).unwrap();
    assert_eq!((progress.sums.child.right, progress.sums.child.total()), (1, 1));
    assert_eq!(progress.by_other_rules(&Rules::named("phonics").unwrap()), 1);
    let trend = notebook.trend(learner, DaySpan::default(), TrendPeriod::Day).unwrap();
    assert_eq!((trend[0].child.right, trend[0].child.total()), (1, 1));
    // Said after the change, by the new rules.
    let again = NewAttempt {
        rules: Rules::named("phonics").unwrap(),
        child: Some(3),
        ..car
    };
    notebook.record(session, &again).unwrap();
    assert_eq!(miscounted(&notebook, learner).len(), 1);
    notebook.change_learner(learner, "Juno", &Rules::default()).unwrap();
    let all = notebook.attempts(learner, &Filter::default(), ALL).unwrap();
    assert!(all.iter().all(|a| a.expected_now == 3), "and back");
}

#[test]
fn counting_is_held_against_what_was_said_and_saying_against_the_word() {
    let (mut notebook, learner, session) = begun("said");
    // "poon", counted three: counted right, said with a sound fewer.
    let poon = spoon(&mut notebook, session, &judged("fewer", 3), 3);
    assert!(poon.child_right() && poon.said() == Some(3));
    // "poon", counted four: the word was counted, not what was said.
    let letters = spoon(&mut notebook, session, &judged("fewer", 3), 4);
    assert!(letters.miscounted());
    // An unsure ear settles nothing, so the word's own number stands.
    let unsure = spoon(&mut notebook, session, &judged("unsure", 3), 4);
    assert!(unsure.child_right());
    let ids: Vec<Id> = miscounted(&notebook, learner).iter().map(|a| a.id).collect();
    assert_eq!(ids, [letters.id]);
    let sums = notebook.progress(learner, DaySpan::default()).unwrap().sums;
    assert_eq!((sums.child.right, sums.child.more, sums.child.total()), (2, 1, 3));
    assert_eq!((sums.saying.hits, sums.saying.of), (0, 2));
    // A person's ear goes before the program's.
    let ruled = notebook
        .rule(letters.id, Ruling::new(Verdict::Same, Author::Parent))
        .unwrap();
    assert!(ruled.child_right());
    let sums = notebook.progress(learner, DaySpan::default()).unwrap().sums;
    assert_eq!((sums.child.right, sums.saying.hits, sums.saying.of), (3, 1, 2));
    let trend = notebook.trend(learner, DaySpan::default(), TrendPeriod::Day).unwrap();
    assert_eq!((trend[0].child.right, trend[0].child.total()), (3, 3));
}

#[test]
fn two_people_rule_in_two_notebooks_and_both_stand_in_both() {
    let (mut parent, learner, session) = begun("parent");
    let id = spoon(&mut parent, session, &judged("unsure", 3), 4).id;
    let mut consultant = Notebook::open_in(&scratch("counting").join("consultant")).unwrap();
    let archive = scratch("counting").join("juno.soundbead");
    let send = |from: &mut Notebook, to: &mut Notebook| {
        from.hand_over(learner, &Default::default(), &archive, &|_| true)
            .unwrap();
        to.take_in(&archive, None, &|_| true).unwrap()
    };
    send(&mut parent, &mut consultant);
    parent.rule(id, Ruling::new(Verdict::Same, Author::Parent)).unwrap();
    consultant
        .rule(id, Ruling::new(Verdict::Fewer, Author::Consultant))
        .unwrap();
    send(&mut consultant, &mut parent);
    send(&mut parent, &mut consultant);
    for notebook in [&parent, &consultant] {
        let edits = notebook.attempt(id).unwrap().unwrap().edits;
        let given: Vec<_> = edits.rulings.iter().map(|r| (r.by, r.verdict)).collect();
        assert_eq!(
            given,
            [(Author::Parent, Verdict::Same), (Author::Consultant, Verdict::Fewer)]
        );
        assert_eq!(
            edits.ruled(),
            Some(Verdict::Unsure),
            "they differ, so nothing is settled"
        );
        let lines = collect(notebook, learner, None, None).unwrap().ruled_apart;
        let told = "parent: own sounds; consultant: a sound fewer";
        assert!(lines.len() == 1 && lines[0].contains(told), "{lines:?}");
    }
    consultant.take_back_ruling(id, Author::Consultant).unwrap();
    send(&mut parent, &mut consultant);
    send(&mut consultant, &mut parent);
    for notebook in [&parent, &consultant] {
        let edits = notebook.attempt(id).unwrap().unwrap().edits;
        assert_eq!(
            (edits.rulings.len(), edits.ruled()),
            (1, Some(Verdict::Same)),
            "taken back, and it stays so"
        );
    }
    assert!(send(&mut consultant, &mut parent).nothing_new());
}

#[test]
fn a_report_keeps_notes_of_days_without_a_lesson() {
    let (mut notebook, learner, _) = begun("notes");
    let (then, day) = (
        soundbead::notebook::Moment(1_795_200_000_000),
        jiff::civil::date(2026, 11, 20),
    );
    let old = NewSession {
        plan: String::new(),
        began: Some((then, day)),
    };
    let session = notebook.begin_session(learner, &old).unwrap().id;
    let new = NewAttempt {
        word: "car",
        sounds: &CAR,
        child: Some(3),
        at: Some((then, day)),
        ..NewAttempt::default()
    };
    notebook.record(session, &new).unwrap();
    let note = NewNote {
        on: NoteSubject::Learner,
        author: Author::Consultant,
        body: NoteBody {
            text: "We spoke on the telephone.".into(),
            ..NoteBody::default()
        },
    };
    let written = notebook.add_note(learner, &note).unwrap().day;
    let whole = collect(&notebook, learner, None, None).unwrap();
    assert_eq!((whole.notes.len(), whole.from, whole.to), (1, day, written));
    let asked = collect(&notebook, learner, Some(written), Some(written)).unwrap();
    assert_eq!(
        (asked.notes.len(), asked.attempts, asked.from, asked.to),
        (1, 0, written, written)
    );
    let before = collect(&notebook, learner, None, Some(day)).unwrap();
    assert_eq!((before.notes.len(), before.attempts, before.to), (0, 1, day));
}
