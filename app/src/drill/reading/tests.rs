use super::*;
use crate::drill::session::Bench;
use crate::notebook::{Help, NewWriting, WritingSource};
use soundbead_data::Rules;

const WORDS: [&str; 9] = ["cat", "ship", "duck", "fan", "goat", "lamb", "mud", "shell", "thumb"];

/// A bench with a learner who has written these words.
fn bench(name: &str, words: &[&str]) -> Bench {
    let folder = std::env::temp_dir().join(format!("soundbead-reading-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    let mut bench = Bench::over(&folder);
    let juno = bench.notebook.ask(|n| n.add_learner("Juno", &Rules::default()));
    let juno = juno.wait().unwrap();
    let id = juno.id;
    let written: Vec<NewWriting> = words
        .iter()
        .map(|word| NewWriting {
            session: None,
            word: (*word).into(),
            tries: vec![(*word).into()],
            source: WritingSource::Dictation,
            help: Help::None,
            day: Zoned::now().date(),
        })
        .collect();
    bench
        .notebook
        .ask(move |n| n.keep_writings(id, &written))
        .wait()
        .unwrap();
    bench.learner = Some(juno.into());
    bench
}

fn apply(bench: &mut Bench, reading: &mut ReadingSession, intent: ReadingIntent) {
    bench.lend(|_, at| reading.apply(at, intent));
}

fn opened(bench: &mut Bench) -> ReadingSession {
    let mut reading = ReadingSession::default();
    apply(bench, &mut reading, ReadingIntent::Open);
    until(&mut reading, |r| r.step() != ReadingStep::Fetching);
    reading
}

/// Polls at one moment, so that no time passes, until `done`.
fn until(reading: &mut ReadingSession, done: impl Fn(&ReadingSession) -> bool) {
    for _ in 0..60_000 {
        reading.poll(0.0, true);
        if done(reading) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    panic!("waited in vain");
}

#[test]
fn a_word_to_be_read_again_comes_again_and_its_first_reading_stays() {
    let mut bench = bench("again", &WORDS);
    let mut reading = opened(&mut bench);
    assert_eq!((reading.step(), reading.words()), (ReadingStep::Ready, 9));
    assert_eq!(reading.word(), None, "nothing is shown before it begins");
    apply(&mut bench, &mut reading, ReadingIntent::Start);
    let first = reading.word().unwrap().to_owned();
    apply(&mut bench, &mut reading, ReadingIntent::Again);
    for _ in 0..AGAIN_AFTER {
        assert_ne!(reading.word(), Some(first.as_str()));
        apply(&mut bench, &mut reading, ReadingIntent::Read);
    }
    assert_eq!(reading.word(), Some(first.as_str()));
    apply(&mut bench, &mut reading, ReadingIntent::Read);
    assert_eq!(reading.again(), [first.as_str()]);
    let at_once = reading.read().iter().filter(|r| r.at_once()).count();
    assert_eq!(at_once, 3, "a second look is not counted");
    apply(&mut bench, &mut reading, ReadingIntent::Undo);
    assert_eq!(reading.word(), Some(first.as_str()));
    assert_eq!(reading.read().len(), 4);
    // All words go round, and none follows itself.
    for _ in 0..40 {
        let before = reading.word().unwrap().to_owned();
        apply(&mut bench, &mut reading, ReadingIntent::Read);
        assert_ne!(reading.word(), Some(before.as_str()));
    }
}

#[test]
fn time_that_is_not_looked_at_does_not_count_and_the_last_word_may_be_read() {
    let mut bench = bench("time", &WORDS);
    let mut reading = opened(&mut bench);
    apply(&mut bench, &mut reading, ReadingIntent::Start);
    assert!(reading.poll(1_000.0, true));
    reading.poll(1_040.0, true);
    assert!((reading.share() - 40.0 / 60.0).abs() < 1e-4);
    assert!(!reading.poll(1_100.0, false), "another view is looked at");
    reading.poll(1_200.0, true);
    reading.poll(1_219.0, true);
    assert_eq!(reading.step(), ReadingStep::Reading);
    apply(&mut bench, &mut reading, ReadingIntent::Read);
    reading.poll(1_221.0, true);
    assert_eq!(reading.step(), ReadingStep::LastWord);
    assert!(reading.word().is_some());
    apply(&mut bench, &mut reading, ReadingIntent::Read);
    assert_eq!((reading.step(), reading.word()), (ReadingStep::Done, None));
    assert_eq!(reading.told(), "2 words today.");
}

#[test]
fn a_whole_minute_is_kept_as_a_note_and_told_beside_the_next() {
    let mut bench = bench("kept", &WORDS);
    let juno = bench.learner.as_ref().unwrap().id;
    let mut reading = opened(&mut bench);
    // Broken off, it is no minute, and nothing of it is kept.
    apply(&mut bench, &mut reading, ReadingIntent::Start);
    apply(&mut bench, &mut reading, ReadingIntent::Read);
    apply(&mut bench, &mut reading, ReadingIntent::Stop);
    assert_eq!(reading.step(), ReadingStep::Stopped);
    for words in [3, 5] {
        apply(&mut bench, &mut reading, ReadingIntent::Start);
        (1..words).for_each(|_| apply(&mut bench, &mut reading, ReadingIntent::Read));
        reading.poll(0.0, true);
        reading.poll(MINUTE_S, true);
        apply(&mut bench, &mut reading, ReadingIntent::Read);
        until(&mut reading, |r| r.keeping.is_none());
        assert_eq!(reading.news().len(), 1);
    }
    assert_eq!(reading.told(), "5 words today, 3 earlier today.");
    let notes = bench.notebook.ask(move |n| n.notes(juno)).wait().unwrap();
    assert_eq!(notes.len(), 2);
    assert!(
        notes
            .iter()
            .all(|n| n.body.text.starts_with("A minute of quick reading: "))
    );
    let mut again = opened(&mut bench);
    apply(&mut bench, &mut again, ReadingIntent::Start);
    // Two minutes may have been kept in one millisecond: then either may come first.
    let told = again.told();
    assert!(
        ["5 earlier today, 3", "3 earlier today, 5"]
            .iter()
            .any(|e| told == format!("0 words today, {e} earlier today.")),
        "{told}"
    );
}

#[test]
fn with_too_few_words_it_does_not_begin() {
    let mut bench = bench("few", &WORDS[..LEAST_WORDS - 1]);
    let mut reading = opened(&mut bench);
    assert_eq!(reading.step(), ReadingStep::TooFew);
    apply(&mut bench, &mut reading, ReadingIntent::Start);
    assert_eq!((reading.step(), reading.word()), (ReadingStep::TooFew, None));
    bench.learner = None;
    assert_eq!(opened(&mut bench).step(), ReadingStep::TooFew);
}
