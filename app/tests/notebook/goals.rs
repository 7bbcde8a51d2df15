//! Goals, lessons as a list, and notes that are answered and settled: kept, handed over both ways, erased.

use crate::common::scratch;
use jiff::civil::{Date, date};
use soundbead::ask::noted::NotedRequest;
use soundbead::notebook::handover::Handover;
use soundbead::notebook::{
    Author, Cued, DoneBeside, Goal, GoalBody, GoalSubject, Help, IMPORTED, Id, Learner, ListRange, Moment, NewAttempt,
    NewFrom, NewNote, NewSession, NewWriting, NoteBody, NoteSubject, Notebook, NotedMoment, Ruling, Settled,
    WhereInWord, WritingSource,
};
use soundbead::report;
use soundbead::wording;
use soundbead_data::chain::{Graph, WordList};
use soundbead_data::{Rules, Sound};
use soundbead_dsp::judgement::Verdict;

const ALL: ListRange = ListRange { skip: 0, take: 1_000 };
const THIN: [Sound; 3] = [Sound::TH, Sound::IH, Sound::N];
const BATH: [Sound; 3] = [Sound::B, Sound::AE, Sound::TH];

fn notebook(name: &str) -> Notebook {
    Notebook::open_in(&scratch("goals").join(name)).unwrap()
}

/// A notebook with Juno, who said thin twice and bath once on a day of November 2026.
fn junos(name: &str) -> (Notebook, Id, Id) {
    let mut notebook = notebook(name);
    let juno = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let day = date(2026, 11, 17);
    let new = NewSession {
        plan: "th at the start".into(),
        began: Some((noon(day), day)),
    };
    let session = notebook.begin_session(juno, &new).unwrap().id;
    for (n, (word, sounds, child)) in [("thin", THIN, 3), ("thin", THIN, 4), ("bath", BATH, 3)]
        .into_iter()
        .enumerate()
    {
        let new = NewAttempt {
            word,
            sounds: &sounds,
            child: Some(child),
            at: Some((Moment(noon(day).0 + n as i64), day)),
            ..NewAttempt::default()
        };
        notebook.record(session, &new).unwrap();
    }
    (notebook, juno, session)
}

fn noon(day: Date) -> Moment {
    Moment(day.at(12, 0, 0, 0).in_tz("UTC").unwrap().timestamp().as_millisecond())
}

fn goal(about: GoalSubject, by: Option<Date>) -> GoalBody {
    GoalBody {
        by,
        evidence: "9 of 10 words right in two dictations".into(),
        ..GoalBody::about(about)
    }
}

/// Hands Juno over from one notebook into the other.
fn over(from: &mut Notebook, juno: Id, to: &mut Notebook) {
    let file = scratch("goals").join(format!("{}.soundbead", jiff::Timestamp::now().as_nanosecond()));
    from.hand_over(juno, &Handover::default(), &file, &|_| true).unwrap();
    to.take_in(&file, None, &|_| true).unwrap();
}

#[test]
fn goals_are_listed_by_their_day_and_those_that_are_settled_last() {
    let (mut notebook, juno, _) = junos("list");
    let choice = GoalSubject::Choice("ck, k or c".into());
    let set = |n: &mut Notebook, about, by| n.set_goal(juno, Author::Consultant, &goal(about, by)).unwrap();
    let open = set(&mut notebook, GoalSubject::Sound(Sound::S), None);
    let late = set(&mut notebook, choice, Some(date(2027, 1, 10)));
    let soon = set(&mut notebook, GoalSubject::Sound(Sound::TH), Some(date(2026, 12, 20)));
    let settled = GoalBody {
        settled: Some(Settled {
            at: Moment::now(),
            by: Author::Parent,
            evidence: "10 of 10 on two evenings".into(),
        }),
        ..open.body.clone()
    };
    notebook.change_goal(open.id, &settled).unwrap();
    let order = |n: &Notebook| n.goals(juno).unwrap().iter().map(|g| g.id).collect::<Vec<_>>();
    assert_eq!(order(&notebook), [soon.id, late.id, open.id]);
    assert!(soon.body.is_late(date(2026, 12, 21)) && !soon.body.is_late(date(2026, 12, 20)));
    assert!(!settled.is_late(Date::MAX), "what is settled is not late");
    // What it said before is kept.
    assert_eq!(notebook.earlier(open.id).unwrap().len(), 1);
    let out = notebook.remove_goal(late.id).unwrap();
    assert_eq!(order(&notebook), [soon.id, open.id]);
    notebook.restore_goal(juno, &out).unwrap();
    assert_eq!(order(&notebook), [soon.id, late.id, open.id]);
}

#[test]
fn a_goal_on_no_choice_and_a_settling_without_evidence_are_refused() {
    let (mut notebook, juno, _) = junos("refused");
    let no_choice = goal(GoalSubject::Choice("brillig".into()), None);
    let fault = notebook
        .set_goal(juno, Author::Parent, &no_choice)
        .unwrap_err()
        .to_string();
    assert!(fault.contains("no choice of spelling `brillig`"), "{fault}");
    let long = GoalBody {
        evidence: "x".repeat(501),
        ..GoalBody::about(GoalSubject::Sound(Sound::S))
    };
    assert!(notebook.set_goal(juno, Author::Parent, &long).is_err());
    let set = notebook.set_goal(juno, Author::Parent, &goal(GoalSubject::Sound(Sound::S), None));
    let body = GoalBody {
        settled: Some(Settled {
            at: Moment::now(),
            by: Author::Parent,
            evidence: " ".into(),
        }),
        ..goal(GoalSubject::Sound(Sound::S), None)
    };
    let fault = notebook.change_goal(set.unwrap().id, &body).unwrap_err().to_string();
    assert!(fault.contains("evidence"), "{fault}");
}

/// Both sides end with the same, whoever is taken in first; answers given on both sides stand beside each other.
#[test]
fn goals_answers_and_lines_on_lessons_come_together_from_both_sides() {
    let (mut parent, juno, session) = junos("parent");
    let note = NewNote {
        on: NoteSubject::Sound(Sound::TH),
        author: Author::Consultant,
        body: NoteBody {
            text: "The tongue stays behind the teeth.".into(),
            position: Some(WhereInWord::Start),
            moment: None,
            ..NoteBody::default()
        },
    };
    let note = parent.add_note(juno, &note).unwrap().id;
    let kept = parent
        .set_goal(juno, Author::Parent, &goal(GoalSubject::Sound(Sound::TH), None))
        .unwrap();
    let dropped = parent
        .set_goal(juno, Author::Parent, &goal(GoalSubject::Sound(Sound::S), None))
        .unwrap();
    let mut consultant = notebook("consultant");
    over(&mut parent, juno, &mut consultant);
    assert_eq!(consultant.goals(juno).unwrap(), parent.goals(juno).unwrap());
    parent
        .answer_note(note, Author::Parent, "At dinner it came forward.")
        .unwrap();
    parent.say_how_it_went(session, "  Tired,  but proud. ").unwrap();
    consultant
        .answer_note(note, Author::Consultant, "Good. Try thumb next.")
        .unwrap();
    consultant
        .settle_note(note, Author::Consultant, Some("thin and thumb, 8 of 8 without help"))
        .unwrap();
    let settled = GoalBody {
        settled: Some(Settled {
            at: Moment::now(),
            by: Author::Consultant,
            evidence: "thin, thumb and bath on two days".into(),
        }),
        ..kept.body.clone()
    };
    consultant.change_goal(kept.id, &settled).unwrap();
    consultant.remove_goal(dropped.id).unwrap();
    over(&mut consultant, juno, &mut parent);
    over(&mut parent, juno, &mut consultant);
    over(&mut consultant, juno, &mut parent);
    for side in [&parent, &consultant] {
        let goals: Vec<Goal> = side.goals(juno).unwrap();
        assert_eq!(goals.len(), 1, "what was taken out there is out here");
        assert_eq!(goals[0].body, settled);
        let note = side.notes(juno).unwrap().remove(0);
        let answers: Vec<&str> = note.body.answers.iter().map(|a| a.text.as_str()).collect();
        assert_eq!(answers, ["At dinner it came forward.", "Good. Try thumb next."]);
        assert!(note.body.is_settled() && note.body.text.starts_with("The tongue"));
        let lessons = side.lesson_list(juno, ALL).unwrap();
        assert_eq!(lessons[0].went.as_deref(), Some("Tired, but proud."));
    }
    assert_eq!(parent.notes(juno).unwrap(), consultant.notes(juno).unwrap());
    assert_eq!(parent.sessions(juno).unwrap(), consultant.sessions(juno).unwrap());
}

#[test]
fn an_answer_that_came_while_the_note_was_being_changed_stays() {
    let (mut notebook, juno, _) = junos("meanwhile");
    let body = NoteBody {
        text: "Lips at rest.".into(),
        ..NoteBody::default()
    };
    let new = NewNote {
        on: NoteSubject::Learner,
        author: Author::Parent,
        body: body.clone(),
    };
    let id = notebook.add_note(juno, &new).unwrap().id;
    notebook.answer_note(id, Author::Consultant, "Since when?").unwrap();
    let changed = NoteBody {
        text: "Lips at rest, mouth open.".into(),
        ..body
    };
    notebook.change_note(id, &changed).unwrap();
    let note = notebook.notes(juno).unwrap().remove(0);
    assert_eq!(
        (note.body.text.as_str(), note.body.answers.len()),
        ("Lips at rest, mouth open.", 1)
    );
    assert!(
        notebook.answer_note(id, Author::Parent, "  ").is_err(),
        "an empty answer is none"
    );
    let backwards = NoteBody {
        moment: Some(NotedMoment {
            from_ms: 300,
            to_ms: 200,
        }),
        ..changed
    };
    assert!(notebook.change_note(id, &backwards).is_err());
}

#[test]
fn a_lesson_says_what_was_planned_done_and_counted_and_how_it_went() {
    let (mut notebook, juno, session) = junos("lesson");
    let row = notebook.lesson_list(juno, ALL).unwrap().remove(0);
    assert_eq!((row.day, row.plan.as_str()), (date(2026, 11, 17), "th at the start"));
    assert_eq!(
        (row.words.join(" ").as_str(), row.attempts, row.written),
        ("thin bath", 3, 0)
    );
    assert_eq!((row.counted.hits, row.counted.of, row.went), (2, 3, None));
    notebook.say_how_it_went(session, "Slow start.").unwrap();
    notebook.say_how_it_went(session, "Slow start, then well.").unwrap();
    let row = notebook.lesson_list(juno, ALL).unwrap().remove(0);
    assert_eq!(row.went.as_deref(), Some("Slow start, then well."));
    assert_eq!(
        notebook.earlier(session).unwrap().len(),
        1,
        "what was said before is kept"
    );
}

/// A lesson of today, about one word that was said, begun so many minutes after noon.
fn todays(notebook: &mut Notebook, learner: Id, minutes: i64, plan: &str) -> Id {
    let today = jiff::Zoned::now().date();
    let at = Moment(noon(today).0 + minutes * 60_000);
    let new = NewSession {
        plan: plan.into(),
        began: Some((at, today)),
    };
    let session = notebook.begin_session(learner, &new).unwrap().id;
    let new = NewAttempt {
        word: "thin",
        sounds: &THIN,
        child: Some(3),
        at: Some((at, today)),
        ..NewAttempt::default()
    };
    notebook.record(session, &new).unwrap();
    session
}

/// A word of today's dictation, which belongs to no lesson unless one is named.
fn written(session: Option<Id>, word: &str) -> NewWriting {
    NewWriting {
        session,
        word: word.into(),
        tries: vec![word.into()],
        source: WritingSource::Dictation,
        help: Help::None,
        day: jiff::Zoned::now().date(),
    }
}

/// What the program kept of something done.
fn kept(text: &str) -> NewNote {
    NewNote {
        on: NoteSubject::Learner,
        author: Author::Parent,
        body: NoteBody {
            text: text.into(),
            ..NoteBody::default()
        },
    }
}

const SORTED: &str = "A sort, ck / k. All 8 cards lay right at the first look.";

#[test]
fn the_last_lesson_of_a_day_has_what_was_written_sorted_and_read_on_it() {
    let (mut notebook, juno, _) = junos("beside");
    let morning = todays(&mut notebook, juno, 0, "mud mug");
    let evening = todays(&mut notebook, juno, 60, "thin thumb");
    let taken_in = todays(&mut notebook, juno, 90, IMPORTED);
    notebook.keep_writing(juno, &written(Some(morning), "mug")).unwrap();
    let dropped = notebook.keep_writing(juno, &written(None, "mud")).unwrap();
    for word in ["thin", "thumb", "bath"] {
        notebook.keep_writing(juno, &written(None, word)).unwrap();
    }
    notebook.take_back_writing(dropped.id).unwrap();
    for text in [
        SORTED,
        "A sort, ck / k. What decides, in the learner's own words: A short vowel.",
        "A minute of quick reading: 2 words at once. In order: mud, mug.",
        "She was tired. A sort, and then bed.",
    ] {
        notebook.add_note(juno, &kept(text)).unwrap();
    }
    let told = |n: &Notebook, session: Id| {
        let lessons = n.lesson_list(juno, ALL).unwrap();
        let lesson = lessons.into_iter().find(|l| l.session == session).unwrap();
        (lesson.written, lesson.beside.told().collect::<Vec<_>>().join(", "))
    };
    assert_eq!(told(&notebook, evening), (3, "a sort, a reading minute".into()));
    assert_eq!(
        told(&notebook, morning),
        (1, String::new()),
        "what is its own, and no more"
    );
    assert_eq!(
        told(&notebook, taken_in),
        (0, String::new()),
        "old recordings are no lesson"
    );
    // In another notebook it is told alike, and the report tells it too.
    let mut other = self::notebook("beside-other");
    over(&mut notebook, juno, &mut other);
    assert_eq!(told(&other, evening), told(&notebook, evening));
    let page = report::html::page(&report::collect(&notebook, juno, None, None).unwrap());
    assert!(page.contains("a sort, a reading minute"), "{page}");
    let before = report::collect(&notebook, juno, None, Some(date(2026, 11, 17))).unwrap();
    assert_eq!(before.beside, DoneBeside::default(), "nothing of a later day");
}

#[test]
fn what_the_program_kept_of_something_done_waits_for_no_answer() {
    let (mut notebook, juno, _) = junos("waits");
    let asked = notebook
        .add_note(juno, &kept("Is her s too short? A sort, too."))
        .unwrap();
    let record = notebook.add_note(juno, &kept(SORTED)).unwrap();
    assert!(asked.waits() && !record.waits());
    let today = jiff::Zoned::now().date();
    let entry = notebook.families(NewFrom::Day(today), today).unwrap().remove(0);
    assert_eq!((entry.unanswered, entry.notes), (1, 2));
}

#[test]
fn a_report_is_not_filled_with_what_was_done_and_loses_nothing_that_people_wrote() {
    let (mut notebook, juno, _) = junos("records");
    let first = notebook.add_note(juno, &kept(SORTED)).unwrap().id;
    notebook
        .answer_note(first, Author::Consultant, "Try words with two syllables.")
        .unwrap();
    notebook
        .add_note(juno, &kept("She asked for a sort by herself."))
        .unwrap();
    for n in 0..5 {
        notebook
            .add_note(
                juno,
                &kept(&format!("A minute of quick reading: {n} words at once. In order: .")),
            )
            .unwrap();
    }
    let data = report::collect(&notebook, juno, None, None).unwrap();
    let texts: Vec<&str> = data.notes.iter().map(|n| n.text.as_str()).collect();
    assert_eq!((texts.len(), data.records_left_out), (5, 2), "{texts:?}");
    assert!(texts.iter().any(|t| t.contains("Try words with two syllables.")));
    assert!(texts.contains(&"She asked for a sort by herself."));
    assert_eq!(data.beside.readings, 5);
    assert!(report::html::page(&data).contains("2 more are in the notebook"));
}

#[test]
fn how_a_noted_sound_fared_is_told_by_its_place_as_far_as_people_could_tell() {
    let (mut notebook, juno, session) = junos("fared");
    let attempts = notebook.attempts_of(session).unwrap();
    let rule = |n: &mut Notebook, at: usize, verdict, sounds: &[Sound]| {
        let ruling = Ruling::new(verdict, Author::Parent).telling(sounds.to_vec());
        n.rule(attempts[at].id, ruling).unwrap();
    };
    // Before anybody listens nothing is told, and that is not said to be in doubt.
    let before = notebook.sound_fared(juno, Sound::TH, date(2026, 11, 1)).unwrap();
    assert!(
        before.iter().all(|f| f.untold.is_empty() && f.said.of == 0),
        "{before:?}"
    );
    let line = wording::fared(&before[0]);
    assert!(
        line.contains("not judged yet: ") && line.contains(&attempts[0].word),
        "{line}"
    );
    rule(&mut notebook, 0, Verdict::Same, &[]);
    rule(&mut notebook, 1, Verdict::Changed, &[Sound::F, Sound::IH, Sound::N]);
    // A whole word that is called another says nothing of one sound.
    rule(&mut notebook, 2, Verdict::Changed, &[]);
    let fared = notebook.sound_fared(juno, Sound::TH, date(2026, 11, 1)).unwrap();
    let told: Vec<_> = fared
        .iter()
        .map(|f| (f.place, f.said.hits, f.said.of, f.untold.len()))
        .collect();
    assert_eq!(told, [(WhereInWord::Start, 1, 2, 0), (WhereInWord::End, 0, 0, 1)]);
    assert_eq!(fared[0].words.len(), 1);
    let n = notebook.sound_fared(juno, Sound::N, date(2026, 11, 1)).unwrap();
    assert_eq!((n[0].place, n[0].said.hits, n[0].said.of), (WhereInWord::End, 2, 2));
    assert!(
        notebook
            .sound_fared(juno, Sound::TH, date(2026, 11, 18))
            .unwrap()
            .is_empty()
    );
}

#[test]
fn a_noted_sound_said_with_help_is_told_apart_from_one_said_without() {
    let (mut notebook, juno, session) = junos("cued");
    let day = date(2026, 11, 18);
    // Two tries without help, one right; two with it, both right; those of `junos` are not known.
    let tries = [
        (Cued::Alone, Verdict::Same),
        (Cued::Alone, Verdict::Changed),
        (Cued::Cued, Verdict::Same),
        (Cued::Cued, Verdict::Same),
    ];
    for (n, (cued, verdict)) in tries.into_iter().enumerate() {
        let new = NewAttempt {
            word: "thin",
            sounds: &THIN,
            at: Some((Moment(noon(day).0 + n as i64), day)),
            cued: Some(cued),
            ..NewAttempt::default()
        };
        let id = notebook.record(session, &new).unwrap().id;
        let said = match verdict {
            Verdict::Same => Vec::new(),
            _ => vec![Sound::F, Sound::IH, Sound::N],
        };
        notebook
            .rule(id, Ruling::new(verdict, Author::Parent).telling(said))
            .unwrap();
    }
    let told = |n: &Notebook| -> Vec<_> {
        let fared = n.sound_fared(juno, Sound::TH, day).unwrap();
        fared
            .iter()
            .map(|f| (f.place, f.cued, f.said.hits, f.said.of))
            .collect()
    };
    let wanted = [
        (WhereInWord::Start, Some(Cued::Alone), 1, 2),
        (WhereInWord::Start, Some(Cued::Cued), 2, 2),
    ];
    assert_eq!(told(&notebook), wanted);
    // It goes along in a hand-over.
    let mut other = self::notebook("cued-other");
    over(&mut notebook, juno, &mut other);
    assert_eq!(told(&other), wanted);
    let all = notebook.sound_fared(juno, Sound::TH, date(2026, 11, 1)).unwrap();
    assert!(all.iter().any(|f| f.cued.is_none()), "earlier tries: nobody knows");
    // Asked about several days at once, in whatever order they come, each day has its own answer.
    let days = [day, date(2026, 11, 1), date(2026, 11, 19), day];
    let each = notebook.sound_fared_since_each(juno, Sound::TH, &days).unwrap();
    let alone = days.map(|day| notebook.sound_fared(juno, Sound::TH, day).unwrap());
    assert_eq!(each, alone);
    let tries = |of: usize| each[of].iter().map(|f| f.said.of).sum::<u64>();
    assert_eq!((tries(0), tries(2), each[1] == all), (4, 0, true));
}

#[test]
fn a_lesson_for_a_noted_sound_can_be_had() {
    let graph = Graph::new(&WordList::default(), &Rules::default());
    let request = NotedRequest {
        sound: Sound::TH,
        place: Some(WhereInWord::Start),
    };
    let plan = request.answer(&graph).unwrap();
    assert_eq!(plan.title, "The sound th at the start");
    let words = plan.items.last().unwrap().words().count();
    assert!(words >= 3, "{plan:?}");
}

#[test]
fn a_report_has_goals_and_what_became_of_notes() {
    let (mut notebook, juno, _) = junos("report");
    let late = GoalBody {
        evidence: "What the audiologist says of his hearing loss".into(),
        ..goal(GoalSubject::Sound(Sound::R), None)
    };
    for body in [goal(GoalSubject::Sound(Sound::TH), Some(date(2031, 12, 20))), late] {
        notebook.set_goal(juno, Author::Consultant, &body).unwrap();
    }
    let new = NewNote {
        on: NoteSubject::Sound(Sound::TH),
        author: Author::Consultant,
        body: NoteBody {
            text: "The tongue stays behind the teeth.".into(),
            ..NoteBody::default()
        },
    };
    let note = notebook.add_note(juno, &new).unwrap().id;
    notebook
        .answer_note(note, Author::Parent, "With a mirror it came out.")
        .unwrap();
    let mut data = report::collect(&notebook, juno, None, None).unwrap();
    assert!(
        data.names_diagnosis()
            .is_some_and(|(_, what, name)| what == "goal" && name == "hearing loss")
    );
    assert_eq!(data.leave_diagnoses_out(), 1);
    let page = report::html::page(&data);
    for wanted in [
        "The sound th, by 20 Dec 2031, set by the consultant. To settle it: 9 of 10 words right in two dictations.",
        "consultant, on the sound th",
        "With a mirror it came out.",
    ] {
        assert!(page.contains(wanted), "`{wanted}` in {page}");
    }
    notebook
        .settle_note(note, Author::Consultant, Some("10 of 10 in two lessons"))
        .unwrap();
    let page = report::html::page(&report::collect(&notebook, juno, None, None).unwrap());
    assert!(page.contains("Settled by the consultant") && page.contains("10 of 10 in two lessons"));
}

#[test]
fn erasing_a_learner_erases_goals_answers_and_lines_on_lessons() {
    let (mut notebook, juno, session) = junos("erased");
    let secret = "kumquat";
    let body = GoalBody {
        evidence: secret.into(),
        ..GoalBody::about(GoalSubject::Sound(Sound::S))
    };
    let goal = notebook.set_goal(juno, Author::Parent, &body).unwrap();
    notebook.say_how_it_went(session, secret).unwrap();
    let new = NewNote {
        on: NoteSubject::Learner,
        author: Author::Parent,
        body: NoteBody {
            text: secret.into(),
            ..NoteBody::default()
        },
    };
    let note = notebook.add_note(juno, &new).unwrap().id;
    notebook.answer_note(note, Author::Parent, secret).unwrap();
    notebook.remove_goal(goal.id).unwrap();
    notebook.erase(juno).unwrap();
    let folder = notebook.folder().to_owned();
    drop(notebook);
    let bytes = std::fs::read(folder.join(soundbead::notebook::DATABASE)).unwrap();
    let found = bytes.windows(secret.len()).any(|w| w == secret.as_bytes());
    assert!(!found, "the word is still in the file");
}

#[test]
fn two_learners_of_one_name_are_told_apart_by_their_families() {
    let mut notebook = notebook("families");
    let first = notebook.add_learner("Juno", &Rules::default()).unwrap();
    assert!(
        notebook.add_learner("juno", &Rules::default()).is_err(),
        "one name, no family"
    );
    let second = notebook.add_learner_of("Ashgrove", "Juno", &Rules::default()).unwrap();
    let all = notebook.learners().unwrap();
    assert_eq!(second.called(&all), "Juno Ashgrove");
    assert!(first.called(&all).starts_with("Juno, added "), "{}", first.called(&all));
    let named = notebook.name_learner(first.id, "Quillfeather", "Juno").unwrap();
    assert_eq!(named.called(&notebook.learners().unwrap()), "Juno Quillfeather");
    assert!(notebook.name_learner(second.id, "quillfeather", "Juno").is_err());
    // A hand-over may bring another of both names: no two are called alike, even where they came on one day.
    let mut twins = notebook.learners().unwrap();
    let twin = Learner {
        id: first.id,
        family: "ashgrove".into(),
        made: second.made,
        ..first.clone()
    };
    twins.retain(|l| l.id == second.id);
    twins.push(twin.clone());
    assert_ne!(second.called(&twins), twin.called(&twins));
    assert!(
        second.called(&twins).starts_with("Juno Ashgrove, id "),
        "{}",
        second.called(&twins)
    );
    // Alone, the name is enough.
    assert_eq!(named.called(std::slice::from_ref(&named)), "Juno");
    let phonics = Rules::named("phonics").unwrap();
    assert_eq!(
        notebook.change_learner(second.id, "Juno", &phonics).unwrap().family,
        "Ashgrove"
    );
}
