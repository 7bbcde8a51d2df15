//! What a child wrote is kept as it was written, found by what it shows, and taken back and brought again.

use jiff::civil::{Date, date};
use proptest::prelude::*;
use soundbead::ask::writing::{ChoiceStretch, ReadWritings};
use soundbead::notebook::{
    Edits, Help, Id, ListRange, NewAttempt, NewSession, NewWriting, Notebook, Writing, WritingFilter, WritingSource,
    course_day,
};
use soundbead_data::course::{Choice, standing};
use soundbead_data::word::Overrides;
use soundbead_data::writing::Finding;
use soundbead_data::{Rules, Sound};

const ALL: ListRange = ListRange { skip: 0, take: 1000 };

/// A notebook with one learner, in a folder of its own.
fn notebook() -> (Notebook, Id) {
    use std::sync::atomic::{AtomicU32, Ordering};
    static NEXT: AtomicU32 = AtomicU32::new(0);
    let name = format!("home-{}", NEXT.fetch_add(1, Ordering::Relaxed));
    let mut notebook = Notebook::open_in(&crate::common::scratch("writing").join(name)).unwrap();
    let learner = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    (notebook, learner)
}

fn day(of_november: i8) -> Date {
    date(2026, 11, of_november)
}

fn wrote(word: &str, tries: &[&str], on: i8) -> NewWriting {
    NewWriting {
        session: None,
        word: word.into(),
        tries: tries.iter().map(|t| (*t).to_owned()).collect(),
        source: WritingSource::Paper,
        help: Help::None,
        day: day(on),
    }
}

fn words(found: &[Writing]) -> Vec<&str> {
    found.iter().map(|w| w.word.as_str()).collect()
}

#[test]
fn what_was_written_stays_as_it_was_written() {
    let (mut notebook, juno) = notebook();
    let kept = notebook.keep_writing(juno, &wrote("Bridge", &["Brige"], 3)).unwrap();
    assert_eq!((kept.word.as_str(), kept.first()), ("bridge", "Brige"));
    let more = notebook.add_try(kept.id, Some("bridge"), Help::AfterFirst).unwrap();
    assert_eq!(
        (more.first(), more.last(), more.help),
        ("Brige", "bridge", Help::AfterFirst)
    );
    // A new program, the same folder.
    let again = Notebook::open_in(notebook.folder()).unwrap();
    let rows = again.writings(juno, &WritingFilter::default(), ALL).unwrap();
    assert_eq!(rows, [more]);
    assert_eq!(
        again.earlier(kept.id).unwrap(),
        [],
        "nothing was lost, so nothing is history"
    );
    assert!(rows[0].own());
}

#[test]
fn what_cannot_be_kept_has_one_line_and_nothing_is_kept_of_its_list() {
    let (mut notebook, juno) = notebook();
    let long = "x".repeat(101);
    for (word, tried, says) in [
        ("", "brige", "no word"),
        ("4", "brige", "digit"),
        ("\u{1f600}", "brige", "not an English letter"),
        ("the old bridge", "brige", "space"),
        ("bridge", "", "nothing was written"),
        ("bridge", "  ", "nothing was written"),
        ("bridge", long.as_str(), "at most 100"),
    ] {
        let list = [wrote("ship", &["ship"], 1), wrote(word, &[tried], 1)];
        let why = notebook.keep_writings(juno, &list).unwrap_err().to_string();
        assert!(why.contains(says) && why.lines().count() == 1, "{word} {tried}: {why}");
    }
    assert!(notebook.keep_writing(juno, &wrote("ship", &[], 1)).is_err());
    assert!(
        notebook
            .keep_writing(
                juno,
                &NewWriting {
                    source: WritingSource::Boxes,
                    ..wrote("ship", &["ship"], 1)
                }
            )
            .is_err()
    );
    assert_eq!(notebook.count_writings(juno, &WritingFilter::default()).unwrap(), 0);
    // What the child wrote may be anything that can be seen: it is kept, and said to be unreadable when it is read.
    let odd = notebook
        .keep_writing(juno, &wrote("ship", &["5hip \u{1f600}"], 1))
        .unwrap();
    assert_eq!(odd.first(), "5hip \u{1f600}");
    assert!(odd.reading(&notebook.overrides().unwrap()).is_err());
    assert!(notebook.course_tries(juno).unwrap().is_empty());
}

#[test]
fn rows_are_found_by_what_they_show() {
    let (mut notebook, juno) = notebook();
    let list = [
        wrote("bridge", &["brige"], 3),
        wrote("ship", &["sip"], 3),
        wrote("lamp", &["lap"], 4),
        wrote("ship", &["ship"], 5),
        wrote("moth", &["mosth"], 6),
    ];
    notebook.keep_writings(juno, &list).unwrap();
    let found = |filter: WritingFilter| {
        let rows = notebook.writings(juno, &filter, ALL).unwrap();
        assert_eq!(notebook.count_writings(juno, &filter).unwrap(), rows.len() as u64);
        rows.iter()
            .map(|w| format!("{}<{}", w.word, w.first()))
            .collect::<Vec<_>>()
    };
    let none = WritingFilter::default;
    assert_eq!(
        found(none()),
        ["moth<mosth", "ship<ship", "lamp<lap", "bridge<brige", "ship<sip"]
    );
    assert_eq!(
        found(WritingFilter {
            word: Some("ship".into()),
            ..none()
        }),
        ["ship<ship", "ship<sip"]
    );
    assert_eq!(
        found(WritingFilter {
            sound: Some(Sound::SH),
            finding: Some(Finding::Kept),
            ..none()
        }),
        ["ship<ship"]
    );
    let omitted = WritingFilter {
        finding: Some(Finding::Omitted),
        ..none()
    };
    assert_eq!(found(omitted.clone()), ["lamp<lap"]);
    assert_eq!(
        found(WritingFilter {
            sound: Some(Sound::P),
            ..omitted
        }),
        Vec::<String>::new()
    );
    assert_eq!(
        found(WritingFilter {
            choice: Some(Choice::JSpelling),
            ..none()
        }),
        ["bridge<brige"]
    );
    assert_eq!(found(WritingFilter { added: true, ..none() }), ["moth<mosth"]);
    assert_eq!(
        found(WritingFilter {
            from: Some(day(4)),
            to: Some(day(5)),
            ..none()
        }),
        ["ship<ship", "lamp<lap"]
    );
    let second = notebook
        .writings(juno, &none(), ListRange { skip: 1, take: 2 })
        .unwrap();
    assert_eq!(words(&second), ["ship", "lamp"]);
}

#[test]
fn taken_back_and_brought_again_and_forgotten_when_the_session_ends() {
    let (mut notebook, juno) = notebook();
    let session = notebook.begin_session(juno, &NewSession::default()).unwrap().id;
    let in_session = |tried: &str| NewWriting {
        session: Some(session),
        source: WritingSource::Dictation,
        ..wrote("bridge", &[tried], 3)
    };
    let (first, second) = (
        notebook.keep_writing(juno, &in_session("brige")).unwrap(),
        notebook.keep_writing(juno, &in_session("bridge")).unwrap(),
    );
    notebook.take_back_writing(first.id).unwrap();
    assert_eq!(notebook.count_writings(juno, &WritingFilter::default()).unwrap(), 1);
    assert_eq!(notebook.course_tries(juno).unwrap().len(), 1);
    notebook.redo_writing(first.id).unwrap();
    assert_eq!(notebook.count_writings(juno, &WritingFilter::default()).unwrap(), 2);
    notebook.take_back_writing(second.id).unwrap();
    notebook.end_session(session).unwrap();
    assert_eq!(notebook.writing_row(second.id).unwrap(), None);
    assert!(notebook.redo_writing(second.id).is_err());
    assert_eq!(notebook.writing_row(first.id).unwrap().unwrap().session, Some(session));
    let other = notebook.add_learner("Alby", &Rules::default()).unwrap().id;
    let why = notebook
        .keep_writing(other, &in_session("brige"))
        .unwrap_err()
        .to_string();
    assert!(why.contains("another learner"), "{why}");
}

/// Letters in the boxes of a lesson are kept with their attempt; they count once, and only where every box has letters.
#[test]
fn letters_in_boxes_are_writing_too() {
    let (mut notebook, juno) = notebook();
    let session = notebook.begin_session(juno, &NewSession::default()).unwrap().id;
    let mut said = |word: &str, sounds: &[Sound], letters: &[&str], after: &[&str]| {
        let id = notebook
            .record(
                session,
                &NewAttempt {
                    word,
                    sounds,
                    ..NewAttempt::default()
                },
            )
            .unwrap()
            .id;
        let own = |all: &[&str]| all.iter().map(|l| (*l).to_owned()).collect::<Vec<_>>();
        let put = |edits: &mut Edits| {
            edits.letters = own(letters);
            edits.after.letters = own(after);
        };
        notebook.edit(id, put).unwrap();
        id
    };
    let bridge = [Sound::B, Sound::R, Sound::IH, Sound::JH];
    let first = said("bridge", &bridge, &["b", "r", "i", "j"], &["b", "r", "i", "dge"]);
    said("bridge", &bridge, &["b", "r", "i", "j"], &["b", "r", "i", "dge"]);
    said("ship", &[Sound::SH, Sound::IH, Sound::P], &["sh", "", ""], &[]);
    let rows = notebook.writings(juno, &WritingFilter::default(), ALL).unwrap();
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!(
        (rows[0].id, rows[0].source, rows[0].session),
        (first, WritingSource::Boxes, Some(session))
    );
    assert_eq!((rows[0].first(), rows[0].last()), ("brij", "bridge"));
    let paper = WritingFilter {
        source: Some(WritingSource::Paper),
        ..WritingFilter::default()
    };
    assert_eq!(notebook.count_writings(juno, &paper).unwrap(), 0);
    let tries = notebook.course_tries(juno).unwrap();
    assert_eq!(tries.len(), 1);
    assert!(tries[0].kept.contains(&(Choice::JSpelling, false)));
}

#[test]
fn the_course_has_first_tries_without_help_the_oldest_first() {
    let (mut notebook, juno) = notebook();
    let helped = NewWriting {
        help: Help::BeforeFirst,
        ..wrote("cake", &["cake"], 2)
    };
    let list = [
        wrote("bridge", &["brige", "bridge"], 9),
        wrote("ship", &["ship"], 1),
        helped,
        wrote("zwieback", &["zweeback"], 2),
    ];
    notebook.keep_writings(juno, &list).unwrap();
    let tries = notebook.course_tries(juno).unwrap();
    let told: Vec<_> = tries.iter().map(|t| (t.word.as_str(), t.day)).collect();
    assert_eq!(told, [("ship", course_day(day(1))), ("bridge", course_day(day(9)))]);
    assert_eq!(course_day(day(9)) - course_day(day(1)), 8);
    let at = standing(&tries)[Choice::JSpelling.index()];
    assert_eq!((at.met, at.kept), (1, 0), "the second try does not count");
}

/// What was missed for weeks and is right now is no longer shown as missed; what was right once by luck is.
#[test]
fn a_choice_is_judged_by_the_latest_writing_of_each_word() {
    let (mut notebook, juno) = notebook();
    let list = [
        wrote("bridge", &["brij"], 2),
        wrote("bridge", &["brij"], 9),
        wrote("bridge", &["bridge"], 12),
        wrote("bridge", &["bridge"], 20),
        wrote("friend", &["friend"], 9),
        wrote("friend", &["frend"], 20),
    ];
    notebook.keep_writings(juno, &list).unwrap();
    let rows = notebook.writings(juno, &WritingFilter::default(), ALL).unwrap();
    let read = ReadWritings::of(&rows, &Overrides::default());
    let told = |s: &Option<ChoiceStretch>| s.as_ref().map(|s| (s.met, s.kept, s.kept_first));
    let bridge = read.choice_then_and_now(Choice::JSpelling, day(9));
    assert_eq!(
        (told(&bridge.then), told(&bridge.now)),
        (Some((1, 0, 0)), Some((1, 1, 0)))
    );
    let friend = read.choice_then_and_now(Choice::Irregular, day(9));
    assert_eq!(told(&friend.now), Some((1, 0, 1)));
    let missed = read.missed(day(9));
    let of = |choice: Choice| missed.iter().find(|(name, _)| *name == choice.name());
    assert_eq!(of(Choice::JSpelling), None);
    assert_eq!(
        of(Choice::Irregular).map(|(_, words)| words.join(", ")).as_deref(),
        Some("frend for friend")
    );
}

/// One word may be the only one to show two things: both are told of it.
#[test]
fn an_example_tells_all_that_no_other_word_shows() {
    let (mut notebook, juno) = notebook();
    notebook.keep_writing(juno, &wrote("hopped", &["hopt"], 3)).unwrap();
    let rows = notebook.writings(juno, &WritingFilter::default(), ALL).unwrap();
    let examples = ReadWritings::of(&rows, &Overrides::default()).examples();
    assert_eq!(examples.len(), 1, "{examples:?}");
    let shows = &examples[0].shows;
    assert!(shows.contains("doubled") && shows.contains("-ed"), "{shows}");
}

#[test]
fn what_the_parent_says_of_a_choice_is_kept_and_taken_back() {
    let (mut notebook, juno) = notebook();
    let say = |notebook: &mut Notebook, taught| notebook.name_choice(juno, Choice::Digraph, taught).unwrap();
    assert_eq!(say(&mut notebook, Some(true)), None);
    assert!(notebook.named_choices(juno).unwrap().taught.contains(&Choice::Digraph));
    assert_eq!(say(&mut notebook, Some(false)), Some(true));
    let named = notebook.named_choices(juno).unwrap();
    assert!(named.taught.is_empty() && named.not_taught.contains(&Choice::Digraph));
    assert_eq!(say(&mut notebook, None), Some(false));
    assert_eq!(notebook.named_choices(juno).unwrap(), Default::default());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever is written later, helped or not, taken back or brought again: the first try stays to the letter.
    #[test]
    fn the_first_try_never_changes(
        first in "[A-Za-z' éü1-9]{1,20}",
        later in prop::collection::vec(("[a-z ]{0,12}", 0_usize..3, any::<bool>()), 0..12),
    ) {
        prop_assume!(!first.trim().is_empty());
        let (mut notebook, juno) = notebook();
        let kept = notebook.keep_writing(juno, &wrote("bridge", &[&first], 3)).unwrap();
        let mut tried = 1;
        for (text, help, back) in later {
            let added = notebook.add_try(kept.id, Some(&text), Help::ALL[help]);
            tried += usize::from(added.is_ok());
            if back {
                notebook.take_back_writing(kept.id).unwrap();
                notebook.redo_writing(kept.id).unwrap();
            }
            let row = notebook.writing_row(kept.id).unwrap().unwrap();
            prop_assert_eq!(row.first(), first.trim());
            prop_assert_eq!(row.tries.len(), tried);
        }
    }
}
