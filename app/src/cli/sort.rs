//! `soundbead sort`: words by what decides their spelling.

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::sort::{Column, Corpus, HeldRule, Level, Member, Sort, Sorted};

use super::{chain, values};
use crate::answer::names;
use crate::ask::sort::{self as asked, MembersRequest, SortNamed};
use crate::fault::Fault;
use crate::page::{OutputPage, TextTone};
use crate::say::many;
use crate::store;

/// Words shown in a column when nothing is said.
const USUAL: usize = 12;
/// How common the words of a ladder are at least, on the Zipf scale.
const FAMILIAR: f32 = 3.5;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct SortArgs {
    /// The sort; all are listed when none is given
    name: Option<String>,
    /// Words shown in a column, and exceptions of a rule; 12 when not given, but all with --json
    #[arg(long, value_name = "N", requires = "name", value_parser = values::number("a number of words", 1..=100_000_usize))]
    most: Option<usize>,
    /// How common the words are: everyday, known (to a reader of eight to ten; the usual one), bookish or all
    #[arg(long, value_name = "LEVEL", requires = "name", value_parser = values::level)]
    level: Option<Level>,
    /// Shows words of N syllables, or of N-M; rules are weighed on all
    #[arg(long, value_name = "N", requires = "name", value_parser = values::syllables)]
    syllables: Option<values::Syllables>,
    /// The word list: common, dictionary, or a file of your own words (see `soundbead help chain`)
    #[arg(long, value_name = "LIST", requires = "name")]
    words: Option<String>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Sorts the words of the list by what decides a spelling. Each rule says how often
it holds, and its exceptions are shown; nothing is claimed that was not counted.
Where fewer than three in four words keep a rule, the spellings are given as a
choice, with the share of each. Rules are counted on the words of longer books,
with --level all on every word. The commonest words stand first. `ladders` are
words of one syllable that differ in their vowel alone. `soundbead sheet sort`
prints columns of your choice.

The JSON answer: name, title, words (how many were looked at), columns (heading,
count, words), others (what no column takes), rules (when, then, choice,
holds, of, shares, exceptions). A word has word, letters and sounds.

For example:
  $ soundbead sort k --most 4
  ...
    ck ...
  ...";

impl SortArgs {
    /// Shows the sorts, or one of them.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let Some(name) = &self.name else {
            return list(page, self.json);
        };
        let named = asked::named(name).map_err(Fault::input)?;
        if matches!(named, SortNamed::Ladders) && self.syllables.is_some() {
            return Err(Fault::input(
                "--syllables: the words of ladders have one syllable; leave it out",
            ));
        }
        let corpus = Corpus::new(&store::word_list(chain::range(self.words.as_deref())?)?);
        match named {
            SortNamed::Ladders => ladders(page, &corpus, &self),
            SortNamed::Sort(sort) if self.json => Ok(page.json(&object(sort, &corpus, &self))?),
            SortNamed::Sort(sort) => show(page, sort, &corpus, &self),
        }
    }
}

fn list(page: &mut OutputPage, json: bool) -> Result<(), Fault> {
    for (name, title) in asked::names() {
        match json {
            true => page.json(&json!({ "name": name, "title": title }))?,
            false => page.line(&format!(
                "  {}  {title}",
                page.tone(TextTone::Strong, &format!("{name:9}"))
            ))?,
        }
    }
    Ok(())
}

impl SortArgs {
    fn level(&self) -> Level {
        self.level.unwrap_or_default()
    }

    /// The members to be shown, `usual` of them where nothing was said.
    fn shown<'m>(&self, members: &'m [Member], usual: usize) -> Vec<&'m Member> {
        let request = MembersRequest {
            most: self.most.unwrap_or(usual),
            syllables: self.syllables.clone(),
            left_out: &[],
            turn: 0,
        };
        request.answer(members)
    }
}

fn object(sort: &Sort, corpus: &Corpus, args: &SortArgs) -> Value {
    let Sorted { columns, others, rules } = corpus.sort_at(sort, args.level());
    let words = |members: &[Member]| {
        let one = |m: &Member| {
            let said = corpus.known(m).map(|k| &k.said.sounds()[m.sounds.clone()]);
            json!({ "word": m.word, "letters": m.letters, "sounds": names(said.unwrap_or_default()) })
        };
        args.shown(members, usize::MAX).into_iter().map(one).collect::<Value>()
    };
    let column = |c: &Column| json!({ "heading": c.heading, "count": c.members.len(), "words": words(&c.members) });
    let rule = |h: &HeldRule| json!({ "when": h.when, "then": h.then, "choice": h.is_choice(), "holds": h.holds, "of": h.of, "shares": shares(h), "exceptions": words(&h.exceptions) });
    json!({
        "name": sort.name, "title": sort.title, "level": args.level().name(), "words": corpus.words().len(),
        "columns": columns.iter().map(column).collect::<Value>(),
        "others": others.iter().map(column).collect::<Value>(),
        "rules": rules.iter().map(rule).collect::<Value>(),
    })
}

fn show(page: &mut OutputPage, sort: &Sort, corpus: &Corpus, args: &SortArgs) -> Result<(), Fault> {
    let sorted = corpus.sort_at(sort, args.level());
    page.line(&page.tone(TextTone::Strong, sort.title))?;
    page.paragraph(
        0,
        &format!(
            "{} in {} of the list. Level: {}.",
            many(sorted.total(), "place"),
            many(corpus.words().len(), "word"),
            args.level().about()
        ),
    )?;
    page.line("")?;
    for column in &sorted.columns {
        let words: Vec<&str> = args
            .shown(&column.members, USUAL)
            .iter()
            .map(|m| m.word.as_str())
            .collect();
        let title = page.tone(TextTone::Strong, &format!("{:7}", column.heading));
        page.line(&format!("  {title} {} of {}", column.members.len(), sorted.total()))?;
        page.paragraph(10, &words.join(" "))?;
    }
    let others: Vec<String> = sorted
        .others
        .iter()
        .map(|c| format!("{} ({})", c.heading, c.members.len()))
        .collect();
    if !others.is_empty() {
        page.line("")?;
        page.paragraph(2, &format!("Also, seldom: {}.", others.join(", ")))?;
    }
    for held in &sorted.rules {
        page.line("")?;
        page.paragraph(2, &told(held))?;
        let exceptions: Vec<&str> = args
            .shown(&held.exceptions, USUAL)
            .iter()
            .map(|m| m.word.as_str())
            .collect();
        if !exceptions.is_empty() {
            let more = if held.exceptions.len() > exceptions.len() {
                " ..."
            } else {
                ""
            };
            page.paragraph(4, &format!("Not in: {}{more}", exceptions.join(" ")))?;
        }
    }
    Ok(())
}

/// A rule with how often it holds, or the spellings to choose from.
fn told(held: &HeldRule) -> String {
    if held.is_choice() {
        return format!(
            "{}: a choice. {} ({}).",
            held.when,
            held.choices(),
            many(held.of, "word")
        );
    }
    let percent = (held.share() * 100.0).round();
    format!(
        "{}: {}. Holds in {} of {} ({percent} %).",
        held.when, held.then, held.holds, held.of
    )
}

fn shares(held: &HeldRule) -> Value {
    let one = |(heading, count): &(String, usize)| json!({ "heading": heading, "count": count });
    held.shares.iter().map(one).collect()
}

fn ladders(page: &mut OutputPage, corpus: &Corpus, args: &SortArgs) -> Result<(), Fault> {
    // Four rungs make a ladder.
    let found = corpus.ladders(4, FAMILIAR);
    for ladder in found.iter().take(args.most.unwrap_or(USUAL)) {
        if args.json {
            let rungs: Value = ladder
                .rungs
                .iter()
                .map(|(v, word)| json!({ "vowel": v.arpabet(), "word": word }))
                .collect();
            page.json(&json!({ "rungs": rungs }))?;
        } else {
            let words: Vec<&str> = ladder.rungs.iter().map(|(_, word)| word.as_str()).collect();
            page.paragraph(2, &words.join(" "))?;
        }
    }
    Ok(())
}
