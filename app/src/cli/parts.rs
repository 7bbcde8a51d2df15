//! `soundbead parts`: prefixes, bases and suffixes, and sums of them.

use clap::Args;
use serde_json::{Value, json};
use soundbead_data::Sound;
use soundbead_data::parts::{self, Part, Sum};

use crate::fault::{Fault, one_line};
use crate::page::{Page, Tone, WIDTH, fold};

#[derive(Args)]
#[command(after_help = MORE)]
pub struct PartsArgs {
    /// Parts to show with their sums, such as un, ion or port; all are listed when none is given
    #[arg(value_name = "PART")]
    parts: Vec<String>,
    /// One JSON object a line
    #[arg(long)]
    json: bool,
}

const MORE: &str = "\
Prefixes, bases and suffixes of Anglo-Saxon, Latin and Greek descent. A sum
shows the word that comes out, what the spelling does where the parts meet, and
which sounds of the base change, as the dictionary has them.

The JSON answer: form, origin, meaning, sums (parts, word, joins, base_heard
with changes and stress_moves; null where no part is a word by itself).

For example:
  $ soundbead parts port
  port   ...
  ...";

impl PartsArgs {
    /// Lists the parts, or shows those that are named with their sums.
    pub fn run(self, page: &mut Page) -> Result<(), Fault> {
        let found = |name: &String| {
            let part = parts::find(&name.to_lowercase());
            part.ok_or_else(|| {
                Fault::input(format_args!(
                    "there is no part `{}`; `soundbead parts` lists them",
                    one_line(name)
                ))
            })
        };
        let chosen = self.parts.iter().map(found).collect::<Result<Vec<_>, _>>()?;
        let all = chosen.is_empty();
        let chosen: Vec<&Part> = if all { parts::all().iter().collect() } else { chosen };
        for part in chosen {
            match (self.json, all) {
                (true, _) => page.json(&object(part))?,
                (false, true) => row(page, part)?,
                (false, false) => in_full(page, part)?,
            }
        }
        Ok(())
    }
}

fn row(page: &mut Page, part: &Part) -> std::io::Result<()> {
    let form = page.tone(Tone::Strong, &format!("{:8}", part.form));
    for (at, line) in fold(&part.meaning, WIDTH - 24).iter().enumerate() {
        match at {
            0 => page.line(&format!("  {form} {:12} {line}", part.origin))?,
            _ => page.line(&format!("{:24}{line}", ""))?,
        }
    }
    Ok(())
}

fn sums(part: &Part) -> impl Iterator<Item = Sum> {
    // Every sum of the table makes a word; the tests of the data hold it.
    part.sums.iter().filter_map(|text| Sum::read(text))
}

fn in_full(page: &mut Page, part: &Part) -> std::io::Result<()> {
    page.line(&format!("{}   {}", page.tone(Tone::Strong, &part.form), part.origin))?;
    page.paragraph(0, &part.meaning)?;
    page.line("")?;
    for sum in sums(part) {
        page.line(&format!(
            "  {} = {}",
            sum.parts.join(" + "),
            page.tone(Tone::Strong, &sum.word)
        ))?;
        page.paragraph(6, &sum.changes().join("; "))?;
    }
    page.line("")
}

fn object(part: &Part) -> Value {
    let one = |sum: Sum| {
        let heard = sum.heard().map(|h| {
            let changes = h
                .changes
                .iter()
                .map(|(from, to)| json!({ "from": from.arpabet(), "to": to.map(Sound::arpabet) }));
            json!({ "changes": changes.collect::<Value>(), "stress_moves": h.stress_moves })
        });
        let joins: Vec<String> = sum.joins.iter().map(ToString::to_string).collect();
        json!({ "parts": sum.parts, "word": sum.word, "joins": joins, "base_heard": heard })
    };
    json!({
        "form": part.form, "origin": part.origin.to_string(), "meaning": part.meaning,
        "sums": sums(part).map(one).collect::<Value>(),
    })
}
