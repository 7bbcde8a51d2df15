//! `soundbead progress`: what a learner's attempts add up to.

use clap::Args;
use serde_json::json;
use soundbead_data::chain::{Graph, Range};

use super::options;
use crate::fault::Fault;
use crate::notebook::progress::{
    Agreement, Before, Claim, CountedAgain, Pattern, Practice, Progress, Share, SoundRest, TrendPeriod, TrendPoint,
    practice, vowel_months,
};
use crate::notebook::{Learner, Notebook};
use crate::page::{OutputPage, TextTone, pad};
use crate::say::many;
use crate::{store, wording};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct ProgressArgs {
    /// The learner's name
    learner: String,
    #[command(flatten)]
    days: options::DaysArgs,
    /// One JSON object with every figure
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
How often the child's count was the expected one: in all, week by week, by the
length of the word, the way of speaking, by cluster and by sound; which
miscounts are a pattern; and what to practice next, with a chain for it.

Beside each share stands where the true one may lie (95 %, Wilson 1927). Words
are the evidence for a pattern, not tries: each weighs once. A cause, such as
counting letters, is called a pattern of the last two months from 12 attempts at
5 different words on, where 3 words or more show it and chance would seldom do as
much, also after the length of the words and the other causes. Of 100 learners
without any pattern one at most is said to have one. What was so earlier and is
not now is said to be past; advice comes from the last two months.

For example:
  $ soundbead progress Juno
  Juno: 3 attempts, 3 words
  ...";

impl ProgressArgs {
    /// Adds up and shows.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let span = self.days.span()?;
        let notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        let progress = notebook.progress(learner.id, span)?;
        let trend = notebook.trend(learner.id, span, TrendPeriod::Week)?;
        let again = notebook.again(learner.id, span)?;
        let next = practice(
            &progress,
            &Graph::new(&store::word_list(Range::Common)?, &learner.rules),
        );
        options::cautions(&notebook);
        if self.json {
            return Ok(page.json(&json!({
                "learner": learner.name, "from": span.from.map(|d| d.to_string()), "to": span.to.map(|d| d.to_string()),
                "progress": progress, "again": again, "trend": trend, "confusions": notebook.confusions(learner.id, span)?,
                "vowels": vowel_months(&notebook.vowels(learner.id)?), "practice": next,
            }))?);
        }
        head(page, &learner, &progress)?;
        if progress.sums.child.total() > 0 {
            tables(page, &progress, &trend)?;
            after_first(page, &again)?;
            patterns(page, &progress)?;
            to_practice(page, &next)?;
        }
        let others = progress.by_other_rules(&learner.rules);
        if others > 0 {
            page.paragraph(0, &wording::recounted(others))?;
        }
        page.paragraph(0, READING)?;
        Ok(page.paragraph(0, wording::CAUTION)?)
    }
}

fn to_practice(page: &mut OutputPage, next: &[Practice]) -> Result<(), Fault> {
    page.line("")?;
    for item in next {
        page.paragraph(0, &format!("To practice: {}.", item.what))?;
        let words: Vec<String> = item.words.iter().map(|(w, n)| format!("{w} ({n})")).collect();
        page.paragraph(2, &format!("Words: {}", words.join(", ")))?;
        page.paragraph(2, &format!("Chain: {}", item.chain.join(", ")))?;
    }
    Ok(())
}

const READING: &str = "A count is held against the sounds that were said: as a person or the program heard them, else the \
    word's own, by the learner's rules. (N to M) is where the true share in 100 may lie, with 95 % confidence (Wilson 1927).";

fn head(page: &mut OutputPage, learner: &Learner, progress: &Progress) -> Result<(), Fault> {
    let name = page.tone(TextTone::Strong, &learner.name);
    page.line(&format!(
        "{name}: {}, {}",
        many(progress.attempts, "attempt"),
        many(progress.words, "word")
    ))?;
    if progress.sums.child.total() == 0 {
        page.line("No count of the child's is in the notebook yet.")?;
    }
    Ok(())
}

fn shown(share: &Share) -> String {
    let (low, high) = share.interval();
    format!(
        "{} of {} ({:.0} to {:.0})",
        share.hits,
        share.of,
        low * 100.0,
        high * 100.0
    )
}

fn row(page: &mut OutputPage, name: &str, agreement: &Agreement) -> Result<(), Fault> {
    let misses = format!("{} too few, {} too many", agreement.fewer, agreement.more);
    Ok(page.line(&format!(
        "  {} {} {misses}",
        pad(name, 20),
        pad(&shown(&agreement.share()), 26)
    ))?)
}

/// What came after first counts that missed; the counts above are first tries.
fn after_first(page: &mut OutputPage, again: &CountedAgain) -> Result<(), Fault> {
    if again.again + again.shown == 0 {
        return Ok(());
    }
    page.line("")?;
    Ok(page.paragraph(0, &wording::again(again))?)
}

fn tables(page: &mut OutputPage, progress: &Progress, trend: &[TrendPoint]) -> Result<(), Fault> {
    let sums = &progress.sums;
    page.line("Counted right")?;
    row(page, "in all", &sums.child)?;
    if sums.saying.of > 0 {
        page.line(&format!("  {} {}", pad("said as the word is", 20), shown(&sums.saying)))?;
    }
    for point in trend.iter().filter(|p| p.child.total() > 0) {
        row(page, &format!("week of {}", point.begins), &point.child)?;
    }
    for (length, agreement) in &sums.by_length {
        row(page, &format!("words of {length}"), agreement)?;
    }
    for way in &sums.by_way {
        row(page, way.way.name(), &way.child)?;
    }
    for cluster in &sums.by_cluster {
        row(page, &format!("{} {}", cluster.cluster, cluster.place), &cluster.all)?;
    }
    for sound in &sums.by_sound {
        row(page, &sound.sound.to_string(), &sound.all)?;
    }
    Ok(())
}

fn patterns(page: &mut OutputPage, progress: &Progress) -> Result<(), Fault> {
    for (claim, title) in [
        (Claim::Found, "Patterns of the last two months"),
        (Claim::NotShown, "Looked for and not shown"),
        (Claim::TooLittle, "Too little yet to say"),
    ] {
        let of: Vec<&Pattern> = progress.patterns.iter().filter(|p| p.claim == claim).collect();
        if of.is_empty() {
            continue;
        }
        page.line("")?;
        page.line(title)?;
        for p in of {
            page.paragraph(2, &in_figures(p))?;
            if claim == Claim::Found {
                page.paragraph(4, &format!("Seen in: {}", names(&p.evidence)))?;
            }
        }
    }
    past(page, progress)?;
    sounds(page, &progress.sounds)
}

fn names(evidence: &[(String, u64)]) -> String {
    let words: Vec<&str> = evidence.iter().map(|(w, _)| w.as_str()).collect();
    words.join(", ")
}

/// The pattern's words and tries: `seen in 9 of 11 words, 31 of 40 tries; elsewhere 3 of 60 tries miss that way`.
fn in_figures(p: &Pattern) -> String {
    format!(
        "{}: seen in {} of {}, {} tries; elsewhere {} tries miss that way.",
        p.cause,
        p.seen,
        many(p.words, "word"),
        shown(&p.share),
        shown(&p.background)
    )
}

fn past(page: &mut OutputPage, progress: &Progress) -> Result<(), Fault> {
    let past: Vec<(&Pattern, &Before)> = progress
        .patterns
        .iter()
        .filter_map(|p| Some((p, p.before.as_ref()?)))
        .collect();
    if past.is_empty() {
        return Ok(());
    }
    page.line("")?;
    page.line("Patterns of earlier months")?;
    for (pattern, before) in past {
        page.paragraph(
            2,
            &format!(
                "{}: {}.",
                pattern.cause,
                wording::before(before, progress.seen_last(pattern.cause))
            ),
        )?;
        page.paragraph(4, &format!("Seen then in: {}", names(&before.evidence)))?;
    }
    Ok(())
}

fn sounds(page: &mut OutputPage, sounds: &[SoundRest]) -> Result<(), Fault> {
    if sounds.is_empty() {
        return Ok(());
    }
    page.line("")?;
    page.line("Sounds in the last two months, beyond the words' length and the causes above")?;
    let out: Vec<&SoundRest> = sounds.iter().filter(|s| s.stands_out).collect();
    if out.is_empty() {
        let looked = format!(
            "None of {} stands out: low rows above have other reasons, or chance.",
            many(sounds.len(), "sound")
        );
        page.paragraph(2, &looked)?;
    }
    for s in out {
        let figures = format!(
            "{:.0} % right, {:.0} % to be expected",
            100.0 * s.right,
            100.0 * s.expected
        );
        let missed = s.missed.join(", ");
        page.paragraph(
            2,
            &format!("{}: {figures}, at {}; missed: {missed}", s.sound, many(s.words, "word")),
        )?;
    }
    Ok(())
}
