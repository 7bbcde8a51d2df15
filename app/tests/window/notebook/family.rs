//! A notebook of the invented Quillfeathers (see recordings-demo/README.md): Juno's lessons from September to November
//! 2026. At first she takes many clusters as one sound, later few. The recordings are the made ones; no person speaks.

use std::path::Path;

use jiff::ToSpan;
use jiff::civil::{Date, date};
use soundbead::notebook::{
    Author, Content, Id, MODEL, Moment, NewAttempt, NewNote, NewSession, NoteBody, NoteSubject, Notebook, Ruling,
    VowelMeasure,
};
use soundbead_data::{Rules, Sound, lexicon};
use soundbead_dsp::audio::{self, Recording};
use soundbead_dsp::ear::Ear;
use soundbead_dsp::judgement::{Judgement, Speaking, Target, Verdict};

/// Words of the lessons that have no recording.
const WORDS: &str = "pig peg hat man sun top bed lip fan cup ship chin thin duck bell boat feet cake time nose stop flag \
    crab hand nest lamp frog drum belt stamp";
/// Words that were recorded, and where.
const RECORDED: [(&str, &str); 8] = [
    ("goat", "01-goat.wav"),
    ("milk", "03-milk.wav"),
    ("splash", "04-splash.wav"),
    ("spoon", "16-spoon.wav"),
    ("crust", "17-crust.wav"),
    ("leaf", "14-leaf.wav"),
    ("ring", "23-ring.wav"),
    ("bell", "21-bell.wav"),
];

/// A recording with what the ear found in it.
struct Said {
    word: &'static str,
    sounds: Vec<Sound>,
    recording: Recording,
    judgement: Judgement,
}

pub fn sounds(word: &str) -> Vec<Sound> {
    lexicon::look_up(word)
        .unwrap()
        .variants()
        .next()
        .unwrap()
        .sounds()
        .to_vec()
}

fn said(ear: &mut Ear, word: &'static str, file: &str) -> Said {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../recordings-demo")
        .join(file);
    let recording = audio::decode(&demo).unwrap();
    let sounds = sounds(word);
    let target = Target {
        variants: vec![sounds.clone()],
        letters: vec![],
    };
    let judged = ear.judge(&recording, Some(&target), Speaking::Whole, &Rules::default());
    Said {
        word,
        sounds,
        judgement: judged.unwrap(),
        recording,
    }
}

/// Three in the afternoon of a day, UTC, and some minutes.
pub fn at(day: Date, minutes: i64) -> Moment {
    let noon = day.at(15, 0, 0, 0).in_tz("UTC").unwrap();
    Moment(noon.timestamp().as_millisecond() + minutes * 60_000)
}

/// Consonants side by side, at the start or the end.
fn clusters(sounds: &[Sound]) -> usize {
    let pairs = sounds.windows(2).filter(|p| !p[0].is_vowel() && !p[1].is_vowel());
    pairs.count()
}

/// Fills a notebook in this folder; gives Juno's id.
pub fn fill(folder: &Path) -> Id {
    let mut notebook = Notebook::open_in(folder).unwrap();
    let juno = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    notebook.add_learner("Alby", &Rules::default()).unwrap();
    let mut ear = Ear::new().unwrap();
    let recorded: Vec<Said> = RECORDED.iter().map(|(word, file)| said(&mut ear, word, file)).collect();
    let (first, mut turn) = (date(2026, 9, 3), 0usize);
    for lesson in 0..24i32 {
        let day = first.checked_add((i64::from(lesson) * 7 / 2).days()).unwrap();
        let began = Some((at(day, 0), day));
        let plan = "Clusters and their neighbours".to_owned();
        let session = notebook.begin_session(juno, &NewSession { plan, began }).unwrap().id;
        // Of ten clusters, so many are taken as one sound.
        let slips = (8 - lesson / 3).max(1) as usize;
        for minute in 0..9 {
            turn += 1;
            let word = WORDS.split_whitespace().nth(turn * 7 % 30).unwrap();
            let sounds = sounds(word);
            let new = NewAttempt {
                child: Some(counted(&sounds, turn, slips)),
                at: Some((at(day, minute), day)),
                word,
                sounds: &sounds,
                ..NewAttempt::default()
            };
            notebook.record(session, &new).unwrap();
        }
        for (i, s) in recorded
            .iter()
            .enumerate()
            .filter(|(i, _)| i % 3 == lesson as usize % 3)
        {
            turn += 1;
            keep(
                &mut notebook,
                session,
                s,
                (day, 10 + i as i64),
                counted(&s.sounds, turn, slips),
                turn,
            );
        }
        notebook.end_session(session).unwrap();
        vowels(&mut notebook, juno, day, lesson);
    }
    notes(&mut notebook, juno);
    juno
}

fn counted(sounds: &[Sound], turn: usize, slips: usize) -> u16 {
    let taken = if turn * 3 % 10 < slips { clusters(sounds) } else { 0 };
    (sounds.len() - taken) as u16
}

fn keep(notebook: &mut Notebook, session: Id, s: &Said, (day, minute): (Date, i64), child: u16, turn: usize) {
    let new = NewAttempt {
        word: s.word,
        sounds: &s.sounds,
        child: Some(child),
        judgement: Some(&s.judgement),
        model: MODEL,
        clip: Some(&s.recording.clip),
        at: Some((at(day, minute), day)),
        ..NewAttempt::default()
    };
    let kept = notebook.record(session, &new).unwrap();
    if turn.is_multiple_of(4) {
        let changed = s.word == "ring";
        let ruling =
            Ruling::new(if changed { Verdict::Changed } else { Verdict::Same }, Author::Parent).telling(if changed {
                vec![Sound::W, Sound::IH, Sound::NG]
            } else {
                Vec::new()
            });
        notebook.rule(kept.id, ruling).unwrap();
    }
}

fn vowels(notebook: &mut Notebook, juno: Id, day: Date, lesson: i32) {
    // Made-up measurements about the group means of children (Hillenbrand and others 1995), drifting a little.
    for (vowel, f1, f2) in [
        (Sound::IY, 452.0, 3_081.0),
        (Sound::AE, 717.0, 2_501.0),
        (Sound::AA, 1_002.0, 1_688.0),
        (Sound::UW, 494.0, 1_345.0),
    ] {
        let drift = 1.0 + f64::from(12 - lesson) * 0.006;
        let measure = VowelMeasure {
            id: juno,
            at: at(day, 40),
            day,
            vowel,
            word: None,
            f0: Some(240.0),
            f1: f1 * drift,
            f2: f2 / drift,
            f3: None,
            recording: None::<Content>,
        };
        notebook.keep_vowel(juno, &measure).unwrap();
    }
}

fn notes(notebook: &mut Notebook, juno: Id) {
    let say = |text: &str| NoteBody {
        text: text.into(),
        ..NoteBody::default()
    };
    for (on, author, text) in [
        (
            NoteSubject::Sound(Sound::TH),
            Author::Parent,
            "The tongue tip came between the teeth after one model.",
        ),
        (
            NoteSubject::Word("ring".into()),
            Author::Consultant,
            "The lips made a ring at the start; the tongue stayed low.",
        ),
        (
            NoteSubject::Learner,
            Author::Parent,
            "Says the sounds under her breath before she pushes the counters.",
        ),
    ] {
        let body = say(text);
        notebook.add_note(juno, &NewNote { on, author, body }).unwrap();
    }
}
