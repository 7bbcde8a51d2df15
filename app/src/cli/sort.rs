//! `soundbead sort`: words by what decides their spelling.

use std::ops::RangeInclusive;

use serde_json::{Value, json};
use soundbead_data::sort::{self, Column, Corpus, Held, Member, Sort, Sorted};

use super::args::{self, Given, Next};
use super::chain;
use crate::answer::names;
use crate::fault::{Fault, nearest, one_line};
use crate::page::{Page, Tone};
use crate::store;

/// Words shown in a column when nothing is said.
const USUAL: usize = 12;
/// How common the words of a ladder are at least, on the Zipf scale.
const FAMILIAR: f32 = 3.5;
/// The list of vowel ladders stands among the sorts under this name.
const LADDERS: &str = "ladders";

/// What was asked for.
struct Asked {
    most: Option<usize>,
    syllables: Option<RangeInclusive<usize>>,
    json: bool,
}

/// Reads the options and shows the sorts, or one of them.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut name, mut range) = (None, None);
    let mut asked = Asked {
        most: None,
        syllables: None,
        json: false,
    };
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("most") => asked.most = Some(most(&given.text()?)?),
            Next::Flag("syllables") => {
                let span = chain::span(&given.text()?);
                asked.syllables = Some(span.map_err(|e| Fault::input(format_args!("--syllables: {e}")))?);
            }
            Next::Flag("words") => range = Some(given.text()?),
            Next::Flag("json") => asked.json = true,
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(text) if name.is_none() => name = Some(args::text_of("the sort", text)?),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let Some(name) = name else {
        return list(page, asked.json);
    };
    let sort = sort::find(&name);
    if sort.is_none() && name != LADDERS {
        return Err(unknown(&name));
    }
    let corpus = Corpus::new(&store::word_list(chain::range(range.as_deref())?)?);
    match sort {
        None => ladders(page, &corpus, &asked),
        Some(sort) if asked.json => Ok(page.json(&object(sort, &corpus, &asked))?),
        Some(sort) => show(page, sort, &corpus, &asked),
    }
}

/// A number of words.
pub(super) fn most(text: &str) -> Result<usize, Fault> {
    let number = text.parse().ok().filter(|n| (1..=100_000).contains(n));
    number.ok_or_else(|| {
        Fault::input(format_args!(
            "--most: found `{}`, wanted a number from 1 to 100000",
            one_line(text)
        ))
    })
}

/// The fault for a sort that there is not.
pub(super) fn unknown(name: &str) -> Fault {
    let known = || sort::all().iter().map(|s| s.name).chain([LADDERS]);
    let hint = nearest(name, known()).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
    let all: Vec<&str> = known().collect();
    Fault::input(format_args!(
        "there is no sort `{}`{hint}; there are: {}",
        one_line(name),
        all.join(", ")
    ))
}

fn list(page: &mut Page, json: bool) -> Result<(), Fault> {
    let ladders = (LADDERS, "words of one syllable that differ in their vowel alone");
    for (name, title) in sort::all().iter().map(|s| (s.name, s.title)).chain([ladders]) {
        match json {
            true => page.json(&json!({ "name": name, "title": title }))?,
            false => page.line(&format!("  {}  {title}", page.tone(Tone::Strong, &format!("{name:9}"))))?,
        }
    }
    Ok(())
}

impl Asked {
    /// The members to be shown, `usual` of them where nothing was said.
    fn shown<'m>(&self, members: &'m [Member], usual: usize) -> impl Iterator<Item = &'m Member> {
        let syllables = self.syllables.clone();
        let fits = move |m: &&Member| syllables.as_ref().is_none_or(|range| range.contains(&m.syllables));
        members.iter().filter(fits).take(self.most.unwrap_or(usual))
    }
}

fn object(sort: &Sort, corpus: &Corpus, asked: &Asked) -> Value {
    let Sorted { columns, others, rules } = corpus.sort(sort);
    let words = |members: &[Member]| {
        let one = |m: &Member| {
            let said = corpus.word(&m.word).map(|k| &k.said.sounds()[m.sounds.clone()]);
            json!({ "word": m.word, "letters": m.letters, "sounds": names(said.unwrap_or_default()) })
        };
        asked.shown(members, usize::MAX).map(one).collect::<Value>()
    };
    let column = |c: &Column| json!({ "heading": c.heading, "count": c.members.len(), "words": words(&c.members) });
    let rule = |h: &Held| json!({ "when": h.when, "then": h.then, "holds": h.holds, "of": h.of, "exceptions": words(&h.exceptions) });
    json!({
        "name": sort.name, "title": sort.title, "words": corpus.words().len(),
        "columns": columns.iter().map(column).collect::<Value>(),
        "others": others.iter().map(column).collect::<Value>(),
        "rules": rules.iter().map(rule).collect::<Value>(),
    })
}

fn show(page: &mut Page, sort: &Sort, corpus: &Corpus, asked: &Asked) -> Result<(), Fault> {
    let sorted = corpus.sort(sort);
    page.line(&page.tone(Tone::Strong, sort.title))?;
    page.paragraph(
        0,
        &format!(
            "{} places in {} words of the list.",
            sorted.total(),
            corpus.words().len()
        ),
    )?;
    page.line("")?;
    for column in &sorted.columns {
        let words: Vec<&str> = asked.shown(&column.members, USUAL).map(|m| m.word.as_str()).collect();
        let title = page.tone(Tone::Strong, &format!("{:7}", column.heading));
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
        let percent = (held.share() * 100.0).round();
        page.paragraph(
            2,
            &format!(
                "{}: {}. Holds in {} of {} ({percent} %).",
                held.when, held.then, held.holds, held.of
            ),
        )?;
        let exceptions: Vec<&str> = asked.shown(&held.exceptions, USUAL).map(|m| m.word.as_str()).collect();
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

fn ladders(page: &mut Page, corpus: &Corpus, asked: &Asked) -> Result<(), Fault> {
    // Four rungs make a ladder.
    let found = corpus.ladders(4, FAMILIAR);
    for ladder in found.iter().take(asked.most.unwrap_or(USUAL)) {
        if asked.json {
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
