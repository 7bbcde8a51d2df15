//! `soundbead sheet`: printed sheets, as PDF or SVG.

use std::path::{Path, PathBuf};

use soundbead_data::Rules;
use soundbead_data::chain::{Graph, Limits, Range};
use soundbead_data::word::Overrides;
use soundbead_dsp::formant::VoiceKind;

use super::args::{self, Common, Given, Next};
use super::sounds;
use crate::fault::{Fault, nearest, one_line};
use crate::page::Page;
use crate::plan::{Content, Item, Plan, PlanWord};
use crate::sheet::sort::{self, Column};
use crate::sheet::words::{self, Spelled};
use crate::sheet::{About, Paper, Sheet, boxes, card, chain, consonants, dictation, save, vowels};
use crate::store;

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
            Next::Flag("plan") => asked.plan = Some(given.path()?),
            Next::Flag("chain") => asked.ends = Some((given.text()?, given.text()?)),
            Next::Flag("title") => asked.title = Some(one_line(&given.text()?)),
            Next::Flag("key") => asked.key = true,
            Next::Flag("force") => asked.replace = true,
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

fn make(kind: &str, asked: &Asked) -> Result<Sheet, Fault> {
    let about = About {
        paper: asked.paper,
        key: asked.key,
        title: asked.title.clone(),
        rules: asked.common.rules()?,
    };
    let (own, texts) = (store::overrides()?, texts(asked)?);
    if let Some(path) = &asked.plan {
        return make_plan(kind, path, asked, about, &own);
    }
    if let Some((from, to)) = &asked.ends {
        return make_found_chain(kind, from, to, &texts, &about, &own);
    }
    match kind {
        "vowels" => {
            let voice = asked.voice.unwrap_or(VoiceKind::Child);
            return no_words(kind, &texts).map(|()| vowels::sheet(voice, &about));
        }
        "consonants" => return no_words(kind, &texts).map(|()| consonants::sheet(&about)),
        _ if texts.is_empty() => return Err(needs(kind)),
        _ => {}
    }
    match kind {
        "boxes" => Ok(boxes::sheet(&spell_all(&texts, &about.rules, &own)?, &about)),
        "chain" => make_chain(&texts, &about, &own),
        "sort" => make_sort(&texts, &about, &own),
        "card" => make_cards(&texts, &about),
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

fn needs(kind: &str) -> Fault {
    let what = match kind {
        "card" => "a sound: write it after `card`, such as TH",
        "sort" => "columns: write them after `sort`, such as ck=back,duck k=milk,bank, or give --list FILE",
        _ => "words: write them after its name, or give --list FILE",
    };
    Fault::input(format_args!("a {kind} sheet needs {what}"))
}

fn no_words(kind: &str, texts: &[String]) -> Result<(), Fault> {
    texts.first().map_or(Ok(()), |text| {
        Err(Fault::input(format_args!(
            "the {kind} sheet shows all of them and takes no words, but found `{}`",
            one_line(text)
        )))
    })
}

/// Each text is `HEADING=word,word,...`.
fn make_sort(texts: &[String], about: &About, own: &Overrides) -> Result<Sheet, Fault> {
    let one = |text: &String| {
        let (heading, words) = text.split_once('=').ok_or_else(|| {
            Fault::input(format_args!(
                "`{}` is no column; write HEADING=word,word, such as ck=back,duck",
                one_line(text)
            ))
        })?;
        let words: Vec<String> = words
            .split(',')
            .map(|w| w.trim().to_owned())
            .filter(|w| !w.is_empty())
            .collect();
        Ok(Column {
            heading: one_line(heading.trim()),
            when: String::new(),
            words: spell_all(&words, &about.rules, own)?,
        })
    };
    Ok(sort::sheet(
        &texts.iter().map(one).collect::<Result<Vec<_>, Fault>>()?,
        "",
        about,
    ))
}

fn make_cards(texts: &[String], about: &About) -> Result<Sheet, Fault> {
    let cards = texts.iter().map(|name| Ok(card::sheet(sounds::find(name)?, about)));
    let cards = cards.collect::<Result<Vec<_>, Fault>>()?;
    Sheet::joined(cards).ok_or_else(|| needs("card"))
}

fn make_chain(texts: &[String], about: &About, own: &Overrides) -> Result<Sheet, Fault> {
    let ways = |text: &String| words::ways(text, &about.rules, own).map_err(Fault::input);
    let all = texts.iter().map(ways).collect::<Result<Vec<_>, _>>()?;
    Ok(chain::sheet(&chain::steps(&all).map_err(Fault::input)?, about))
}

/// The plan's items, all of them or those of one kind, by the plan's own rules unless others are asked for.
fn make_plan(kind: &str, path: &Path, asked: &Asked, about: About, own: &Overrides) -> Result<Sheet, Fault> {
    let plan = Plan::load(path).map_err(Fault::input)?;
    let wanted = |item: &Item| match kind {
        WHOLE => true,
        kind => kind_of(item) == kind,
    };
    if !matches!(kind, WHOLE | "boxes" | "chain" | "sort" | "dictation") || !asked.given.is_empty() {
        return Err(Fault::input(
            "--plan takes its words from the plan: give no words, and none of the kinds but boxes, chain, sort, dictation",
        ));
    }
    let rules = if asked.common.any_rules() {
        about.rules.clone()
    } else {
        plan.rules.clone()
    };
    let about = About { rules, ..about };
    let made = crate::sheet::plan::sheet(&plan, &about, own, &wanted);
    made.map_err(|e| Fault::input(format_args!("{}: {e}", path.display())))
}

fn kind_of(item: &Item) -> &'static str {
    match item.content {
        Content::Chain(_) => "chain",
        Content::Boxes(_) => "boxes",
        Content::Sort(_) => "sort",
        Content::Dictation { .. } => "dictation",
    }
}

/// The shortest chain between two words of the common list.
fn make_found_chain(
    kind: &str,
    from: &str,
    to: &str,
    texts: &[String],
    about: &About,
    own: &Overrides,
) -> Result<Sheet, Fault> {
    if kind != "chain" || !texts.is_empty() {
        return Err(Fault::input(
            "--chain FROM TO finds the words of a chain sheet itself; give no other words",
        ));
    }
    let graph = Graph::new(&store::word_list(Range::Common)?, &about.rules);
    let found = graph.shortest(from, to, &Limits::default(), 0).map_err(Fault::input)?;
    let said = found
        .steps
        .into_iter()
        .map(|step| PlanWord::said_as(step.word, step.said));
    let chain = Item::of(Content::Chain(said.collect()));
    crate::sheet::plan::item(&chain, about, own).map_err(Fault::input)
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
