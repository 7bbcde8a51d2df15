//! `soundbead parts`: prefixes, bases and suffixes, and sums of them.

use std::cell::LazyCell;

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::chain::WordList;
use soundbead_data::parts::{self, DividedWord, Families, Part, PieceRole, Regularity, Shift, Sum};
use soundbead_data::word;

use super::questioned;
use crate::ask::parts::{AffixCount, sums};
use crate::fault::{Fault, one_line};
use crate::page::{OutputPage, TextTone, WIDTH, fold};
use crate::store;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct PartsArgs {
    /// Parts to show with their sums (un, ion, port), or words to take apart; all parts are listed when none is given
    #[arg(value_name = "PART or WORD")]
    parts: Vec<String>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Prefixes, bases and suffixes of Anglo-Saxon, Latin and Greek descent. A sum
shows the word that comes out, what the spelling does where the parts meet, and
which sounds of the base change, as the dictionary has them. What a prefix or a
suffix joins, and how it is written there, is counted on the common words. Any
other word (unhappiness) is taken apart, and other words with its base are shown.

The JSON answer: form, origin, meaning, sums (parts, word, joins, base_heard
with changes and stress_moves; null where no part is a word by itself), counted
(joins_words, joins_bases, rules; null for a base and in the whole list). For a
word: word, sum, parts (text, letters, role, form, meaning, origin), changes,
family.

For example:
  $ soundbead parts port
  port   ...
  ...";

impl PartsArgs {
    /// Lists the parts, or shows those that are named with their sums; a word that is no part is taken apart.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let named = self.parts.iter().map(|name| name.to_lowercase());
        let (words, forms): (Vec<String>, Vec<String>) = named.partition(|name| parts::find(name).is_none());
        let all = self.parts.is_empty();
        questioned::ask(words.iter().map(String::as_str), &store::overrides()?);
        // Counting takes every common word apart: once, and not for the mere list.
        let families = LazyCell::new(|| Families::new(&WordList::default()));
        apart(page, &words, &families, self.json)?;
        let chosen: Vec<&Part> = match all {
            true => parts::all().iter().collect(),
            false => forms.iter().filter_map(|name| parts::find(name)).collect(),
        };
        for part in chosen {
            let counted = if all { None } else { AffixCount::of(&families, part) };
            match (self.json, all) {
                (true, _) => page.json(&object(part, counted.as_ref()))?,
                (false, true) => row(page, part)?,
                (false, false) => in_full(page, part, counted.as_ref())?,
            }
        }
        Ok(())
    }
}

/// Words of a family that are shown.
const FAMILY: usize = 12;

/// Each word in its parts, and its family.
fn apart(
    page: &mut OutputPage,
    words: &[String],
    families: &LazyCell<Families, impl FnOnce() -> Families>,
    json: bool,
) -> Result<(), Fault> {
    let spelled = words
        .iter()
        .map(|text| word::normal(text).map_err(|e| Fault::input(no_part(text, &e))));
    let spelled = spelled.collect::<Result<Vec<String>, Fault>>()?;
    for word in &spelled {
        let apart = parts::take_apart(word);
        let family = family(families, &apart);
        match json {
            true => page.json(&taken(&apart, &family))?,
            false => in_pieces(page, &apart, &family)?,
        }
    }
    Ok(())
}

fn no_part(text: &str, why: &word::WordError) -> String {
    format!(
        "there is no part `{}`, and {why}; `soundbead parts` lists the parts",
        one_line(text)
    )
}

/// Other words with the same base, the commonest first.
fn family<'f>(families: &'f Families, apart: &DividedWord) -> Vec<&'f str> {
    let Some(base) = apart.pieces.iter().find(|p| p.role == PieceRole::Base) else {
        return Vec::new();
    };
    let name = base.part.map_or(base.text.as_str(), |part| part.form.as_str());
    let others = families.of(name).into_iter().filter(|other| other.word != apart.word);
    others.map(|other| other.word.as_str()).take(FAMILY).collect()
}

fn in_pieces(page: &mut OutputPage, apart: &DividedWord, family: &[&str]) -> std::io::Result<()> {
    let texts: Vec<&str> = apart.pieces.iter().map(|p| p.text.as_str()).collect();
    page.line(&format!(
        "{} = {}",
        page.tone(TextTone::Strong, &apart.word),
        texts.join(" + ")
    ))?;
    for piece in &apart.pieces {
        if let Some(part) = piece.part {
            page.paragraph(2, &format!("{}: {} ({})", part.form, part.meaning, part.origin))?;
        }
    }
    if let Some(sum) = apart.put_together() {
        page.paragraph(2, &sum.changes().join("; "))?;
    }
    if !family.is_empty() {
        page.paragraph(2, &format!("Family: {}", family.join(", ")))?;
    }
    page.line("")
}

fn taken(apart: &DividedWord, family: &[&str]) -> Value {
    let piece = |p: &parts::Piece| {
        let role = match p.role {
            PieceRole::Prefix => "prefix",
            PieceRole::Base => "base",
            PieceRole::Suffix => "suffix",
        };
        json!({
            "text": p.text, "letters": &apart.word[p.letters.clone()], "role": role,
            "form": p.part.map(|part| &part.form), "meaning": p.part.map(|part| &part.meaning),
            "origin": p.part.map(|part| part.origin.to_string()),
        })
    };
    let changes = apart.put_together().map(|sum| sum.changes());
    json!({
        "word": apart.word, "sum": apart.sum(), "parts": apart.pieces.iter().map(piece).collect::<Value>(),
        "changes": changes, "family": family,
    })
}

fn row(page: &mut OutputPage, part: &Part) -> std::io::Result<()> {
    let form = page.tone(TextTone::Strong, &format!("{:8}", part.form));
    for (at, line) in fold(&part.meaning, WIDTH - 24).iter().enumerate() {
        match at {
            0 => page.line(&format!("  {form} {:12} {line}", part.origin))?,
            _ => page.line(&format!("{:24}{line}", ""))?,
        }
    }
    Ok(())
}

fn in_full(page: &mut OutputPage, part: &Part, counted: Option<&AffixCount>) -> std::io::Result<()> {
    page.line(&format!(
        "{}   {}",
        page.tone(TextTone::Strong, &part.form),
        part.origin
    ))?;
    page.paragraph(0, &part.meaning)?;
    page.line("")?;
    for sum in sums(part) {
        page.line(&format!(
            "  {} = {}",
            sum.parts.join(" + "),
            page.tone(TextTone::Strong, &sum.word)
        ))?;
        page.paragraph(6, &sum.changes().join("; "))?;
    }
    if let Some(counted) = counted {
        page.line("")?;
        page.paragraph(2, "Counted in the common words of the dictionary:")?;
        for sentence in counted.sentences() {
            page.paragraph(6, &sentence)?;
        }
    }
    page.line("")
}

/// What letters of the base do in the longer word.
fn shift(shift: &Shift) -> Value {
    let text = shift.to_string();
    match shift {
        Shift::Says(letters, from, to) => {
            json!({ "letters": letters, "from": from.arpabet(), "to": to.arpabet(), "says": text })
        }
        Shift::Heard(letters) | Shift::Silent(letters) => json!({ "letters": letters, "says": text }),
    }
}

fn object(part: &Part, counted: Option<&AffixCount>) -> Value {
    let one = |sum: Sum| {
        let heard = sum.heard().map(|h| {
            let changes = h.shifts.iter().map(shift);
            json!({ "changes": changes.collect::<Value>(), "stress_moves": h.stress_moves })
        });
        let joins: Vec<String> = sum.joins.iter().map(ToString::to_string).collect();
        json!({ "parts": sum.parts, "word": sum.word, "joins": joins, "base_heard": heard })
    };
    let rule = |r: &Regularity| json!({ "when": r.when, "then": r.then, "holds": r.holds, "of": r.of, "exceptions": r.exceptions });
    let counted = counted.map(|c| {
        let rules = c.regular.iter().map(rule);
        json!({ "joins_words": c.words, "joins_bases": c.bases, "rules": rules.collect::<Value>() })
    });
    json!({
        "form": part.form, "origin": part.origin.to_string(), "meaning": part.meaning,
        "sums": sums(part).map(one).collect::<Value>(), "counted": counted,
    })
}
