//! `soundbead sheet`: printed sheets, as PDF or SVG.

mod make;

use std::path::{Path, PathBuf};

use soundbead_dsp::formant::VoiceKind;

use super::args::{self, Common, Given, Next};
use crate::fault::{Fault, nearest, one_line};
use crate::page::Page;
use crate::say::many;
use crate::sheet::{Paper, Sheet, save};
use crate::storage::Access;

/// Each kind.
const KINDS: [&str; 7] = ["boxes", "chain", "sort", "dictation", "vowels", "consonants", "card"];

/// Every kind that a plan holds.
const WHOLE: &str = "plan";

/// What was asked for, as it was written.
#[derive(Default)]
struct Asked {
    kind: Option<String>,
    given: Vec<String>,
    list: Option<PathBuf>,
    plan: Option<PathBuf>,
    ends: Option<(String, String)>,
    out: Option<PathBuf>,
    paper: Paper,
    title: Option<String>,
    key: bool,
    replace: bool,
    most: Option<usize>,
    sentences: usize,
    seed: u64,
    voice: Option<VoiceKind>,
    common: Common,
}

/// Reads the options, makes the sheet, writes it.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let asked = read(&mut given)?;
    let kind = kind(&asked, &given)?;
    let out = asked
        .out
        .clone()
        .ok_or_else(|| given.missing("--out FILE.pdf or FILE.svg"))?;
    // A name that cannot be written to is said before the work is done.
    save::format(&out).map_err(Fault::input)?;
    let sheet = make::make(kind, &asked, texts(&asked)?)?;
    let files = save::save(&sheet, &out, Access::Usual, asked.replace).map_err(Fault::input)?;
    if let Some(note) = sheet.unprintable_note() {
        eprintln!("soundbead: {}", one_line(&note));
    }
    report(page, &sheet, &files)
}

fn read(given: &mut Given) -> Result<Asked, Fault> {
    let mut asked = Asked::default();
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("out") => asked.out = Some(given.path()?),
            Next::Flag("list") => asked.list = Some(given.path()?),
            Next::Flag("plan") => asked.plan = Some(given.path()?),
            Next::Flag("chain") => asked.ends = Some((given.text()?, given.text()?)),
            Next::Flag("title") => asked.title = Some(one_line(&given.text()?)),
            Next::Flag("key") => asked.key = true,
            Next::Flag("force") => asked.replace = true,
            Next::Flag("most") => asked.most = Some(super::sort::most(&given.text()?)?),
            Next::Flag("sentences") => asked.sentences = sentences(&given.text()?)?,
            Next::Flag("seed") => asked.seed = super::chain::seed(&given.text()?)?,
            Next::Flag("voice") => {
                let voice = given
                    .text()?
                    .parse()
                    .map_err(|e| Fault::input(format_args!("--voice: {e}")))?;
                asked.voice = Some(voice);
            }
            Next::Flag("paper") => {
                asked.paper = given
                    .text()?
                    .parse()
                    .map_err(|e| Fault::input(format_args!("--paper: {e}")))?;
            }
            Next::Flag(flag) if flag != "json" && asked.common.take(flag, given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(text) if asked.kind.is_none() => asked.kind = Some(args::text_of("the kind of sheet", text)?),
            Next::Value(text) => asked.given.push(args::text_of("a word", text)?),
        }
    }
    Ok(asked)
}

fn sentences(text: &str) -> Result<usize, Fault> {
    let most = soundbead_data::sentence::MOST;
    let count = text.parse().ok().filter(|n| (1..=most).contains(n));
    count.ok_or_else(|| {
        Fault::input(format_args!(
            "--sentences: found `{}`; wanted a number from 1 to {most}",
            one_line(text)
        ))
    })
}

/// The kind that is named, or goes without saying: a plan has its own kinds, `--chain` makes a chain.
fn kind(asked: &Asked, given: &Given) -> Result<&'static str, Fault> {
    let name = match (&asked.kind, &asked.plan, &asked.ends) {
        (Some(name), ..) => name,
        (None, Some(_), None) => return Ok(WHOLE),
        (None, None, Some(_)) => return Ok("chain"),
        _ => return Err(given.missing("the kind of sheet")),
    };
    KINDS.iter().find(|k| **k == name).copied().ok_or_else(|| {
        let hint = nearest(name, KINDS).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
        Fault::input(format_args!(
            "there is no sheet `{}`{hint}; there are: {}",
            one_line(name),
            KINDS.join(", ")
        ))
    })
}

/// The words of the command line, then those of the list: one a line, empty lines and `#` lines passed over.
fn texts(asked: &Asked) -> Result<Vec<String>, Fault> {
    let mut all = asked.given.clone();
    if let Some(path) = &asked.list {
        all.extend(lines(path)?);
    }
    if all.len() > MOST {
        return Err(Fault::input(format_args!(
            "{} words are more than a sheet takes; at most {MOST} can be printed at a time",
            all.len()
        )));
    }
    Ok(all)
}

/// Most words on one sheet: about fifty pages.
const MOST: usize = 500;

fn lines(path: &Path) -> Result<Vec<String>, Fault> {
    let text = std::fs::read_to_string(path)
        .map_err(|e| Fault::input(format_args!("{}: the list cannot be read: {e}", path.display())))?;
    let lines = text.trim_start_matches('\u{feff}').lines().map(str::trim);
    Ok(lines
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .map(str::to_owned)
        .collect())
}

fn report(page: &mut Page, sheet: &Sheet, files: &[PathBuf]) -> Result<(), Fault> {
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
