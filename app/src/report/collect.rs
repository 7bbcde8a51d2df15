//! Filling a report from the notebook.

mod spelling;

use std::collections::{BTreeMap, BTreeSet};

use jiff::Zoned;
use jiff::civil::Date;
use soundbead_data::chain::{Graph, Range, Unit};
use soundbead_data::{Sound, inventory};
use soundbead_dsp::formant::VoiceKind;

use super::data::{
    DaysTold, Habit, HeardFor, NextStep, ReportData, ShareTable, ShownShare, TrendStretch, Verdicts, VowelSpot,
    WordsThenNow, WritingData, WrittenNote,
};
use super::plots;
use crate::ask::desk::why;
use crate::ask::writing::ReadWritings;
use crate::notebook::progress::{
    self, Agreement, Claim, Pattern, Practice, Progress, TrendPeriod, TrendPoint, WordCourse, WordStanding,
};
use crate::notebook::{
    Attempt, Filter, Goal, HeldLesson, Id, Learner, ListRange, Note, NoteBody, NoteSubject, Notebook, NotebookError,
    Writing, WritingFilter, is_imported,
};
use crate::say::many;
use crate::{store, wording};

/// Fewest attempts of a sound or cluster for a row of its own.
const LEAST: u64 = 5;
/// Most rows of a table: as many as stand beside another table on half a page.
const MOST_ROWS: usize = 10;
/// Weeks up to which a trend goes by weeks; a longer one goes by months.
const WEEKS: usize = 16;

/// What the report says: the learner's attempts, notes and vowels from a day to a day. An open end reaches to the first
/// or the last of them all, so that a note written after the last lesson is in it.
///
/// # Errors
/// When there is no such learner, or nothing was said and nothing noted in that time.
pub fn collect(
    notebook: &Notebook,
    learner: Id,
    from: Option<Date>,
    to: Option<Date>,
) -> Result<ReportData, NotebookError> {
    let who = notebook.learner(learner)?;
    let who = who.ok_or_else(|| refused("this learner is not in the notebook"))?;
    let span = progress::DaySpan { from, to };
    let days = notebook.trend(learner, span, TrendPeriod::Day)?;
    let inside = |day: Date| from.is_none_or(|from| from <= day) && to.is_none_or(|to| day <= to);
    let mut notes = notes(notebook, &who, inside)?;
    let rows = written(notebook, learner, span)?;
    let (first, last) = edges(&days, &notes, &rows)
        .ok_or_else(|| refused("nothing was said or written in that time, so there is nothing to report"))?;
    let (begins, ends) = (from.unwrap_or(first), to.unwrap_or(last));
    let writing = writing(notebook, &rows)?;
    let latest = rows.first().map_or(ends, |row| row.day);
    let (progress, next) = progress_and_next(notebook, &who, span, (writing.as_ref(), latest))?;
    let writing = writing.map(|(data, _)| data);
    let lessons = notebook.lessons(learner, from, to)?;
    Ok(ReportData {
        learner: who.name.clone(),
        family: who.family.clone(),
        from: begins,
        to: ends,
        made: Zoned::now().date(),
        by_other_rules: number(progress.by_other_rules(&who.rules)),
        models: notebook.models(learner, span)?,
        by: None,
        lessons: held(&lessons),
        old: taken_in(&lessons),
        plans: plans(&lessons),
        went: went(&lessons),
        attempts: number(progress.attempts),
        words: progress.words,
        counted: share(progress.sums.child.share()),
        unsettled: number(progress.sums.unsettled),
        verdicts: verdicts(&progress),
        trend: trend(&days, ends),
        groups: groups(&progress),
        patterns: habits(notebook, learner, span, &progress)?,
        sounds: sounds(&progress),
        standing: standing(&notebook.word_courses(learner, span)?),
        tried: tried(&notebook.again(learner, span)?),
        said: said(notebook, learner, span)?,
        heard: heard(notebook, learner, span)?,
        voice: VoiceKind::Child,
        vowels: vowels(notebook, learner, inside)?,
        ruled_apart: ruled_apart(notebook, learner, span)?,
        writing,
        writing_alone: false,
        records_left_out: leave_records_out(&mut notes),
        notes,
        beside: notebook.done_beside(learner, from, to)?,
        goals: goals(notebook, learner, ends)?,
        next,
        rules: who.rules,
    })
}

fn refused(line: &str) -> NotebookError {
    NotebookError::Refused(line.to_owned())
}

/// The first and the last day of which there is something to tell; none where there is nothing.
fn edges(days: &[TrendPoint], notes: &[WrittenNote], rows: &[Writing]) -> Option<(Date, Date)> {
    let told = || {
        let said = days.iter().map(|d| d.begins).chain(notes.iter().map(|n| n.day));
        said.chain(rows.iter().map(|w| w.day))
    };
    told().min().zip(told().max())
}

/// What the attempts add up to, and what to practice next.
fn progress_and_next(
    notebook: &Notebook,
    who: &Learner,
    span: progress::DaySpan,
    (writing, latest): (Option<&(WritingData, ReadWritings)>, Date),
) -> Result<(Progress, Vec<NextStep>), NotebookError> {
    // Words one sound apart, and a lesson on a spelling, take as long to find as all the rest takes to add up.
    let rules = who.rules.clone();
    let spelling = match writing {
        Some((data, read)) => spelling::begun(notebook, who, (data, read), latest)?,
        None => None,
    };
    let list = store::word_list_in(notebook.folder(), Range::Common)
        .map_err(|e| NotebookError::Refused(e.into_line("the word list cannot be made")))?;
    let graph = std::thread::spawn(move || Graph::new(&list, &rules));
    let progress = notebook.progress(who.id, span)?;
    let graph = graph
        .join()
        .map_err(|_| NotebookError::Refused("the words could not be laid out".to_owned()))?;
    let mut counting = progress::practice(&progress, &graph);
    if counting.is_empty() {
        counting.extend(progress::to_try(&progress, &graph));
    }
    let next = counting.into_iter().map(next_step);
    let next = next.chain(spelling.and_then(spelling::ended)).collect();
    Ok((progress, next))
}

/// What the child wrote in a time, the latest first.
fn written(notebook: &Notebook, learner: Id, span: progress::DaySpan) -> Result<Vec<Writing>, NotebookError> {
    let filter = WritingFilter {
        from: span.from,
        to: span.to,
        ..WritingFilter::default()
    };
    let every = ListRange {
        skip: 0,
        take: u64::MAX,
    };
    notebook.writings(learner, &filter, every)
}

/// What it adds up to, and what was read; none where no first try without help can be read.
fn writing(notebook: &Notebook, rows: &[Writing]) -> Result<Option<(WritingData, ReadWritings)>, NotebookError> {
    let evidence = ReadWritings::of(rows, &notebook.overrides()?);
    if evidence.read().is_empty() {
        return Ok(None);
    }
    let since = evidence.middle();
    let data = WritingData {
        tries: evidence.read().len(),
        words: evidence.words(),
        right: evidence.right(),
        since,
        // Where there is one day alone, all of it is now.
        choices: evidence.then_and_now(since.unwrap_or(Date::MIN)),
        matrix: evidence.matrix(),
        examples: evidence.examples(),
        missed: evidence.missed(since.unwrap_or(Date::MIN)),
    };
    Ok(Some((data, evidence)))
}

/// Who ruled what where two people differ, and what the program found.
fn ruled_apart(notebook: &Notebook, learner: Id, span: progress::DaySpan) -> Result<Vec<String>, NotebookError> {
    let mut all = notebook.ruled_apart(learner, span.from, span.to)?;
    all.reverse();
    Ok(all.iter().map(in_a_line).collect())
}

fn in_a_line(a: &Attempt) -> String {
    let each = a.edits.rulings.iter().map(|r| (r.by.to_string(), r.verdict));
    let program = a.verdict.map(|v| ("program".to_owned(), v));
    let each = each
        .chain(program)
        .map(|(who, v)| format!("{who}: {}", wording::verdict(v).short));
    let each: Vec<String> = each.collect();
    format!("{}, {}: {}", a.word, a.day.strftime("%-d %B %Y"), each.join("; "))
}

fn number(n: u64) -> usize {
    usize::try_from(n).unwrap_or(usize::MAX)
}

fn share(share: progress::Share) -> ShownShare {
    let (low, high) = share.interval();
    ShownShare {
        right: number(share.hits),
        of: number(share.of),
        low,
        high,
    }
}

fn verdicts(progress: &Progress) -> Verdicts {
    let [same, fewer, more, changed, unsure] = progress.sums.verdicts.map(number);
    Verdicts {
        same,
        fewer,
        more,
        changed,
        unsure,
        ruled: number(progress.sums.ruled),
        ruled_otherwise: number(progress.sums.disagreed),
    }
}

fn trend(days: &[TrendPoint], to: Date) -> Vec<TrendStretch> {
    let mut points = progress::gathered(days, TrendPeriod::Week);
    if points.len() > WEEKS {
        points = progress::gathered(days, TrendPeriod::Month);
    }
    points.retain(|p| p.child.total() > 0);
    // Each stretch ends the day before the next begins; the last one with the report.
    let ends: Vec<Date> = points
        .iter()
        .skip(1)
        .map(|p| p.begins.yesterday().unwrap_or(p.begins))
        .chain([to])
        .collect();
    let made = |(p, to): (TrendPoint, Date)| TrendStretch {
        from: p.begins,
        to,
        counted: share(p.child.share()),
    };
    points.into_iter().zip(ends).map(made).collect()
}

/// The days of lessons: sessions in which something was said or written.
fn held(lessons: &[HeldLesson]) -> DaysTold {
    DaysTold::of(lessons.iter().filter(|l| !is_imported(&l.plan)).map(|l| l.day))
}

/// The days of old recordings that were taken in.
fn taken_in(lessons: &[HeldLesson]) -> DaysTold {
    DaysTold::of(lessons.iter().filter(|l| is_imported(&l.plan)).map(|l| l.day))
}

/// Lessons of which somebody said how they went that are told at most: the latest.
const WENT: usize = 4;

/// How the latest lessons went, the earliest first.
fn went(lessons: &[HeldLesson]) -> Vec<(Date, String)> {
    let told = lessons.iter().filter_map(|l| Some((l.day, l.went.clone()?)));
    let all: Vec<(Date, String)> = told.collect();
    all[all.len().saturating_sub(WENT)..].to_vec()
}

/// Plans by title, the one first followed first, each with the days on which it was.
fn plans(lessons: &[HeldLesson]) -> Vec<(String, usize)> {
    let mut days: BTreeMap<&str, BTreeSet<Date>> = BTreeMap::new();
    for lesson in lessons.iter().filter(|l| !l.plan.is_empty() && !is_imported(&l.plan)) {
        days.entry(&lesson.plan).or_default().insert(lesson.day);
    }
    let mut all: Vec<(&str, BTreeSet<Date>)> = days.into_iter().collect();
    all.sort_by_key(|(_, days)| days.first().copied());
    all.into_iter()
        .map(|(plan, days)| (plan.to_owned(), days.len()))
        .collect()
}

fn standing(courses: &[WordCourse]) -> WordsThenNow {
    let names = |picked: &dyn Fn(&WordCourse) -> bool| -> Vec<String> {
        courses.iter().filter(|c| picked(c)).map(|c| c.word.clone()).collect()
    };
    let again = |c: &WordCourse| c.then_and_now();
    WordsThenNow {
        again: names(&again).len(),
        right_then: names(&|c| again(c) && c.right_first).len(),
        right_now: names(&|c| again(c) && c.right_last()).len(),
        gained: names(&|c| again(c) && !c.right_first && c.right_last()),
        lost: names(&|c| again(c) && c.right_first && !c.right_last()),
        holds: names(&|c| c.stands() == WordStanding::Holds),
        fragile: names(&|c| c.stands() == WordStanding::Fragile),
        so_far: names(&|c| c.stands() == WordStanding::SoFar),
        not_yet: names(&|c| c.stands() == WordStanding::NotYet),
    }
}

fn tried(again: &progress::CountedAgain) -> Vec<String> {
    let told = again.again + again.shown > 0;
    told.then(|| wording::again(again)).into_iter().collect()
}

fn next_step(practice: Practice) -> NextStep {
    NextStep {
        what: practice.what,
        why: practice.why,
        words: practice
            .words
            .into_iter()
            .map(|(word, count)| format!("{word} ({count})"))
            .collect(),
        chain: practice.chain,
    }
}

/// What stands out among the sounds; none where there was too little to look at.
fn sounds(progress: &Progress) -> Option<Vec<String>> {
    let told = |s: &progress::SoundRest| {
        format!(
            "Words with {}: {:.0} % counted right in the last two months, where {:.0} % would be expected of words as long and \
             with the same letters ({})",
            keyed(s.sound),
            100.0 * s.right,
            100.0 * s.expected,
            s.missed.join(", ")
        )
    };
    let out = progress.sounds.iter().filter(|s| s.stands_out);
    (!progress.sounds.is_empty()).then(|| out.map(told).collect())
}

/// A sound in IPA with its key word: `ʃ (ship)`.
fn keyed(unit: Unit) -> String {
    match plots::key(unit) {
        "" => plots::ipa(unit),
        word => format!("{} ({word})", plots::ipa(unit)),
    }
}

fn groups(progress: &Progress) -> Vec<ShareTable> {
    let sums = &progress.sums;
    let length = sums.by_length.iter().map(|(n, a)| (many(*n, "sound"), *a));
    let way = sums.by_way.iter().map(|w| (w.way.name().to_owned(), w.child));
    let clusters = sums.by_cluster.iter();
    let clusters = clusters.map(|c| (format!("{} {}, {}", in_ipa(&c.cluster), c.place, c.example), c.all));
    let sounds = sums.by_sound.iter().map(|row| (keyed(row.sound), row.all));
    let mut all = vec![
        table("Length of the word", length.collect()),
        table("Way of speaking", way.collect()),
        lowest("Clusters", clusters.collect()),
        lowest("Words with the sound", sounds.collect()),
    ];
    // One row compares nothing.
    all.retain(|g| g.rows.len() > 1);
    all
}

fn table(title: &str, rows: Vec<(String, Agreement)>) -> ShareTable {
    ShareTable {
        title: title.to_owned(),
        caption: String::new(),
        rows: rows.into_iter().map(|(name, a)| (name, share(a.share()))).collect(),
    }
}

/// Sounds in ARPAbet as IPA, as the report writes them.
fn in_ipa(names: &str) -> String {
    let units = names.split(' ').filter_map(|name| name.parse::<Unit>().ok());
    units.map(plots::ipa).collect()
}

/// The rows that are right least often, the least first: what a report has room for. Where some are left out, it says so.
fn lowest(title: &str, mut rows: Vec<(String, Agreement)>) -> ShareTable {
    rows.retain(|(_, a)| a.total() >= LEAST);
    rows.sort_by(|a, b| {
        let value = |a: &Agreement| a.share().value().unwrap_or(1.0);
        value(&a.1).total_cmp(&value(&b.1)).then_with(|| a.0.cmp(&b.0))
    });
    let all = rows.len();
    rows.truncate(MOST_ROWS);
    let caption = match all > rows.len() {
        true => format!(
            "{title}: the {} lowest of {all}, shown because they are low.",
            rows.len()
        ),
        false => format!("{title}: the lowest first."),
    };
    ShareTable {
        caption,
        ..table(title, rows)
    }
}

/// Latest miscounts that are looked through for examples.
const MISCOUNTS: u64 = 120;
/// Most examples of one habit, and most words that were heard otherwise.
const EXAMPLES: usize = 4;
const SAID: usize = 12;

/// The patterns that are worth a line, each with counts that showed it, the latest first.
fn habits(
    notebook: &Notebook,
    learner: Id,
    span: progress::DaySpan,
    progress: &Progress,
) -> Result<Vec<Habit>, NotebookError> {
    let mut habits: Vec<Habit> = progress.patterns.iter().filter_map(|p| habit(p, progress)).collect();
    let filter = Filter {
        miscounted: true,
        from: span.from,
        to: span.to,
        ..Filter::default()
    };
    let latest = ListRange {
        skip: 0,
        take: MISCOUNTS,
    };
    let missed = notebook.attempts(learner, &filter, latest)?;
    for habit in habits.iter_mut().filter(|h| h.past.is_none()) {
        let mut seen = BTreeSet::new();
        let own = missed
            .iter()
            .filter(|a| habit.words.contains(&a.word) && seen.insert(&a.word));
        habit.examples = own.take(EXAMPLES).filter_map(counted_as).collect();
    }
    Ok(habits)
}

/// `spoon counted 3 where there are 4 on 3 November`.
fn counted_as(a: &Attempt) -> Option<String> {
    let (child, said) = (a.edits.child?, a.said()?);
    Some(format!(
        "{} counted {child} where there are {said} on {}",
        a.word,
        a.day.strftime("%-d %B")
    ))
}

/// Words that a person heard said otherwise, the latest first, each once.
fn said(notebook: &Notebook, learner: Id, span: progress::DaySpan) -> Result<Vec<String>, NotebookError> {
    let heard = notebook.heard_otherwise(learner, span, SAID)?;
    let plain = |sounds: &[Sound]| {
        let each: Vec<&str> = sounds.iter().map(|s| inventory::of(*s).shown()).collect();
        each.join(", ")
    };
    let line = |h: progress::HeardOtherwise| {
        format!(
            "{} said as {} ({}, {})",
            h.word,
            plain(&h.sounds),
            h.by,
            h.day.strftime("%-d %B")
        )
    };
    Ok(heard.into_iter().map(line).collect())
}

/// A pattern that is worth a line: found, past, or too little to say but seen.
fn habit(p: &Pattern, progress: &Progress) -> Option<Habit> {
    let watched = p.claim == Claim::TooLittle && p.seen > 0;
    let told = p.claim == Claim::Found || p.before.is_some() || watched;
    let evidence = p.before.as_ref().map_or(&p.evidence, |b| &b.evidence);
    told.then(|| Habit {
        what: p.cause.to_string(),
        evidence: share(p.share),
        seen: (p.seen, p.words),
        words: evidence.iter().map(|(word, _)| word.clone()).collect(),
        examples: Vec::new(),
        enough: p.claim == Claim::Found,
        past: p
            .before
            .as_ref()
            .map(|b| wording::before(b, progress.seen_last(p.cause))),
    })
}

fn heard(notebook: &Notebook, learner: Id, span: progress::DaySpan) -> Result<Vec<HeardFor>, NotebookError> {
    let all = notebook.confusions(learner, span)?;
    let made = all.into_iter().filter_map(|c| {
        Some(HeardFor {
            expected: Unit::from(c.expected?),
            heard: c.heard.map(Unit::from),
            times: number(c.times),
        })
    });
    Ok(made.collect())
}

fn vowels(notebook: &Notebook, learner: Id, inside: impl Fn(Date) -> bool) -> Result<Vec<VowelSpot>, NotebookError> {
    let mut measures = notebook.vowels(learner)?;
    measures.retain(|v| inside(v.day));
    let spot = |m: progress::VowelMonth| VowelSpot {
        month: m.month,
        vowel: m.vowel,
        f1_hz: m.f1 as f32,
        f2_hz: m.f2 as f32,
        times: m.times,
    };
    Ok(progress::vowel_months(&measures).into_iter().map(spot).collect())
}

/// Goals that were set by the report's last day.
fn goals(notebook: &Notebook, learner: Id, ends: Date) -> Result<Vec<Goal>, NotebookError> {
    let mut goals = notebook.goals(learner)?;
    goals.retain(|goal| goal.day <= ends);
    Ok(goals)
}

fn notes(notebook: &Notebook, who: &Learner, inside: impl Fn(Date) -> bool) -> Result<Vec<WrittenNote>, NotebookError> {
    let mut notes = notebook.notes(who.id)?;
    notes.retain(|n| inside(n.day));
    notes.reverse();
    let fared = fared_since(notebook, who.id, &notes)?;
    let mut written = Vec::with_capacity(notes.len());
    for (note, fared) in notes.iter().zip(fared) {
        let on = match &note.on {
            NoteSubject::Attempt(id) => {
                let attempt = notebook.attempt(*id)?;
                let heard = attempt.as_ref().map_or(String::new(), |a| format!(" ({})", why(a)));
                format!("{}{heard}", wording::said_on(attempt.as_ref()))
            }
            other => wording::note_subject(other),
        };
        written.push(WrittenNote {
            day: note.day,
            by: note.author.name().to_owned(),
            on,
            text: in_lines(&note.body, &fared),
            record: note.is_record() && note.body.answers.is_empty() && !note.body.is_settled(),
        });
    }
    Ok(written)
}

/// How the sound of each note fared since; nothing for notes on other things and for those that are settled.
fn fared_since(
    notebook: &Notebook,
    learner: Id,
    notes: &[Note],
) -> Result<Vec<Vec<progress::SoundFared>>, NotebookError> {
    // A sound's notes are asked after together: each of them alone would read all attempts at the sound again.
    let mut open: BTreeMap<Sound, Vec<usize>> = BTreeMap::new();
    for (n, note) in notes.iter().enumerate() {
        if let (NoteSubject::Sound(sound), false) = (&note.on, note.body.is_settled()) {
            open.entry(*sound).or_default().push(n);
        }
    }
    let mut each = vec![Vec::new(); notes.len()];
    for (sound, own) in open {
        let days: Vec<Date> = own.iter().map(|&n| notes[n].day).collect();
        let fared = notebook.sound_fared_since_each(learner, sound, &days)?;
        for (n, fared) in own.into_iter().zip(fared) {
            each[n] = fared;
        }
    }
    Ok(each)
}

/// Notes of what was done (a sort, a reading minute) that are told at most: the latest. There may be some of each lesson, and what
/// people wrote would be lost among them.
const RECORDS: usize = 3;

/// Leaves out all but the latest notes of what was done, and gives their number.
fn leave_records_out(notes: &mut Vec<WrittenNote>) -> usize {
    let left_out = notes.iter().filter(|n| n.record).count().saturating_sub(RECORDS);
    let mut before = 0;
    notes.retain(|note| {
        before += usize::from(note.record);
        !note.record || before > left_out
    });
    left_out
}

/// What a note says, what was answered, what settled it, and how its sound fared since, a line each.
fn in_lines(body: &NoteBody, fared: &[progress::SoundFared]) -> String {
    let own = [body.in_a_line(), body.text.clone()];
    let own: Vec<&str> = own.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
    let mut lines = vec![crate::say::capital(&own.join(". "))];
    lines.extend(wording::after_note(body));
    lines.extend(fared.iter().map(|f| format!("Since then {}.", wording::fared(f))));
    lines.join("\n")
}
