//! `soundbead chain`: words, each one sound from the one before.

use std::fs;
use std::hash::{BuildHasher, RandomState};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use soundbead_data::Rules;
use soundbead_data::chain::{Chain, Graph, Kind, Limits, NoChain, Place, Range, Unit};

use super::args::{self, Common, Given, Next};
use crate::answer::{names, rules_map};
use crate::fault::{Fault, one_line};
use crate::links;
use crate::page::Page;
use crate::store;

/// Words of a practice chain when nothing is said.
const USUAL: usize = 8;
/// Most words that can be asked for.
const MOST: usize = 200;

/// What was asked for, still as it was written.
#[derive(Default)]
struct Asked {
    common: Common,
    words: Vec<String>,
    length: Option<String>,
    limits: Limits,
    seed: Option<String>,
    pairs: Option<PathBuf>,
    range: Option<String>,
    list: bool,
}

/// Reads the options and answers.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let mut asked = Asked::default();
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag(flag) if asked.take_limit(flag, &mut given)? => {}
            Next::Flag("length") => asked.length = Some(given.text()?),
            Next::Flag("seed") => asked.seed = Some(given.text()?),
            Next::Flag("pairs") => asked.pairs = Some(given.path()?),
            Next::Flag("words") => asked.range = Some(given.text()?),
            Next::Flag("list") => asked.list = true,
            Next::Flag(flag) if asked.common.take(flag, &mut given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(word) if asked.words.len() < 2 => asked.words.push(args::text_of("a word", word)?),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let rules = asked.common.rules()?;
    let length = asked.length.as_deref().map(length).transpose()?;
    let seed = asked.seed.as_deref().map(seed).transpose()?;
    if asked.pairs.is_some() && !asked.words.is_empty() {
        return Err(Fault::input(
            "--pairs takes its words from the file; leave FROM and TO out",
        ));
    }
    if asked.words.is_empty() && asked.pairs.is_none() && !asked.list && asked.limits.is_empty() {
        return Err(given.missing("the word to start from"));
    }
    let list = store::word_list(range(asked.range.as_deref())?)?;
    let asker = Asker {
        graph: Graph::new(&list, &rules),
        limits: asked.limits,
        length,
        seed,
        words: asked.range.unwrap_or_else(|| "common".into()),
        rules,
    };
    match (asked.list, asked.pairs, &asked.words[..]) {
        (true, ..) => asker.list(page, asked.common.json),
        (_, Some(file), _) => asker.pairs(page, &file),
        (_, None, words) => asker.one(
            page,
            words.first().map(String::as_str),
            words.get(1).map(String::as_str),
            asked.common.json,
        ),
    }
}

impl Asked {
    fn take_limit(&mut self, flag: &str, given: &mut Given) -> Result<bool, Fault> {
        let limits = &mut self.limits;
        let wrong = |e: &dyn std::fmt::Display| Fault::input(format_args!("--{flag}: {e}"));
        match flag {
            "only" => limits.sounds = units(&given.text()?).map_err(|e| wrong(&e))?,
            "change" => limits.places = several::<Place>(&given.text()?).map_err(|e| wrong(&e))?,
            "kind" => limits.kinds = several::<Kind>(&given.text()?).map_err(|e| wrong(&e))?,
            "contrast" => limits.contrasts = contrasts(&given.text()?).map_err(|e| wrong(&e))?,
            "spelling" => limits.spellings = spellings(&given.text()?).map_err(|e| wrong(&e))?,
            "syllables" => limits.syllables = Some(span(&given.text()?).map_err(|e| wrong(&e))?),
            "vowels" => limits.vowels = true,
            "clusters" => limits.clusters = true,
            _ => return Ok(false),
        }
        Ok(true)
    }
}

/// Names with commas between them; `any` is none at all.
fn several<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str) -> Result<Vec<T>, String> {
    let names = text.split(',').map(str::trim).filter(|name| !name.is_empty());
    let named: Vec<&str> = names.collect();
    match named[..] {
        [] => Err("no name was given".into()),
        ["any"] => Ok(Vec::new()),
        _ => named
            .iter()
            .map(|n| n.parse::<T>().map_err(|e| format!("{e}, or any")))
            .collect(),
    }
}

/// Sounds with spaces or commas between them, `AA+R` for several that count as one.
fn units(text: &str) -> Result<Vec<Unit>, String> {
    let names = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|n| !n.is_empty());
    let units = names
        .map(|n| n.parse::<Unit>().map_err(|e| e.to_string()))
        .collect::<Result<Vec<_>, _>>()?;
    if units.is_empty() {
        Err("no sounds were given; write them in ARPAbet, such as \"P IH G\"".into())
    } else {
        Ok(units)
    }
}

fn contrasts(text: &str) -> Result<Vec<(Unit, Unit)>, String> {
    let pair = |part: &str| match units(part)?[..] {
        [a, b] if a != b => Ok((a, b)),
        _ => Err(format!(
            "found `{}`, wanted two different sounds, such as \"EH IH\"",
            part.trim()
        )),
    };
    text.split(',').map(pair).collect()
}

fn spellings(text: &str) -> Result<Vec<String>, String> {
    let parts = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|p| !p.is_empty());
    let parts: Vec<String> = parts.map(str::to_lowercase).collect();
    let bad = parts
        .iter()
        .find(|p| !p.chars().all(|c| c.is_ascii_lowercase() || c == '_'));
    match bad {
        Some(bad) => Err(format!("found `{bad}`, wanted letters, such as ck or a_e")),
        None if parts.is_empty() => Err("no letters were given; write such as \"p,i,g,ck,a_e\"".into()),
        None => Ok(parts),
    }
}

pub(super) fn span(text: &str) -> Result<RangeInclusive<usize>, String> {
    let (low, high) = text.split_once('-').unwrap_or((text, text));
    let number = |t: &str| t.trim().parse::<usize>().ok().filter(|n| (1..=20).contains(n));
    let ends = number(low).zip(number(high)).filter(|(low, high)| low <= high);
    let (low, high) =
        ends.ok_or_else(|| format!("found `{}`, wanted a number such as 1, or two as 1-2", one_line(text)))?;
    Ok(low..=high)
}

fn length(text: &str) -> Result<usize, Fault> {
    let number = text.parse().ok().filter(|n| (2..=MOST).contains(n));
    number.ok_or_else(|| {
        Fault::input(format_args!(
            "--length: found `{text}`, wanted a number of words from 2 to {MOST}"
        ))
    })
}

pub(super) fn seed(text: &str) -> Result<u64, Fault> {
    let number = text.parse().ok();
    number.ok_or_else(|| Fault::input(format_args!("--seed: found `{text}`, wanted a whole number from 0 up")))
}

/// The word list that `--words` names.
pub(super) fn range(name: Option<&str>) -> Result<Range, Fault> {
    match name {
        None | Some("common") => Ok(Range::Common),
        Some("dictionary") => Ok(Range::Dictionary),
        Some(path) => {
            let text = fs::read_to_string(path).map_err(|e| {
                Fault::input(format_args!(
                    "--words {path}: {e}; wanted common, dictionary, or a file with a word on each line"
                ))
            })?;
            Ok(Range::Given(
                text.lines()
                    .map(|l| l.trim().to_owned())
                    .filter(|l| !l.is_empty())
                    .collect(),
            ))
        }
    }
}

/// The graph and everything that holds for each question to it.
struct Asker {
    graph: Graph,
    limits: Limits,
    length: Option<usize>,
    seed: Option<u64>,
    words: String,
    rules: Rules,
}

impl Asker {
    fn answer(&self, from: Option<&str>, to: Option<&str>, seed: u64) -> Result<Chain, NoChain> {
        let practice = || {
            self.graph
                .practice(from, self.length.unwrap_or(USUAL), &self.limits, seed)
        };
        match (from, to, self.length) {
            (Some(from), Some(to), None) => self.graph.shortest(from, to, &self.limits, seed),
            (Some(from), Some(to), Some(words)) => self.graph.exact(from, to, words, &self.limits, seed),
            _ => practice(),
        }
    }

    fn one(&self, page: &mut Page, from: Option<&str>, to: Option<&str>, json: bool) -> Result<(), Fault> {
        let chance = || RandomState::new().hash_one(0u8) % 1_000_000;
        let seed = self.seed.unwrap_or_else(|| if to.is_some() { 0 } else { chance() });
        let answer = self.answer(from, to, seed);
        if json {
            page.json(&self.object(from, to, seed, &answer))?;
            page.flush()?;
        }
        match answer {
            Ok(chain) if !json => Ok(links::show(page, &chain, &self.rules, seed)?),
            Ok(_) => Ok(()),
            Err(none) => Err(Fault::input(none)),
        }
    }

    fn pairs(&self, page: &mut Page, file: &Path) -> Result<(), Fault> {
        let text = fs::read_to_string(file).map_err(|e| {
            Fault::input(format_args!(
                "{}: {e}; wanted a text file with `from<TAB>to` on each line",
                file.display()
            ))
        })?;
        for (number, line) in text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
            let object = match line.split_once('\t') {
                Some((from, to)) => {
                    let (from, to) = (from.trim(), to.trim());
                    let seed = self.seed.unwrap_or(0);
                    self.object(Some(from), Some(to), seed, &self.answer(Some(from), Some(to), seed))
                }
                None => json!({
                    "line": number + 1, "steps": null,
                    "error": format!("line {}: found `{}`, wanted two words with a tab between them", number + 1, one_line(line)),
                }),
            };
            page.json(&object)?;
        }
        Ok(())
    }

    fn object(&self, from: Option<&str>, to: Option<&str>, seed: u64, answer: &Result<Chain, NoChain>) -> Value {
        let mut object = json!({ "from": from, "to": to });
        match answer {
            Ok(chain) => object["steps"] = links::steps(chain),
            Err(none) => {
                object["steps"] = Value::Null;
                object["error"] = none.to_string().into();
                object["reason"] = none.why.to_string().into();
                let nearest = none.nearest.as_ref();
                object["nearest"] = nearest.map_or(
                    Value::Null,
                    |n| json!({ "is": none.nearest_is, "steps": links::steps(n) }),
                );
            }
        }
        object["seed"] = seed.into();
        object["words"] = self.words.clone().into();
        object["rules"] = rules_map(&self.rules).into();
        object
    }

    fn list(&self, page: &mut Page, json: bool) -> Result<(), Fault> {
        for (spelled, units) in self.graph.words() {
            if json {
                let units: Vec<String> = units.iter().map(links::arpabet).collect();
                page.json(&json!({ "word": spelled.word, "sounds": names(spelled.said.sounds()), "units": units, "zipf": spelled.zipf }))?;
            } else {
                page.line(&format!("{}\t{}", spelled.word, names(spelled.said.sounds()).join(" ")))?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_read_and_refused_with_what_was_wanted() {
        assert_eq!(
            several::<Place>("initial, final").unwrap(),
            [Place::Initial, Place::Final]
        );
        assert!(several::<Kind>("any").unwrap().is_empty());
        assert!(several::<Kind>("swop").unwrap_err().contains("wanted swap"));
        assert_eq!(units("AA+R,t").unwrap().len(), 2);
        assert_eq!(contrasts("EH IH, s sh").unwrap().len(), 2);
        assert!(contrasts("EH EH").is_err() && contrasts("EH").is_err() && units(" ").is_err());
        assert_eq!(spellings("CK,a_e").unwrap(), ["ck", "a_e"]);
        assert!(spellings("c4").is_err() && spellings(",").is_err());
        assert_eq!(span("1-2").unwrap(), 1..=2);
        assert!(span("0").is_err() && span("3-1").is_err() && span("x").is_err());
    }
}
