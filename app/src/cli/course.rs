//! `soundbead course`: words to write, where a writer stands, what comes next.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use soundbead_data::course::{Choice, Words, set};

use crate::ask::course::{Answer, ChoiceAnswer, Question};
use crate::fault::{Fault, nearest, one_line};
use crate::page::{Page, pad};
use crate::{list, store};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct CourseArgs {
    /// What was written, one file for each day, the oldest first; without one, the words to dictate are shown
    #[arg(value_name = "FILE")]
    days: Vec<PathBuf>,
    /// Which of the two sets of words to dictate, 1 or 2
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=2), conflicts_with = "days")]
    set: u8,
    /// A choice that was taught, whatever the writing shows, such as "short vowels"; may be given several times
    #[arg(long, value_name = "CHOICE", requires = "days")]
    taught: Vec<String>,
    /// One JSON object, or one for each word
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Without FILE, the words of a set to dictate: each choice of spelling is met in
three of them. The second set meets the same choices in other words, for
comparing spring with autumn.

A FILE holds what was written on one day: a passage or a list in which what was
meant stands behind what was written where the two differ (`siter = sister`),
or lines with the word, a tab and what was written. Shown is, for each choice,
in how many words it was met and kept at the first try, with a 95 % interval;
then words that are due again, one new choice with words for it, and words for
a dictation. You may overrule all of it. It shows how words were spelled; it is
no test of a child.

For example:
  $ soundbead course --set 2
  ...";

impl CourseArgs {
    /// Shows the words of a set, or where the writer of the files stands.
    pub fn run(self, page: &mut Page) -> Result<(), Fault> {
        if self.days.is_empty() {
            return words(page, usize::from(self.set) - 1, self.json);
        }
        let read = |path: &PathBuf| {
            let text = list::read_text(path);
            text.map_err(|why| Fault::input(format_args!("{}: {why}; wanted a text file", path.display())))
        };
        let question = Question {
            days: self.days.iter().map(read).collect::<Result<_, _>>()?,
            taught: self.taught.iter().map(|name| choice(name)).collect::<Result<_, _>>()?,
        };
        let answer = question.answer(&store::overrides()?);
        if self.json {
            return Ok(page.json(&serde_json::to_value(&answer).map_err(Fault::internal)?)?);
        }
        show(page, &answer)
    }
}

/// The choice that `--taught` names.
fn choice(name: &str) -> Result<Choice, Fault> {
    let name = name.trim().to_lowercase();
    Choice::find(&name).ok_or_else(|| {
        let names = Choice::ALL.iter().map(|choice| choice.name());
        let hint = nearest(&name, names).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
        Fault::input(format_args!(
            "--taught: there is no choice `{}`{hint}; `soundbead course --json` names those of each word",
            one_line(&name)
        ))
    })
}

fn words(page: &mut Page, number: usize, json: bool) -> Result<(), Fault> {
    let chosen = set(Words::builtin(), number);
    if !json {
        page.line(&format!("{} words to dictate, the easiest first:", chosen.len()))?;
        page.line("")?;
    }
    for entry in chosen {
        let choices: Vec<&str> = entry.met.iter().map(|(choice, _)| choice.name()).collect();
        if json {
            page.json(&json!({ "word": entry.word, "choices": choices }))?;
        } else {
            page.line(&format!("  {}", entry.word))?;
        }
    }
    Ok(())
}

fn show(page: &mut Page, answer: &Answer) -> Result<(), Fault> {
    page.line(&format!("{} words of the course were written", answer.words))?;
    page.line("")?;
    for at in &answer.choices {
        page.line(&row(at))?;
    }
    if !answer.unread.is_empty() {
        page.line("")?;
        let unread = answer.unread.join(", ");
        page.paragraph(
            2,
            &format!("Not read, for it is not said what was meant: {unread}. Write it as `siter = sister`."),
        )?;
    }
    page.line("")?;
    page.paragraph(2, &next(answer))?;
    for (what, words) in [
        ("due again", &answer.review),
        ("new words", &answer.new_words),
        ("dictation", &answer.dictation),
    ] {
        if !words.is_empty() {
            page.paragraph(2, &format!("{what}: {}", words.join(", ")))?;
        }
    }
    Ok(())
}

fn next(answer: &Answer) -> String {
    match (answer.new, answer.sort) {
        (Some(new), Some(sort)) => format!("Next: {new}, with `soundbead sort {sort}`."),
        (Some(new), None) => format!("Next: {new}."),
        (None, _) => "Nothing new is left to teach.".to_owned(),
    }
}

fn row(at: &ChoiceAnswer) -> String {
    let percent = |share: f64| (100.0 * share).round();
    let secure = if at.secure { "  secure" } else { "" };
    format!(
        "  {}  kept in {} of {} words  ({} to {} %){secure}",
        pad(at.choice, 36),
        at.kept,
        at.met,
        percent(at.low),
        percent(at.high)
    )
}
