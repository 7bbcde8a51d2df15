//! Ten years of attempts for the learners of a notebook, drawn by a fixed generator and written straight into its tables.

use std::path::Path;

use rusqlite::{Connection, params};
use soundbead_data::{Rules, Sound, lexicon};

const WORDS: usize = 3_000;
/// Days of ten years.
pub const DAYS: u64 = 3_650;

/// A generator that gives the same numbers on every machine (Knuth's constants for a 64 bit linear congruence).
struct Draw(u64);

impl Draw {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }
}

/// The most frequent words with their sounds.
fn words() -> Vec<(String, Vec<Sound>)> {
    let mut all: Vec<_> = lexicon::words().filter(|e| e.spelling().len() > 2).collect();
    all.sort_by(|a, b| b.zipf().total_cmp(&a.zipf()));
    let with_sounds = |e: lexicon::Entry| (e.spelling().to_owned(), e.variants().next().unwrap().sounds().to_vec());
    all.into_iter().take(WORDS).map(with_sounds).collect()
}

/// Fills a notebook that has `learners` children and nothing else: a lesson every `every` days for ten years, the last of them on
/// 29 December 2026, `turns` attempts a lesson.
pub fn fill(folder: &Path, learners: i64, every: u64, turns: u64) {
    let mut db = Connection::open(folder.join("notebook.db")).unwrap();
    let all = db.transaction().unwrap();
    let rules = Rules::default().to_string();
    all.execute("INSERT INTO rules (text) VALUES (?)", [rules]).unwrap();
    let words = words();
    items(&all, &words);
    let (mut draw, first) = (Draw(7), jiff::civil::date(2017, 1, 1));
    for day in (0..DAYS)
        .rev()
        .step_by(every as usize)
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
    {
        let date = first.checked_add(jiff::Span::new().days(day as i64)).unwrap();
        let number = i64::from(date.year()) * 10_000 + i64::from(date.month()) * 100 + i64::from(date.day());
        let at = date.in_tz("UTC").unwrap().timestamp().as_millisecond();
        for learner in 1..=learners {
            lesson(&all, &mut draw, &words, turns, (learner, number, at));
        }
    }
    all.commit().unwrap();
}

fn items(db: &Connection, words: &[(String, Vec<Sound>)]) {
    for (word, sounds) in words {
        let names: Vec<&str> = sounds.iter().map(|s| s.arpabet()).collect();
        let values = params![word, names.join(" ")];
        db.execute("INSERT INTO item (word, sounds) VALUES (?, ?)", values)
            .unwrap();
        let item = db.last_insert_rowid();
        for sound in sounds {
            let values = params![sound.index() as i64, item];
            db.execute("INSERT OR IGNORE INTO item_sound VALUES (?, ?)", values)
                .unwrap();
        }
    }
}

const SESSION: &str = "INSERT INTO session (id, learner, began, day, ended, plan, changed)
     VALUES (randomblob(16), ?1, ?2, ?3, ?2, '', ?2)";
const ATTEMPT: &str =
    "INSERT INTO attempt (id, learner, session, at, day, item, speaking, rules, model, expected, heard,
     verdict, sure, recording, child, ruling, edits, changed)
     VALUES (randomblob(16), ?1, ?2, ?3, ?4, ?5, ?6, 1, 'ear', ?7, ?7, ?8, 0.9, randomblob(32), ?9, ?10, ?11, ?3)";
const WRITING: &str = "INSERT INTO writing (id, learner, session, word, tries, source, help, day, kept_at, changed)
     VALUES (randomblob(16), ?1, ?2, ?3, ?4, 'dictation', 'none', ?5, ?6, ?6)";
const NOTE: &str = "INSERT INTO note (id, learner, kind, about, author, made, day, body, changed)
     VALUES (randomblob(16), ?1, 1, 'TH', 'parent', ?2, ?3, ?4, ?2)";
const GOAL: &str = "INSERT INTO goal (id, learner, author, made, day, body, changed)
     VALUES (randomblob(16), ?1, 'consultant', ?2, ?3, ?4, ?2)";
/// Lessons from one note to the next, and from one goal to the next.
const NOTED: i64 = 3;
const AIMED: i64 = 31;
/// Words that are written in a lesson.
const WRITTEN: i64 = 4;
/// A judgement of usual length, as it is kept.
const JUDGEMENT: &str = r#"{"format":1,"model":"0123456789ab","speaking":"whole","expected":4,
"expected_sounds":["S","P","UW","N"],"heard":4,"count_probabilities":[[3,0.0200341],[4,0.9500183],[5,0.0299476]],
"verdict":"same","fit":{"same":0.9300112,"fewer":0.0300421,"more":0.0299983,"changed":0.0099484},
"sounds":[{"sound":"S","start_s":0.31,"end_s":0.42,"evidence":0.9812345},{"sound":"P","start_s":0.42,"end_s":0.5,
"evidence":0.9912345},{"sound":"UW","start_s":0.5,"end_s":0.7,"evidence":0.9712345},{"sound":"N","start_s":0.7,
"end_s":0.81,"evidence":0.9012345}],"quality":{"level_dbfs":-22.112345,"snr_db":34.012345,"clipped":false,
"speech_s":0.5,"warnings":[]},"said":null}"#;

fn lesson(
    db: &Connection,
    draw: &mut Draw,
    words: &[(String, Vec<Sound>)],
    turns: u64,
    (learner, day, at): (i64, i64, i64),
) {
    db.execute(SESSION, params![learner, at, day]).unwrap();
    let session = db.last_insert_rowid();
    let mut insert = db.prepare(ATTEMPT).unwrap();
    let mut judged = db.prepare("INSERT INTO judgement VALUES (?, ?)").unwrap();
    for turn in 0..turns {
        let item = draw.below(words.len() as u64) as usize;
        let expected = words[item].1.len() as i64;
        let child = expected + [0, 0, 0, 0, 0, 0, 1, -1][draw.below(8) as usize];
        let verdict = [0, 0, 0, 4, 4, 4, 1, 2, 3][draw.below(9) as usize];
        let ruling = (draw.below(5) == 0).then(|| draw.below(5) as i64);
        let told = r#","rulings":[{"verdict":"changed","sounds":["S","AH","N"],"by":"parent","at":1}]"#;
        let told = if ruling == Some(3) { told } else { "" };
        let edits = format!(r#"{{"child":{child}{told}}}"#);
        let (moment, way) = (at + turn as i64 * 20_000, draw.below(3) as i64);
        let item = item as i64 + 1;
        let values = params![
            learner, session, moment, day, item, way, expected, verdict, child, ruling, edits
        ];
        insert.execute(values).unwrap();
        judged.execute(params![db.last_insert_rowid(), JUDGEMENT]).unwrap();
    }
    let mut write = db.prepare(WRITING).unwrap();
    for n in 0..WRITTEN {
        let word = &words[draw.below(words.len() as u64) as usize].0;
        // Every third word is written with a letter left out.
        let missed = (draw.below(3) == 0).then(|| draw.below(word.len() as u64) as usize);
        let letters = word.chars().enumerate().filter(|(at, _)| Some(*at) != missed);
        let tries = format!("[\"{}\"]", letters.map(|(_, c)| c).collect::<String>());
        let moment = at + n * 20_000;
        write
            .execute(params![learner, session, word, tries, day, moment])
            .unwrap();
    }
    beside(db, (learner, session, day, at));
}

/// The notes and goals of a practice: every third note has no answer, every second goal is settled.
fn beside(db: &Connection, (learner, session, day, at): (i64, i64, i64, i64)) {
    if session % NOTED == 0 {
        let answer = match session % (3 * NOTED) {
            0 => "",
            _ => r#","answers":[{"at":1,"by":"consultant","text":"With a mirror it comes right."}]"#,
        };
        let body =
            format!(r#"{{"text":"Lower lip to the upper teeth: th comes out as f.","position":"final"{answer}}}"#);
        db.execute(NOTE, params![learner, at, day, body]).unwrap();
    }
    if session % AIMED == 0 {
        let settled = match session % (2 * AIMED) {
            0 => r#","settled":{"at":1,"by":"consultant","evidence":"Nine of ten."}"#,
            _ => "",
        };
        let body = format!(r#"{{"about":{{"sound":"TH"}},"by":"2026-12-01","evidence":"9 of 10 words"{settled}}}"#);
        db.execute(GOAL, params![learner, at, day, body]).unwrap();
    }
}
