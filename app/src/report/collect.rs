//! Filling a report from the notebook.

use jiff::Zoned;
use jiff::civil::Date;
use soundbead_data::chain::{Graph, Range, Unit};
use soundbead_dsp::formant::VoiceKind;

use super::data::{
    Habit, HeardFor, ReportData, ShareTable, ShownShare, TrendStretch, Verdicts, VowelSpot, WritingData, WrittenNote,
};
use super::plots;
use crate::ask::writing::Evidence;
use crate::notebook::progress::{self, Agreement, Claim, Progress, Step, TrendPoint};
use crate::notebook::{Attempt, Id, Learner, Notebook, NotebookError, On, Page, Writing, WritingFilter};
use crate::say::many;
use crate::{store, wording};

/// Fewest attempts of a sound or cluster for a row of its own.
const LEAST: u64 = 5;
/// Most rows of a table.
const MOST_ROWS: usize = 12;
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
    let refused = |line: &str| NotebookError::Refused(line.to_owned());
    let who = notebook
        .learner(learner)?
        .ok_or_else(|| refused("this learner is not in the notebook"))?;
    let span = progress::Span { from, to };
    let days = notebook.trend(learner, span, Step::Day)?;
    let inside = |day: Date| from.is_none_or(|from| from <= day) && to.is_none_or(|to| day <= to);
    let notes = notes(notebook, &who, inside)?;
    let rows = written(notebook, learner, span)?;
    let told = || {
        let said = days.iter().map(|d| d.begins).chain(notes.iter().map(|n| n.day));
        said.chain(rows.iter().map(|w| w.day))
    };
    let (Some(first), Some(last)) = (told().min(), told().max()) else {
        return Err(refused(
            "nothing was said and nothing written in that time; a report needs attempts or writing to tell of",
        ));
    };
    let (begins, ends) = (from.unwrap_or(first), to.unwrap_or(last));
    // Words one sound apart take as long to lay out as all the rest takes to add up.
    let rules = who.rules.clone();
    let list = store::word_list_in(notebook.folder(), Range::Common)
        .map_err(|e| NotebookError::Refused(e.into_line("the word list cannot be made")))?;
    let graph = std::thread::spawn(move || Graph::new(&list, &rules));
    let progress = notebook.progress(learner, span)?;
    let graph = graph.join().map_err(|_| refused("the words could not be laid out"))?;
    let next = progress::practice(&progress, &graph);
    Ok(ReportData {
        learner: who.name.clone(),
        from: begins,
        to: ends,
        made: Zoned::now().date(),
        by_other_rules: number(progress.by_other_rules(&who.rules)),
        models: notebook.models(learner, span)?,
        sessions: notebook.sessions(learner)?.iter().filter(|s| inside(s.day)).count(),
        attempts: number(progress.attempts),
        words: progress.words,
        counted: share(progress.sums.child.share()),
        verdicts: verdicts(&progress),
        trend: trend(&days, ends),
        groups: groups(&progress),
        patterns: patterns(&progress),
        heard: heard(notebook, learner, span)?,
        voice: VoiceKind::Child,
        vowels: vowels(notebook, learner, inside)?,
        ruled_apart: ruled_apart(notebook, learner, span)?,
        writing: writing(notebook, &rows)?,
        writing_alone: false,
        notes,
        next: next.iter().map(|p| format!("{}. {}.", p.what, p.why)).collect(),
        chain: next.first().map(|p| p.chain.clone()).unwrap_or_default(),
        rules: who.rules,
    })
}

/// What the child wrote in a time, the latest first.
fn written(notebook: &Notebook, learner: Id, span: progress::Span) -> Result<Vec<Writing>, NotebookError> {
    let filter = WritingFilter {
        from: span.from,
        to: span.to,
        ..WritingFilter::default()
    };
    let every = Page {
        skip: 0,
        take: u64::MAX,
    };
    notebook.writings(learner, &filter, every)
}

/// What it adds up to; none where no first try without help can be read.
fn writing(notebook: &Notebook, rows: &[Writing]) -> Result<Option<WritingData>, NotebookError> {
    let evidence = Evidence::of(rows, &notebook.overrides()?);
    if evidence.read().is_empty() {
        return Ok(None);
    }
    let since = evidence.middle();
    Ok(Some(WritingData {
        tries: evidence.read().len(),
        words: evidence.words(),
        right: evidence.right(),
        since,
        // Where there is one day alone, all of it is now.
        choices: evidence.then_and_now(since.unwrap_or(Date::MIN)),
        matrix: evidence.matrix(),
        examples: evidence.examples(),
    }))
}

/// Who ruled what where two people differ, and what the program found.
fn ruled_apart(notebook: &Notebook, learner: Id, span: progress::Span) -> Result<Vec<String>, NotebookError> {
    let mut all = notebook.ruled_apart(learner, span.from, span.to)?;
    all.reverse();
    Ok(all.iter().map(in_a_line).collect())
}

fn in_a_line(a: &Attempt) -> String {
    let each = a.edits.rulings.iter().map(|r| (r.by.to_string(), r.verdict));
    let program = a.verdict.map(|v| ("program".to_owned(), v));
    let each = each
        .chain(program)
        .map(|(who, v)| format!("the {who}: {}", wording::verdict(v).full));
    let each: Vec<String> = each.collect();
    format!("{}, on {}: {}", a.word, a.day.strftime("%-d %B %Y"), each.join("; "))
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
    let mut points = progress::gathered(days, Step::Week);
    if points.len() > WEEKS {
        points = progress::gathered(days, Step::Month);
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

fn groups(progress: &Progress) -> Vec<ShareTable> {
    let sums = &progress.sums;
    let group = |title: &str, rows: Vec<(String, Agreement)>| ShareTable {
        title: title.to_owned(),
        rows: rows.into_iter().map(|(name, a)| (name, share(a.share()))).collect(),
    };
    let mut all = vec![
        group(
            "Length of the word",
            sums.by_length.iter().map(|(n, a)| (many(*n, "sound"), *a)).collect(),
        ),
        group(
            "Way of speaking",
            sums.by_way.iter().map(|w| (w.way.name().to_owned(), w.child)).collect(),
        ),
    ];
    let clusters = sums.by_cluster.iter().filter(|c| c.all.total() >= LEAST);
    let clusters = clusters
        .map(|c| (format!("{}, {}", in_ipa(&c.cluster), c.place), c.all))
        .collect();
    all.push(group("Clusters", lowest(clusters)));
    for (title, at) in [
        ("Words with the sound", 0),
        ("Words that begin with", 1),
        ("Words that end in", 2),
    ] {
        let rows = sums
            .by_sound
            .iter()
            .map(|row| (plots::ipa(row.sound), [row.all, row.initial, row.last][at]));
        all.push(group(title, lowest(rows.filter(|(_, a)| a.total() >= LEAST).collect())));
    }
    all.retain(|g| !g.rows.is_empty());
    all
}

/// Sounds in ARPAbet as IPA, as the report writes them.
fn in_ipa(names: &str) -> String {
    let units = names.split(' ').filter_map(|name| name.parse::<Unit>().ok());
    units.map(plots::ipa).collect()
}

/// The rows that are right least often, the least first: what a report has room for.
fn lowest(mut rows: Vec<(String, Agreement)>) -> Vec<(String, Agreement)> {
    rows.sort_by(|a, b| {
        let value = |a: &Agreement| a.share().value().unwrap_or(1.0);
        value(&a.1).total_cmp(&value(&b.1)).then_with(|| a.0.cmp(&b.0))
    });
    rows.truncate(MOST_ROWS);
    rows
}

fn patterns(progress: &Progress) -> Vec<Habit> {
    let told = progress
        .patterns
        .iter()
        .filter(|p| p.claim != Claim::NotShown && p.share.hits > 0);
    let made = told.map(|p| Habit {
        what: p.cause.to_string(),
        evidence: share(p.share),
        words: p.evidence.iter().map(|(word, _)| word.clone()).collect(),
        enough: p.claim == Claim::Found,
    });
    made.collect()
}

fn heard(notebook: &Notebook, learner: Id, span: progress::Span) -> Result<Vec<HeardFor>, NotebookError> {
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

fn notes(notebook: &Notebook, who: &Learner, inside: impl Fn(Date) -> bool) -> Result<Vec<WrittenNote>, NotebookError> {
    let mut notes = notebook.notes(who.id)?;
    notes.retain(|n| inside(n.day));
    notes.reverse();
    let mut written = Vec::with_capacity(notes.len());
    for note in notes {
        let on = match note.on {
            On::Attempt(id) => match notebook.attempt(id)? {
                Some(a) => format!("{} as said on {}", a.word, a.day),
                None => "one attempt".to_owned(),
            },
            other => other.to_string(),
        };
        let parts = [note.body.in_a_line(), note.body.text];
        written.push(WrittenNote {
            day: note.day,
            by: note.author.name().to_owned(),
            on,
            text: parts
                .iter()
                .filter(|p| !p.is_empty())
                .cloned()
                .collect::<Vec<_>>()
                .join(". "),
        });
    }
    Ok(written)
}
