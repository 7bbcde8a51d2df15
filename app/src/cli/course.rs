//! `soundbead course`: words to write, where a writer stands, what comes next.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use soundbead_data::course::{Choice, CourseWords, set};

use super::{options, values};
use crate::ask::course::{ChoiceAnswer, CourseAnswer, CourseRequest};
use crate::fault::Fault;
use crate::notebook::{Notebook, course_day};
use crate::page::{OutputPage, pad};
use crate::say::many;
use crate::{list, store, wording};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct CourseArgs {
    /// What was written, one file for each day, the oldest first; without one, the words to dictate are shown
    #[arg(value_name = "FILE")]
    days: Vec<PathBuf>,
    /// From the notebook: where this learner stands today
    #[arg(long, value_name = "NAME", conflicts_with_all = ["days", "set"])]
    learner: Option<String>,
    /// Writes into the notebook that this choice was taught, whatever the writing shows
    #[arg(long, value_name = "CHOICE", value_parser = values::choice, requires = "learner", group = "naming")]
    was_taught: Option<Choice>,
    /// Writes into the notebook that this choice was not taught yet
    #[arg(long, value_name = "CHOICE", value_parser = values::choice, requires = "learner", group = "naming")]
    not_taught: Option<Choice>,
    /// Takes back what was said of this choice: the writing decides again
    #[arg(long, value_name = "CHOICE", value_parser = values::choice, requires = "learner", group = "naming")]
    unsay: Option<Choice>,
    /// Which of the two sets of words to dictate, 1 or 2
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=2), conflicts_with = "days")]
    set: u8,
    /// A choice that counts as taught this once, such as "short vowels"; may be given several times
    #[arg(long, value_name = "CHOICE", value_parser = values::choice, conflicts_with = "set")]
    taught: Vec<Choice>,
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
in how many words it was met, and kept the last time each was written, with a
95 % interval; where that differs, how many were kept the first time; then words that are due again, one new choice with words for it, and words for
a dictation. You may overrule all of it. It shows how words were spelled; it is
no test of a child.

With --learner the same from the notebook, for today: from dictations, from
paper (`soundbead writing --add`) and from the letters in the boxes of lessons.
What you say with --was-taught and --not-taught is kept, and stands above the
writing and the order.

For example:
  $ soundbead course --set 2
  ...";

impl CourseArgs {
    /// Shows the words of a set, or where the writer of the files stands.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        if let Some(name) = &self.learner {
            return self.of_learner(page, name);
        }
        if self.days.is_empty() && !self.taught.is_empty() {
            return Err(Fault::input("--taught goes with FILE or --learner; give one of them"));
        }
        if self.days.is_empty() {
            return words(page, usize::from(self.set) - 1, self.json);
        }
        let read = |path: &PathBuf| {
            let text = list::read_text(path);
            text.map_err(|why| Fault::input(format_args!("{}: {why}; wanted a text file", path.display())))
        };
        let question = CourseRequest {
            days: self.days.iter().map(read).collect::<Result<_, _>>()?,
            taught: self.taught.iter().copied().collect(),
        };
        let answer = question.answer(&store::overrides()?);
        self.show(page, &answer)
    }

    fn show(&self, page: &mut OutputPage, answer: &CourseAnswer) -> Result<(), Fault> {
        match self.json {
            true => Ok(page.json(answer)?),
            false => show(page, answer),
        }
    }

    /// Where a learner of the notebook stands; first what is said of a choice is written down.
    fn of_learner(&self, page: &mut OutputPage, name: &str) -> Result<(), Fault> {
        let mut notebook = Notebook::open()?;
        let learner = options::learner(&notebook, name)?;
        let said = [
            (self.was_taught, Some(true)),
            (self.not_taught, Some(false)),
            (self.unsay, None),
        ];
        for (choice, taught) in said {
            if let Some(choice) = choice {
                let was = notebook.name_choice(learner.id, choice, taught)?;
                if !self.json {
                    said_of(page, &learner.name, choice, (was, taught))?;
                }
            }
        }
        let mut named = notebook.named_choices(learner.id)?;
        named.taught.extend(&self.taught);
        let today = course_day(jiff::Zoned::now().date());
        let answer = CourseAnswer::of(&notebook.course_tries(learner.id)?, Vec::new(), &named, today);
        self.show(page, &answer)
    }
}

/// What is said of a choice now, and how that is undone.
fn said_of(
    page: &mut OutputPage,
    learner: &str,
    choice: Choice,
    (was, now): (Option<bool>, Option<bool>),
) -> Result<(), Fault> {
    let what = match now {
        Some(true) => "was taught, as you say",
        Some(false) => "was not taught yet, as you say",
        None => "is left to the writing",
    };
    let undo = match was {
        Some(true) => "--was-taught",
        Some(false) => "--not-taught",
        None => "--unsay",
    };
    page.line(&format!("\"{choice}\" {what}."))?;
    if was != now {
        page.line(&format!(
            "Undo: soundbead course --learner \"{learner}\" {undo} \"{choice}\""
        ))?;
    }
    Ok(page.line("")?)
}

fn words(page: &mut OutputPage, number: usize, json: bool) -> Result<(), Fault> {
    let chosen = set(CourseWords::builtin(), number);
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

fn show(page: &mut OutputPage, answer: &CourseAnswer) -> Result<(), Fault> {
    page.line(&format!("Written words that meet a choice: {}", answer.words))?;
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
    for (what, choices) in [("taught", &answer.taught), ("not taught", &answer.not_taught)] {
        if !choices.is_empty() {
            page.paragraph(2, &format!("You say {what}: {}.", choices.join("; ")))?;
        }
    }
    page.line("")?;
    page.paragraph(2, &next(answer))?;
    for (what, words) in [
        ("due again", &answer.review),
        ("due too, once what they need was taught", &answer.waiting),
        ("new words", &answer.new_words),
        ("dictation", &answer.dictation),
    ] {
        if !words.is_empty() {
            page.paragraph(2, &format!("{what}: {}", words.join(", ")))?;
        }
    }
    Ok(())
}

fn next(answer: &CourseAnswer) -> String {
    match (answer.new, answer.sort) {
        (Some(new), Some(sort)) => format!("Next: {new}, with `soundbead sort {sort}`."),
        (Some(new), None) => format!("Next: {new}."),
        (None, _) => "Nothing new is left to teach.".to_owned(),
    }
}

fn row(at: &ChoiceAnswer) -> String {
    let percent = |share: f64| (100.0 * share).round();
    let secure = if at.secure { "  secure" } else { "" };
    let first = wording::kept_first(at.kept, at.kept_first);
    format!(
        "  {}  kept in {} of {}{first}  ({} to {} %){secure}",
        pad(at.choice, 36),
        at.kept,
        many(at.met, "word"),
        percent(at.low),
        percent(at.high)
    )
}
