//! `soundbead sheet`: printed sheets, as PDF or SVG.

mod make;
mod people;

use std::path::PathBuf;

use clap::Args;
use soundbead_dsp::formant::VoiceKind;

use super::{options, values};
use crate::fault::{Fault, nearest, one_line};
use crate::list;
use crate::page::OutputPage;
use crate::say::many;
use crate::sheet::{Paper, Sheet, save};
use crate::storage::Access;

/// Each kind.
const KINDS: [&str; 9] = [
    "boxes",
    "chain",
    "sort",
    "dictation",
    "lesson",
    "vowels",
    "consonants",
    "card",
    "string",
];

/// Every kind that a plan holds.
const WHOLE: &str = "plan";

#[derive(Args)]
#[command(after_help = MORE)]
pub struct SheetArgs {
    /// The kind of sheet: boxes, chain, sort, dictation, lesson, vowels, consonants, card or string
    #[arg(required_unless_present_any = ["plan", "chain"])]
    kind: Option<String>,
    /// Its words, columns or sounds; for a lesson what it is about
    #[arg(value_name = "WORD")]
    words: Vec<String>,
    /// Where to write it: .pdf, or .svg with one file a page (sheet-1.svg, sheet-2.svg)
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The answers too, on pages of their own at the end
    #[arg(long)]
    key: bool,
    /// Words from a text file, one on each line; # begins a remark
    #[arg(long, value_name = "FILE", conflicts_with_all = ["plan", "chain"])]
    list: Option<PathBuf>,
    /// Everything in a lesson's plan, or its items of one KIND, by the plan's own counting rules
    #[arg(long, value_name = "FILE", conflicts_with = "chain")]
    plan: Option<PathBuf>,
    /// The shortest chain from one word to another
    #[arg(long, num_args = 2, value_names = ["FROM", "TO"])]
    chain: Option<Vec<String>>,
    /// As cards to cut apart: the words of a sort, or sounds, six to a page
    #[arg(long)]
    cards: bool,
    /// As many boxes for every word, so that the child finds the number of sounds
    #[arg(long)]
    spare: bool,
    /// The vowels or the consonants as a chart for the wall: large words first
    #[arg(long)]
    wall: bool,
    /// The learner of the notebook whose string it is, or whose writing a lesson goes by
    #[arg(long, value_name = "NAME")]
    learner: Option<String>,
    /// The size of the paper; letter when nothing is given
    #[arg(long, value_name = "SIZE", value_parser = values::paper(), ignore_case = true)]
    paper: Option<Paper>,
    /// A heading of your own
    #[arg(long, value_name = "TEXT")]
    title: Option<String>,
    /// Words in each column of a sort that has a name; when not given, 24 in all in the fullest columns
    #[arg(long, value_name = "N", value_parser = values::number("a number of words", 1..=100_000_usize))]
    most: Option<usize>,
    /// N sentences made of the dictation's words
    #[arg(long, value_name = "N", value_parser = values::number("a number", 1..=soundbead_data::sentence::MOST))]
    sentences: Option<usize>,
    /// Other sentences for each N
    #[arg(long, value_name = "N", requires = "sentences", allow_negative_numbers = true, value_parser = values::seed)]
    seed: Option<u64>,
    /// Whose vowels; child when not given
    #[arg(long, value_name = "WHO", value_parser = values::voice(), ignore_case = true)]
    voice: Option<VoiceKind>,
    /// Replaces a file that is there; without it none is touched
    #[arg(long)]
    force: bool,
    #[command(flatten)]
    counting: options::CountingArgs,
}

const MORE: &str = "\
Makes a sheet to print, for the child to write on. The child's page gives no
answers away; --key adds them, on pages of their own, with the counting rules.

  boxes             one box a sound, for the letters, and a line for the word
  chain             words one sound apart, in their order; the child writes them
                    and what changed
  sort              columns to sort words into: one name that `soundbead sort`
                    lists, or columns of your own, each HEADING=word,word
  dictation         numbered lines; what has a space in it is a sentence
  lesson            twenty minutes on two pages, the grown-up's and the child's:
                    a chain of six, eight cards to sort, two sentences; about a
                    mix-up (\"short e and short i\"), a choice (\"ck or k\"), or,
                    with --learner and no words, what is due
  vowels            all vowels, where talkers were measured to make them
  consonants        all consonants, by where and how they are made
  card              a page on each sound that is named (TH, /θ/ or th), or `all`
  string            with --learner: the beads of every word the child has done,
                    to keep

A plan prints as a lesson does: with --key the grown-up's page, then the child's.

For example:
  $ soundbead sheet boxes thumb shell quilt --key --out boxes.pdf
  boxes.pdf: 2 pages, US Letter";

impl SheetArgs {
    /// Makes the sheet and writes it.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let kind = self.kind()?;
        self.nothing_idle(kind)?;
        // A name that cannot be written to is said before the work is done.
        save::format(&self.out).map_err(Fault::input)?;
        let sheet = make::make(kind, &self, self.texts()?)?;
        let files = save::save(&sheet, &self.out, Access::Usual, self.force).map_err(options::not_saved)?;
        if let Some(note) = sheet.unprintable_note() {
            eprintln!("soundbead: {}", one_line(&note));
        }
        report(page, &sheet, &files)
    }

    /// The kind that is named, or goes without saying: a plan has its own kinds, `--chain` makes a chain.
    fn kind(&self) -> Result<&'static str, Fault> {
        let Some(name) = &self.kind else {
            return Ok(if self.plan.is_some() { WHOLE } else { "chain" });
        };
        let known = KINDS.iter().find(|k| k.eq_ignore_ascii_case(name)).copied();
        known.ok_or_else(|| {
            let hint = nearest(name, KINDS).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
            Fault::input(format_args!(
                "there is no sheet `{}`{hint}; there are: {}",
                one_line(name),
                KINDS.join(", ")
            ))
        })
    }

    /// Refuses options that this kind of sheet would pass over.
    fn nothing_idle(&self, kind: &str) -> Result<(), Fault> {
        let idle = [
            (
                "--cards",
                self.cards && !matches!(kind, "sort" | "card"),
                "is for a sort and for sound cards",
            ),
            ("--spare", self.spare && kind != "boxes", "is for sound boxes"),
            (
                "--wall",
                self.wall && !matches!(kind, "vowels" | "consonants"),
                "is for the vowels and the consonants",
            ),
            (
                "--learner",
                self.learner.is_some() && !matches!(kind, "lesson" | "string"),
                "is for a lesson and for the string",
            ),
            ("--most", self.most.is_some() && kind != "sort", "is for a sort"),
            ("--voice", self.voice.is_some() && kind != "vowels", "is for the vowels"),
            (
                "--sentences",
                self.sentences.is_some() && (kind != "dictation" || self.plan.is_some()),
                "makes sentences \
                of the words that are given with a dictation",
            ),
        ];
        match idle.iter().find(|(_, idle, _)| *idle) {
            Some((flag, _, why)) => Err(Fault::input(format_args!("{flag} {why}; leave it out here"))),
            None => Ok(()),
        }
    }

    /// The words of the command line, then those of the list.
    fn texts(&self) -> Result<Vec<String>, Fault> {
        let mut all = self.words.clone();
        if let Some(path) = &self.list {
            all.extend(list::texts(path, "one word")?);
        }
        if all.len() > MOST {
            return Err(Fault::input(format_args!(
                "{} words are more than a sheet takes; at most {MOST} can be printed at a time",
                all.len()
            )));
        }
        Ok(all)
    }
}

/// Most words on one sheet: about fifty pages.
const MOST: usize = 500;

fn report(page: &mut OutputPage, sheet: &Sheet, files: &[PathBuf]) -> Result<(), Fault> {
    let pages = sheet.pages.len();
    for (at, file) in files.iter().enumerate() {
        let what = match files.len() {
            1 => many(pages, "page"),
            total => format!("page {} of {total}", at + 1),
        };
        page.line(&format!("{}: {what}, {}", file.display(), sheet.paper.name()))?;
    }
    Ok(())
}
