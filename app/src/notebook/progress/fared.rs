//! How a sound fared since a day: by its place in the word, with help before it or without, with its words, as far as people or the
//! program could tell.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rusqlite::Connection;
use serde::Serialize;
use soundbead_data::Sound;
use soundbead_data::share::Share;
use soundbead_dsp::judgement::Verdict;

use super::super::attempt::{Attempt, COLUMNS, FROM};
use super::super::note::{Cued, WhereInWord};
use super::super::{Result, time};
use super::told;

/// A sound at one place of words, said with help or without, since a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SoundFared {
    /// Where in the word.
    pub place: WhereInWord,
    /// Whether help came before the word was said; none where nobody knows.
    pub cued: Option<Cued>,
    /// How often it was said as itself, of the tries where that could be told.
    pub said: Share,
    /// The same for each word, by the alphabet.
    pub words: Vec<(String, Share)>,
    /// Words whose recordings were judged, by a person or the program, without its being told how the sound was said; how often.
    pub untold: Vec<(String, u64)>,
    /// Words that nobody has judged yet: there is no recording, or nobody has listened; how often.
    pub unjudged: Vec<(String, u64)>,
}

/// What became of the tries at one place, by word.
#[derive(Default)]
struct WordsFared {
    told: BTreeMap<String, Share>,
    untold: BTreeMap<String, u64>,
    unjudged: BTreeMap<String, u64>,
}

/// What became of the tries, by place in the word and by whether help came before.
type Places = BTreeMap<(WhereInWord, Option<Cued>), WordsFared>;

impl WordsFared {
    fn put(&mut self, attempt: &Attempt, said: Option<bool>) {
        let judged = attempt.verdict.is_some() || !attempt.edits.rulings.is_empty();
        let word = attempt.word.clone();
        match said {
            Some(right) => {
                let share = self.told.entry(word).or_default();
                share.of += 1;
                share.hits += u64::from(right);
            }
            None if judged => *self.untold.entry(word).or_default() += 1,
            None => *self.unjudged.entry(word).or_default() += 1,
        }
    }
}

/// Whether the sound at this place was said as itself; none where nobody could tell. A person who tells the sounds goes before one
/// who rules on the whole word, and that before the program, whose "same" alone says something of each sound.
fn said(attempt: &Attempt, at: usize) -> Option<bool> {
    let told = attempt.edits.rulings.iter().filter(|r| !r.sounds.is_empty());
    let each: Vec<bool> = told
        .map(|r| {
            let pairs = told::aligned(&attempt.sounds, &r.sounds);
            let own = pairs.iter().filter(|(expected, _)| expected.is_some()).nth(at);
            own.is_some_and(|(expected, heard)| expected == heard)
        })
        .collect();
    if let Some(first) = each.first() {
        // Where two people tell it otherwise, nobody knows.
        return each.iter().all(|one| one == first).then_some(*first);
    }
    let known = |v: Option<Verdict>| v.filter(|v| *v != Verdict::Unsure);
    match known(attempt.edits.ruled()).or(known(attempt.verdict)) {
        Some(Verdict::Same) => Some(true),
        _ => None,
    }
}

/// A learner's tries at words with a sound since each of these days, in their order; places without any are left out.
///
/// The attempts are read once, the latest first, and what was met so far is told at each day: a child has a sound's notes of years.
///
/// # Errors
/// When the database cannot be read.
pub fn fared(db: &Connection, learner: i64, sound: Sound, since: &[Date]) -> Result<Vec<Vec<SoundFared>>> {
    let mut latest_first: Vec<usize> = (0..since.len()).collect();
    latest_first.sort_by_key(|&n| std::cmp::Reverse(since[n]));
    let Some(&earliest) = latest_first.last() else {
        return Ok(Vec::new());
    };
    let mut query = db.prepare(&format!(
        "SELECT {COLUMNS} FROM {FROM} WHERE a.learner = ? AND a.undone = 0 AND a.day >= ?
             AND a.item IN (SELECT item FROM item_sound WHERE sound = ?) ORDER BY a.day DESC"
    ))?;
    let mut rows = query.query([learner, time::day_number(since[earliest]), sound.index() as i64])?;
    let mut places = Places::new();
    let mut each = vec![Vec::new(); since.len()];
    let mut days = latest_first.into_iter().peekable();
    while let Some(row) = rows.next()? {
        // What cannot be read is left out: lists say so.
        let Ok(attempt) = Attempt::read(row) else { continue };
        while let Some(n) = days.next_if(|&n| since[n] > attempt.day) {
            each[n] = by_place(&places);
        }
        let own = attempt.sounds.iter().enumerate().filter(|(_, s)| **s == sound);
        for (at, _) in own {
            let place = (WhereInWord::of(&attempt.sounds, at), attempt.edits.cued);
            places.entry(place).or_default().put(&attempt, said(&attempt, at));
        }
    }
    for n in days {
        each[n] = by_place(&places);
    }
    Ok(each)
}

/// What became of the tries so far, without help first: that is what shows that the sound holds.
fn by_place(places: &Places) -> Vec<SoundFared> {
    let made = |(&(place, cued), words): (&(WhereInWord, Option<Cued>), &WordsFared)| {
        let sum = words.told.values().fold(Share::default(), |sum, s| Share {
            hits: sum.hits + s.hits,
            of: sum.of + s.of,
        });
        SoundFared {
            place,
            cued,
            said: sum,
            words: words.told.iter().map(|(word, share)| (word.clone(), *share)).collect(),
            untold: words.untold.iter().map(|(word, n)| (word.clone(), *n)).collect(),
            unjudged: words.unjudged.iter().map(|(word, n)| (word.clone(), *n)).collect(),
        }
    };
    let mut all: Vec<SoundFared> = places.iter().map(made).collect();
    all.sort_by_key(|f| {
        (
            f.place,
            f.cued.map_or(Cued::ALL.len(), |c| usize::from(c == Cued::Cued)),
        )
    });
    all
}
