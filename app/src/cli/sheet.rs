//! `soundbead sheet`: printed sheets, as PDF or SVG.

use std::path::{Path, PathBuf};

use soundbead_data::Rules;
use soundbead_data::word::Overrides;

use super::args::{self, Common, Given, Next};
use crate::fault::{Fault, nearest, one_line};
use crate::page::Page;
use crate::sheet::words::{self, Spelled};
use crate::sheet::{About, Paper, Sheet, boxes, chain, dictation, save};
use crate::store;

/// Each kind with what it shows.
const KINDS: [&str; 3] = ["boxes", "chain", "dictation"];

/// What was asked for, as it was written.
#[derive(Default)]
struct Asked {
    kind: Option<String>,
    given: Vec<String>,
    list: Option<PathBuf>,
    out: Option<PathBuf>,
    paper: Paper,
    title: Option<String>,
    key: bool,
    replace: bool,
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
    let sheet = make(kind, &asked)?;
    let files = save::save(&sheet, &out, asked.replace).map_err(Fault::input)?;
    report(page, &sheet, &files)
}

fn read(given: &mut Given) -> Result<Asked, Fault> {
    let mut asked = Asked::default();
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("out") => asked.out = Some(given.path()?),
            Next::Flag("list") => asked.list = Some(given.path()?),
            Next::Flag("title") => asked.title = Some(one_line(&given.text()?)),
            Next::Flag("key") => asked.key = true,
            Next::Flag("force") => asked.replace = true,
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

fn kind(asked: &Asked, given: &Given) -> Result<&'static str, Fault> {
    let name = asked
        .kind
        .as_deref()
        .ok_or_else(|| given.missing("the kind of sheet"))?;
    KINDS.iter().find(|k| **k == name).copied().ok_or_else(|| {
        let hint = nearest(name, KINDS).map_or(String::new(), |m| format!(" (did you mean `{m}`?)"));
        Fault::input(format_args!(
            "there is no sheet `{}`{hint}; there are: {}",
            one_line(name),
            KINDS.join(", ")
        ))
    })
}

fn make(kind: &str, asked: &Asked) -> Result<Sheet, Fault> {
    let about = About {
        paper: asked.paper,
        key: asked.key,
        title: asked.title.clone(),
        rules: asked.common.rules()?,
    };
    let own = store::overrides()?;
    let texts = texts(asked)?;
    if texts.is_empty() {
        return Err(Fault::input(format_args!(
            "a {kind} sheet needs words: write them after `{kind}`, or give --list FILE"
        )));
    }
    match kind {
        "boxes" => Ok(boxes::sheet(&spell_all(&texts, &about.rules, &own)?, &about)),
        "chain" => make_chain(&texts, &about, &own),
        _ => {
            let (sentences, singles): (Vec<String>, Vec<String>) = texts
                .into_iter()
                .partition(|text| text.trim().contains(char::is_whitespace));
            Ok(dictation::sheet(
                &spell_all(&singles, &about.rules, &own)?,
                &sentences,
                &about,
            ))
        }
    }
}

fn make_chain(texts: &[String], about: &About, own: &Overrides) -> Result<Sheet, Fault> {
    let ways = |text: &String| words::ways(text, &about.rules, own).map_err(Fault::input);
    let all = texts.iter().map(ways).collect::<Result<Vec<_>, _>>()?;
    Ok(chain::sheet(&chain::steps(&all).map_err(Fault::input)?, about))
}

fn spell_all(texts: &[String], rules: &Rules, own: &Overrides) -> Result<Vec<Spelled>, Fault> {
    let one = |text: &String| words::spell(text, rules, own).map_err(Fault::input);
    texts.iter().map(one).collect()
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
    let s = if pages == 1 { "" } else { "s" };
    for (at, file) in files.iter().enumerate() {
        let what = match files.len() {
            1 => format!("{pages} page{s}"),
            total => format!("page {} of {total}", at + 1),
        };
        page.line(&format!("{}: {what}, {}", file.display(), sheet.paper.name()))?;
    }
    Ok(())
}
