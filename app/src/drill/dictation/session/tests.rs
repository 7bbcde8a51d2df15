//! The dictation without a window: first tries, help, undo, closing in the middle, and a monkey at the keys.

use super::*;
use crate::drill::session::Bench;
use crate::notebook::{Help, ListRange, Writing};
use soundbead_data::Rules;

/// A bench at which Juno learns, over a folder that may have been there before.
fn bench(name: &str, fresh: bool) -> Bench {
    let folder = std::env::temp_dir().join(format!("soundbead-dictation-{}-{name}", std::process::id()));
    if fresh {
        let _ = std::fs::remove_dir_all(&folder);
    }
    let mut bench = Bench::over(&folder);
    let juno = bench.notebook.ask(|n| match n.learners()?.pop() {
        Some(juno) => Ok(juno),
        None => n.add_learner("Juno", &Rules::default()),
    });
    let juno = juno.wait().unwrap();
    bench.learner = Some(juno.into());
    bench
}

fn apply(bench: &mut Bench, session: &mut DictationSession, intent: DictationIntent) {
    bench.lend(|_, at| session.apply(at, intent));
}

/// Polls until `done`.
fn until(bench: &mut Bench, session: &mut DictationSession, done: impl Fn(&DictationSession) -> bool) {
    for _ in 0..60_000 {
        bench.lend(|_, at| session.poll(at));
        if done(session) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    panic!("waited in vain");
}

/// Until all that was asked of the notebook is done and taken in.
fn settle(bench: &mut Bench, session: &mut DictationSession) {
    for _ in 0..6 {
        bench.lend(|_, at| session.poll(at));
        bench.notebook.ask(|_| Ok(())).wait().unwrap();
    }
}

/// What is in the notebook, the first word first.
fn rows(bench: &Bench) -> Vec<Writing> {
    let juno = bench.learner.as_ref().unwrap().id;
    let all = ListRange { skip: 0, take: 1000 };
    let found = bench.notebook.ask(move |n| n.writings(juno, &Default::default(), all));
    let mut rows = found.wait().unwrap();
    rows.sort_by(|a, b| a.word.cmp(&b.word));
    rows
}

fn write(bench: &mut Bench, session: &mut DictationSession, text: &str) {
    apply(bench, session, DictationIntent::Write(text.into()));
    apply(bench, session, DictationIntent::Enter);
}

fn two() -> DictationIntent {
    DictationIntent::Start(vec![DictatedWord::word("bridge"), DictatedWord::word("duck")])
}

#[test]
fn without_a_learner_nothing_begins() {
    let (mut bench, mut session) = (bench("nobody", true), DictationSession::default());
    bench.learner = None;
    apply(&mut bench, &mut session, two());
    assert!(session.dictation().is_none());
    assert!(session.fault().is_some_and(|line| line.contains("who is learning")));
}

#[test]
fn a_word_that_looks_misspelled_is_asked_about_before_it_is_dictated() {
    let (mut bench, mut session) = (bench("slip", true), DictationSession::default());
    apply(
        &mut bench,
        &mut session,
        DictationIntent::Start(vec![DictatedWord::word("duck"), DictatedWord::word("freind")]),
    );
    assert!(session.dictation().is_none());
    assert!(
        session
            .fault()
            .is_some_and(|line| line.contains("did you mean friend?"))
    );
}

#[test]
fn a_first_try_a_second_and_help_are_in_the_notebook_as_they_were_and_go_when_they_are_taken_back() {
    let (mut bench, mut session) = (bench("tries", true), DictationSession::default());
    apply(&mut bench, &mut session, two());
    write(&mut bench, &mut session, "Brige");
    settle(&mut bench, &mut session);
    assert_eq!(rows(&bench)[0].tries, ["Brige"], "there as soon as it is written");
    apply(&mut bench, &mut session, DictationIntent::Back);
    apply(&mut bench, &mut session, DictationIntent::Help);
    write(&mut bench, &mut session, "bridge");
    apply(&mut bench, &mut session, DictationIntent::Help);
    write(&mut bench, &mut session, "duk");
    settle(&mut bench, &mut session);
    let kept = rows(&bench);
    assert_eq!(kept.len(), 2, "{kept:?}");
    assert_eq!(
        (kept[0].first(), kept[0].last(), kept[0].help),
        ("Brige", "bridge", Help::AfterFirst)
    );
    assert_eq!((kept[1].first(), kept[1].help), ("duk", Help::BeforeFirst));
    until(&mut bench, &mut session, |s| s.told().is_some());
    assert!(session.told().unwrap()[0].line.contains("dge"));
    for _ in 0..8 {
        apply(&mut bench, &mut session, DictationIntent::Undo);
    }
    settle(&mut bench, &mut session);
    assert!(rows(&bench).is_empty(), "{:?}", rows(&bench));
}

#[test]
fn closing_in_the_middle_loses_nothing() {
    let (mut first, mut session) = (bench("closed", true), DictationSession::default());
    apply(&mut first, &mut session, two());
    write(&mut first, &mut session, "brige");
    apply(&mut first, &mut session, DictationIntent::Write("du".into()));
    settle(&mut first, &mut session);
    drop((session, first));
    let (mut again, mut session) = (bench("closed", false), DictationSession::default());
    until(&mut again, &mut session, |s| s.draft().is_some());
    assert_eq!(session.draft().unwrap().place(), (1, 2));
    apply(&mut again, &mut session, DictationIntent::Resume);
    assert_eq!(session.dictation().unwrap().typed(), "du");
    write(&mut again, &mut session, "duk");
    settle(&mut again, &mut session);
    let kept = rows(&again);
    let words: Vec<&str> = kept.iter().map(Writing::first).collect();
    assert_eq!(words, ["brige", "duk"], "no row twice");
    apply(&mut again, &mut session, DictationIntent::End);
    settle(&mut again, &mut session);
    assert!(session.draft().is_none());
}

#[test]
fn paper_is_taken_in_with_what_was_meant_and_goes_at_one_press() {
    let (mut bench, mut session) = (bench("paper", true), DictationSession::default());
    apply(&mut bench, &mut session, DictationIntent::Paper("7 \u{1f600}".into()));
    assert!(session.dictation().is_none() && session.fault().is_some());
    apply(
        &mut bench,
        &mut session,
        DictationIntent::Paper("my siter = sister has a snorbl".into()),
    );
    settle(&mut bench, &mut session);
    let kept = rows(&bench);
    let sister = kept.iter().find(|row| row.word == "sister").unwrap();
    assert_eq!((sister.first(), sister.source), ("siter", WritingSource::Paper));
    let unread = session.unread().join(" ");
    assert!(
        unread.contains("snorbl") && unread.contains("meant"),
        "nobody said what was meant: {unread}"
    );
    assert_eq!(session.untaken(), ["snorbl"], "it stays to be typed once more");
    assert!(kept.iter().all(|row| row.word != "snorbl"));
    apply(&mut bench, &mut session, DictationIntent::Undo);
    settle(&mut bench, &mut session);
    assert!(rows(&bench).is_empty() && session.dictation().is_none());
}

#[test]
fn what_could_not_be_written_is_said_and_written_later() {
    let (mut bench, mut session) = (bench("held", true), DictationSession::default());
    apply(&mut bench, &mut session, two());
    let held = rusqlite::Connection::open(bench.folder.join(crate::notebook::DATABASE)).unwrap();
    held.execute_batch("BEGIN IMMEDIATE").unwrap();
    write(&mut bench, &mut session, "brige");
    until(&mut bench, &mut session, |s| s.unkept().is_some());
    drop(held);
    apply(&mut bench, &mut session, DictationIntent::SaveAgain);
    until(&mut bench, &mut session, |s| s.unkept().is_none());
    settle(&mut bench, &mut session);
    assert_eq!(rows(&bench)[0].first(), "brige");
}

/// The words that show where a child stands: paused after a few, gone on with another day, until nothing more would be learned.
#[test]
fn a_set_is_asked_word_by_word_paused_and_gone_on_with_until_it_is_settled() {
    let (mut first, mut session) = (bench("set", true), DictationSession::default());
    apply(&mut first, &mut session, DictationIntent::Stand(0));
    let asked = |s: &DictationSession| s.dictation().unwrap().asked().len();
    let most = session.dictation().unwrap().set().unwrap().most;
    assert_eq!(asked(&session), 1);
    assert!(session.dictation().unwrap().to_come() < most);
    // Undone and written otherwise: the row of the word that was chosen before is gone.
    for text in ["zz", "zz"] {
        write(&mut first, &mut session, text);
    }
    for _ in 0..2 {
        apply(&mut first, &mut session, DictationIntent::Undo);
    }
    settle(&mut first, &mut session);
    assert!(rows(&first).is_empty(), "{:?}", rows(&first));
    for _ in 0..6 {
        let right = session.dictation().unwrap().word().unwrap().word.clone();
        write(&mut first, &mut session, &right);
    }
    apply(&mut first, &mut session, DictationIntent::Pause);
    settle(&mut first, &mut session);
    drop((session, first));

    let (mut again, mut session) = (bench("set", false), DictationSession::default());
    until(&mut again, &mut session, |s| s.draft().is_some());
    let left = session.draft().unwrap();
    assert!(left.chosen_on_the_way() && left.place().0 == 6 && left.place().1 <= most);
    apply(&mut again, &mut session, DictationIntent::Resume);
    assert_eq!(asked(&session), 7);
    while !session.dictation().unwrap().done() {
        write(&mut again, &mut session, "zz");
    }
    let dictation = session.dictation().unwrap();
    let mut all: Vec<String> = dictation.asked().iter().map(|a| a.word.clone()).collect();
    assert!(dictation.settled() && all.len() < most, "{} of {most}", all.len());
    settle(&mut again, &mut session);
    let mut kept: Vec<String> = rows(&again).into_iter().map(|row| row.word).collect();
    kept.sort();
    all.sort();
    assert_eq!(kept, all, "a row for each word, none twice");
}

/// Where the way is chosen, the sentence says the word so, whatever the seed; without a sentence the way is kept by itself.
#[test]
fn a_word_is_dictated_in_the_way_that_was_chosen() {
    for seed in 0..20 {
        let words = with_sentences(
            &["read:R-EH-D".into(), "read:R-IY-D".into(), "closer:K-L-OW-Z-ER".into()],
            seed,
        );
        let told: Vec<_> = words.iter().map(|w| (w.word.as_str(), w.cue().unwrap_or(""))).collect();
        assert_eq!(told[0], ("read", "yesterday: she read it"));
        assert_eq!(told[1], ("read", "to read now, or every day"));
        assert_eq!(told[2], ("closer", "one who shuts"));
        let second = |at: usize| {
            let text = words[at].sentence.as_deref().expect("a sentence");
            let aloud = soundbead_data::sentence::aloud::aloud(text, None, &soundbead_data::word::Overrides::default())
                .unwrap();
            let read = aloud.into_iter().find(|w| w.spelling == "read").expect("the word");
            read.said.sounds()[1] == soundbead_data::Sound::EH
        };
        assert!(second(0) && !second(1), "{words:?}");
        assert_eq!(words[2].sentence, None, "nobody wrote one");
    }
}

/// Whatever is pressed, what stands as a first try is in the notebook, and no first try ever changes.
#[test]
fn a_monkey_changes_no_first_try() {
    let (mut bench, mut session) = (bench("monkey", true), DictationSession::default());
    let words = with_sentences(&["bridge".to_owned(), "duck".to_owned()], 0);
    assert!(words.iter().all(|asked| asked.sentence.is_some()));
    apply(&mut bench, &mut session, DictationIntent::Start(words));
    // Numbers that look drawn by chance (xorshift with the shifts 13, 7, 17: Marsaglia 2003).
    let mut dice = 0x5eed_b3ad_u64;
    let mut firsts: Vec<Option<String>> = vec![None; 2];
    for step in 0..20_000_u32 {
        dice ^= dice << 13;
        dice ^= dice >> 7;
        dice ^= dice << 17;
        let undo = dice.is_multiple_of(11);
        let intent = match dice % 11 {
            // Each is made on a thread of its own: one in twenty is enough of them.
            0 if step.is_multiple_of(20) => DictationIntent::HearSentence,
            1 if step.is_multiple_of(20) => DictationIntent::HearPlanned("It is 12 or so.".into()),
            2 if step.is_multiple_of(20) => DictationIntent::Hear,
            0 => DictationIntent::Undo,
            1 => DictationIntent::Help,
            2 | 3 => DictationIntent::Back,
            4 => DictationIntent::Skip,
            5 => DictationIntent::GrownUp(true),
            6 | 7 => DictationIntent::Enter,
            8 if step.is_multiple_of(50) => DictationIntent::Stop,
            _ => DictationIntent::Write(["brig", "duk", " ", "bridge", "d"][(dice / 11 % 5) as usize].into()),
        };
        apply(&mut bench, &mut session, intent);
        let answers = session.dictation().unwrap().answers();
        for (first, answer) in firsts.iter_mut().zip(answers) {
            let now = answer.first().map(str::to_owned);
            assert!(
                undo || first.is_none() || *first == now,
                "a first try changed from {first:?} to {now:?}"
            );
            *first = now;
        }
    }
    settle(&mut bench, &mut session);
    let kept: Vec<String> = rows(&bench).iter().map(|row| row.first().to_owned()).collect();
    let shown: Vec<String> = firsts.into_iter().flatten().collect();
    assert_eq!(kept, shown);
}
