//! `soundbead progress`: what a learner's attempts add up to.

use clap::Args;
use serde_json::json;
use soundbead_data::chain::{Graph, Range};

use super::options;
use crate::fault::Fault;
use crate::notebook::progress::{
    Agreement, Claim, Pattern, Practice, Progress, Share, Step, TrendPoint, practice, vowel_months,
};
use crate::notebook::{Learner, Notebook};
use crate::page::{Page, Tone, pad};
use crate::say::many;
use crate::store;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct ProgressArgs {
    /// The learner's name
    learner: String,
    #[command(flatten)]
    days: options::Days,
    /// One JSON object with every figure
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
How often the child's count was the expected one: in all, week by week, by the
length of the word, the way of speaking, by cluster and by sound; which
miscounts are a pattern; and what to practice next, with a chain for it.

Beside each share stands where the true one may lie (95 %, Wilson 1927). A
cause, such as counting letters, is called a pattern only when counts that would
follow from it are surely more frequent at words that it touches than misses to
the same side are at words that nothing of the kind touches; and only from 12
attempts at 5 different words on.

For example:
  $ soundbead progress Juno
  Juno: 3 attempts, 3 words
  ...";

impl ProgressArgs {
    /// Adds up and shows.
    pub fn run(self, page: &mut Page) -> Result<(), Fault> {
        let span = self.days.span()?;
        let notebook = Notebook::open()?;
        let learner = options::learner(&notebook, &self.learner)?;
        let progress = notebook.progress(learner.id, span)?;
        let trend = notebook.trend(learner.id, span, Step::Week)?;
        let next = practice(
            &progress,
            &Graph::new(&store::word_list(Range::Common)?, &learner.rules),
        );
        options::cautions(&notebook);
        if self.json {
            return Ok(page.json(&json!({
                "learner": learner.name, "from": span.from.map(|d| d.to_string()), "to": span.to.map(|d| d.to_string()),
                "progress": progress, "trend": trend, "confusions": notebook.confusions(learner.id, span)?,
                "vowels": vowel_months(&notebook.vowels(learner.id)?), "practice": next,
            }))?);
        }
        head(page, &learner, &progress)?;
        if progress.sums.child.total() > 0 {
            tables(page, &progress, &trend)?;
            patterns(page, &progress)?;
            to_practise(page, &next)?;
        }
        let others = progress.by_other_rules(&learner.rules);
        if others > 0 {
            page.paragraph(0, &crate::wording::recounted(others))?;
        }
        page.paragraph(0, READING)?;
        Ok(page.paragraph(0, crate::wording::CAUTION)?)
    }
}

fn to_practise(page: &mut Page, next: &[Practice]) -> Result<(), Fault> {
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

fn head(page: &mut Page, learner: &Learner, progress: &Progress) -> Result<(), Fault> {
    let name = page.tone(Tone::Strong, &learner.name);
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

fn row(page: &mut Page, name: &str, agreement: &Agreement) -> Result<(), Fault> {
    let misses = format!("{} too few, {} too many", agreement.fewer, agreement.more);
    Ok(page.line(&format!(
        "  {} {} {misses}",
        pad(name, 20),
        pad(&shown(&agreement.share()), 26)
    ))?)
}

fn tables(page: &mut Page, progress: &Progress, trend: &[TrendPoint]) -> Result<(), Fault> {
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

fn patterns(page: &mut Page, progress: &Progress) -> Result<(), Fault> {
    for (claim, title) in [
        (Claim::Found, "Patterns that the counts show"),
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
            let elsewhere = format!("elsewhere {}", shown(&p.background));
            page.paragraph(
                2,
                &format!(
                    "{}: {} at {}; {elsewhere}.",
                    p.cause,
                    shown(&p.share),
                    many(p.words, "word")
                ),
            )?;
            if claim == Claim::Found {
                let words: Vec<&str> = p.evidence.iter().map(|(w, _)| w.as_str()).collect();
                page.paragraph(4, &format!("Seen in: {}", words.join(", ")))?;
            }
        }
    }
    Ok(())
}
