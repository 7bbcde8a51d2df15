//! The consultant's desk: every learner at a glance.

use crate::common::{demo, scratch};
use jiff::civil::{Date, date};
use soundbead::ask::course::CourseAnswer;
use soundbead::ask::desk::desk;
use soundbead::notebook::progress::DaySpan;
use soundbead::notebook::{
    Author, Filter, GoalBody, GoalSubject, Help, Id, ListRange, Moment, NewAttempt, NewFrom, NewNote, NewSession,
    NewWriting, NoteBody, NoteSubject, Notebook, Ruling, WritingSource, course_day,
};
use soundbead_data::{Rules, Sound, lexicon};
use soundbead_dsp::audio::decode;
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Speaking, Target, Verdict};

fn moment(day: Date) -> Moment {
    Moment(day.in_tz("UTC").unwrap().timestamp().as_millisecond())
}

/// A lesson in which these words are read from a made recording; gives the attempts and the program's verdicts.
fn lesson(notebook: &mut Notebook, learner: Id, day: Date, words: &[&str]) -> Vec<(Id, Option<Verdict>)> {
    let began = Some((moment(day), day));
    let session = notebook
        .begin_session(
            learner,
            &NewSession {
                plan: "Digraphs".into(),
                began,
            },
        )
        .unwrap()
        .id;
    let (mut ear, recording) = (Ear::new().unwrap(), decode(&demo("23-ring.wav")).unwrap());
    let mut kept = Vec::new();
    for word in words {
        let sounds = lexicon::look_up(word)
            .unwrap()
            .variants()
            .next()
            .unwrap()
            .sounds()
            .to_vec();
        let target = Target {
            variants: vec![sounds.clone()],
            letters: vec![],
        };
        let judgement = ear
            .judge(&recording, Some(&target), Speaking::Whole, &Rules::default())
            .unwrap();
        let new = NewAttempt {
            word,
            sounds: &sounds,
            child: Some(3),
            judgement: Some(&judgement),
            clip: Some(&recording.clip),
            at: Some((moment(day), day)),
            ..NewAttempt::default()
        };
        let attempt = notebook.record(session, &new).unwrap();
        kept.push((attempt.id, attempt.verdict));
    }
    kept
}

#[test]
fn the_desk_tells_what_is_new_and_what_to_hear_first() {
    let mut notebook = Notebook::open_in(&scratch("families").join("desk")).unwrap();
    let juno = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let alby = notebook.add_learner("Alby", &Rules::default()).unwrap().id;
    lesson(&mut notebook, alby, date(2026, 9, 1), &["ring"]);
    lesson(&mut notebook, juno, date(2026, 10, 1), &["ring"]);
    let new = lesson(
        &mut notebook,
        juno,
        date(2026, 11, 2),
        &["ring", "wing", "king", "sing"],
    );
    // Two people hear one recording differently; a third is ruled on by one person.
    for (by, verdict) in [(Author::Parent, Verdict::Same), (Author::Consultant, Verdict::Fewer)] {
        notebook.rule(new[3].0, Ruling::new(verdict, by)).unwrap();
    }
    let text = NoteBody {
        text: "Tongue back.".into(),
        ..NoteBody::default()
    };
    let note = NewNote {
        on: NoteSubject::Learner,
        author: Author::Parent,
        body: text,
    };
    notebook.add_note(juno, &note).unwrap();
    let goal = GoalBody {
        by: Some(date(2026, 11, 1)),
        ..GoalBody::about(GoalSubject::Sound(Sound::NG))
    };
    notebook.set_goal(juno, Author::Consultant, &goal).unwrap();
    let all = notebook
        .families(NewFrom::Day(date(2026, 11, 1)), date(2026, 11, 3))
        .unwrap();
    let of = |id: Id| all.iter().find(|e| e.learner.id == id).unwrap();
    // Two people who differ are a disagreement in the list as well, and one of them differs from the program.
    let disagreed = Filter {
        disagreed: true,
        ..Filter::default()
    };
    let every = ListRange { skip: 0, take: 9 };
    let listed = notebook.attempts(juno, &disagreed, every).unwrap();
    assert_eq!(listed.iter().map(|a| a.id).collect::<Vec<_>>(), [new[3].0]);
    assert!(listed[0].disagreed());
    let sure = new[3].1.is_some_and(|v| v != Verdict::Unsure);
    let sums = notebook.progress(juno, DaySpan::default()).unwrap().sums;
    assert_eq!((sums.ruled, sums.disagreed), (1, u64::from(sure)));
    // Notes are dated by the clock.
    let ever = notebook
        .families(NewFrom::Day(date(2000, 1, 1)), date(2026, 11, 3))
        .unwrap();
    assert_eq!(ever.iter().map(|e| e.notes).sum::<u64>(), 1);
    let (juno, alby) = (of(juno), of(alby));
    assert_eq!((juno.lessons, juno.attempts, juno.apart), (1, 4, 1));
    assert_eq!(
        (juno.unanswered, juno.late.len()),
        (1, 1),
        "a note and a goal that wait"
    );
    assert_eq!(
        juno.last.as_ref().map(|l| (l.day, l.plan.as_str())),
        Some((date(2026, 11, 2), "Digraphs"))
    );
    let judged = new[..3].iter().filter(|(_, v)| v.is_some()).count() as u64;
    let unsure = new[..3].iter().filter(|(_, v)| *v == Some(Verdict::Unsure)).count() as u64;
    assert_eq!((juno.unruled, juno.unsure), (judged, unsure));
    assert_eq!(
        juno.worth.first().map(|a| a.id),
        Some(new[3].0),
        "where two people differ comes first"
    );
    assert!(juno.worth.len() <= 3 && juno.worth.iter().all(|a| a.recording.is_some()));
    // Nothing of Alby is new, but the last lesson is told.
    assert!(alby.is_quiet() && alby.worth.is_empty());
    assert_eq!(alby.last.as_ref().map(|l| l.day), Some(date(2026, 9, 1)));
    assert_eq!(all[0].learner.name, "Juno", "who has most to hear comes first");
}

/// A consultant looks, then takes old recordings in: they are new to her, whatever their day.
#[test]
fn what_comes_in_after_the_desk_was_cleared_is_new_whatever_its_day_and_clearing_can_be_undone() {
    let folder = scratch("families").join("clear");
    let mut notebook = Notebook::open_in(&folder).unwrap();
    let juno = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    assert_eq!(notebook.last_visit().unwrap(), None);
    assert!(!notebook.unclear_desk().unwrap(), "there is nothing to take back");
    lesson(&mut notebook, juno, date(2026, 11, 2), &["ring", "king"]);
    let today = date(2026, 11, 3);
    let new = |n: &Notebook| {
        let answer = desk(n, None, today).unwrap();
        (answer.entries[0].lessons, answer.entries[0].attempts)
    };
    assert_eq!(new(&notebook), (1, 2), "of the last four weeks");
    let seen = desk(&notebook, None, today).unwrap().seen;
    notebook.clear_desk(seen).unwrap();
    drop(notebook);
    let mut notebook = Notebook::open_in(&folder).unwrap();
    assert!(notebook.last_visit().unwrap().is_some());
    assert_eq!(new(&notebook), (0, 0), "seen is seen, on the same day too");
    lesson(&mut notebook, juno, date(2026, 9, 1), &["sing"]);
    assert_eq!(new(&notebook), (1, 1));
    // What wants a ruling stays, old or new, and each number is that of the list which it opens.
    let answer = desk(&notebook, None, today).unwrap();
    let entry = answer.entries[0].clone();
    assert_eq!(entry.unruled, 3);
    let listed = |filter: Filter| {
        let open = Some(answer.open);
        notebook.count_attempts(juno, &Filter { open, ..filter }).unwrap()
    };
    let unruled = || Filter {
        unruled: true,
        judged: true,
        ..Filter::default()
    };
    assert_eq!(listed(unruled()), entry.unruled);
    let unsure = Filter {
        verdict: Some(Verdict::Unsure),
        ..unruled()
    };
    assert_eq!(listed(unsure), entry.unsure);
    let weeks_later = desk(&notebook, None, date(2027, 1, 20)).unwrap();
    assert_eq!(weeks_later.entries[0].unruled, 1, "what is new stays however old");
    assert_eq!(
        entry.last.map(|l| l.day),
        Some(date(2026, 11, 2)),
        "the last lesson stays the last"
    );
    // Two clearings: the second is taken back, the first holds again.
    let seen = notebook.desk_seen().unwrap();
    notebook.clear_desk(seen).unwrap();
    assert_eq!(new(&notebook), (0, 0));
    assert!(notebook.unclear_desk().unwrap());
    assert_eq!(new(&notebook), (1, 1));
    assert!(notebook.unclear_desk().unwrap());
    assert_eq!(notebook.last_visit().unwrap(), None);
}

/// What is due is the same for who asks at the desk and for who asks what to teach next, though some of it waits.
#[test]
fn the_desk_and_the_course_name_the_same_words_as_due() {
    let mut notebook = Notebook::open_in(&scratch("families").join("due")).unwrap();
    let juno = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let wrote = |word: &str, wrote: &str| NewWriting {
        session: None,
        word: word.into(),
        tries: vec![wrote.into()],
        source: WritingSource::Paper,
        help: Help::None,
        day: date(2026, 11, 20),
    };
    let list = [
        wrote("bridge", "brij"),
        wrote("bed", "bad"),
        wrote("night", "nite"),
        wrote("ship", "ship"),
    ];
    notebook.keep_writings(juno, &list).unwrap();
    let today = date(2026, 11, 28);
    let entry = notebook.families(NewFrom::Day(today), today).unwrap().remove(0);
    let tries = notebook.course_tries(juno).unwrap();
    let answer = CourseAnswer::of(&tries, Vec::new(), &Default::default(), course_day(today));
    let mut told = [answer.review, answer.waiting].concat();
    let mut due = entry.due;
    told.sort();
    due.sort();
    assert_eq!((&told, answer.due), (&due, 3));
    assert_eq!(due, ["bed", "bridge", "night"]);
}
