//! The measurement as it is kept beside the model, and the tables that the README and the model's card show of it.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::figure::{calibration_error, share, wilson};

/// Everything that was measured of one model.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Measurement {
    /// The model's id.
    pub model: String,
    /// The model that ships, where that is another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ships: Option<ShippedModel>,
    /// In the order in which they were printed.
    pub figures: Vec<Figure>,
}

/// The model that ships once nothing more is chosen by the table: it has learned from the measured speakers too.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShippedModel {
    /// Its id.
    pub model: String,
    /// SHA-256 of its tensors, as its package names them; a new calibration leaves it as it is.
    pub weights: String,
    /// SHA-256 of the list of words whose speakers it has heard.
    pub heard: String,
}

/// One figure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// Of whom: children, adults, or a synthesiser's voice.
    pub who: String,
    /// What was measured, as it is printed.
    pub name: String,
    /// What came of it.
    #[serde(flatten)]
    pub value: Value,
}

/// What came of a measurement.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Value {
    /// So many of so many.
    Share {
        /// How many came true.
        hits: usize,
        /// Of how many.
        of: usize,
    },
    /// A calibration error, 0 to 1, over so many answers.
    Error {
        /// The mean distance between how sure and how often right.
        error: f64,
        /// Of how many answers.
        of: usize,
    },
    /// A share from 0 to 1 that is read off a curve.
    Point {
        /// The share.
        point: f64,
    },
    /// A number from 0 to 1 with the interval that drawing the speakers anew gives.
    Drawn {
        /// The number.
        drawn: f64,
        /// The ends of its 95 % interval.
        between: [f64; 2],
    },
}

/// The ends of the names of what becomes of words that are asked about.
const AFFIRMED: &str = " affirmed";
/// See [`AFFIRMED`].
const CONTRADICTED: &str = " contradicted";
/// See [`AFFIRMED`].
const UNSURE: &str = " unsure";

impl Measurement {
    /// Of a model, with nothing measured yet.
    pub fn of(model: impl ToString) -> Measurement {
        Measurement {
            model: model.to_string(),
            ships: None,
            figures: Vec::new(),
        }
    }

    /// The rows of one group of speakers, to be printed and kept.
    pub fn of_whom<'a>(&'a mut self, who: &'a str) -> Rows<'a> {
        Rows { all: self, who }
    }

    /// Writes the measurement, one figure a line.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn keep(&self, path: &Path) -> Result<(), String> {
        let line = |f: &Figure| serde_json::to_string(f).map(|f| format!("  {f}"));
        let lines: Vec<String> = self
            .figures
            .iter()
            .map(line)
            .collect::<Result<_, _>>()
            .map_err(|e| e.to_string())?;
        let ships = self.ships.as_ref().map(serde_json::to_string).transpose();
        let ships = ships.map_err(|e| e.to_string())?;
        let text = format!(
            "{{\"model\": \"{}\",{} \"figures\": [\n{}\n]}}\n",
            self.model,
            ships.map_or(String::new(), |s| format!(" \"ships\": {s},")),
            lines.join(",\n")
        );
        std::fs::write(path, text).map_err(|e| format!("{}: {e}", path.display()))
    }

    /// Reads a measurement.
    ///
    /// # Errors
    /// When the file cannot be read or is none.
    pub fn read(path: &Path) -> Result<Measurement, String> {
        let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
        serde_json::from_str(&text).map_err(|e| format!("{}: {e}", path.display()))
    }

    /// Refuses the speakers of a list of words (its bytes) to a network (the hash of its tensors) that has learned from them.
    ///
    /// # Errors
    /// When it has heard them; says which model to measure.
    pub fn refuse_heard(&self, weights: &str, list: &[u8]) -> Result<(), String> {
        match &self.ships {
            Some(ships) if ships.weights == weights && ships.heard == sha256(list) => Err(format!(
                "the network that ships (model {}) has learned from these speakers, so it can't be measured on them; \
                 measure model {} with --model FILE (dsp/weights/README.md says where to find it)",
                ships.model, self.model
            )),
            _ => Ok(()),
        }
    }

    /// The figure of this name. What is neither affirmed nor contradicted is `unsure`.
    ///
    /// # Errors
    /// Where it was not measured.
    fn value(&self, who: &str, name: &str) -> Result<Value, String> {
        if let Some(what) = name.strip_suffix(UNSURE) {
            let told = [AFFIRMED, CONTRADICTED].map(|verdict| self.value(who, &format!("{what}{verdict}")));
            return match told {
                [
                    Ok(Value::Share { hits: affirmed, of }),
                    Ok(Value::Share { hits: contradicted, .. }),
                ] => Ok(Value::Share {
                    hits: of - affirmed - contradicted,
                    of,
                }),
                _ => Err(format!("what share of \"{what}\" of {who} is unsure was not measured")),
            };
        }
        let found = self.figures.iter().find(|f| f.who == who && f.name == name);
        let missing = || format!("the stored measurement has no \"{name}\" of {who}; measure it with --store");
        found.map(|f| f.value).ok_or_else(missing)
    }
}

/// The rows of one group of speakers.
pub struct Rows<'a> {
    all: &'a mut Measurement,
    who: &'a str,
}

impl Rows<'_> {
    /// Prints and keeps a row of hits.
    pub fn row(&mut self, name: &str, hits: usize, of: usize) {
        println!("  {name:<58} {}", share(hits, of));
        self.keep_one(name, Value::Share { hits, of });
    }

    /// Prints and keeps the row of what came true of each.
    pub fn hits(&mut self, name: &str, of: &[bool]) {
        self.row(name, of.iter().filter(|hit| **hit).count(), of.len());
    }

    /// Prints and keeps a calibration error: how sure each answer was, and whether it was right.
    pub fn calibration(&mut self, name: &str, answers: Vec<(f32, bool)>) {
        let error = calibration_error(&answers);
        println!("  {name:<58} {error:.3} of {}", answers.len());
        let of = answers.len();
        self.keep_one(
            name,
            Value::Error {
                error: rounded(error),
                of,
            },
        );
    }

    /// Prints and keeps a number with its interval.
    pub fn between(&mut self, name: &str, drawn: f64, between: [f64; 2]) {
        println!("  {name:<58} {drawn:.3} ({:.3} to {:.3})", between[0], between[1]);
        let (drawn, between) = (rounded(drawn), between.map(rounded));
        self.keep_one(name, Value::Drawn { drawn, between });
    }

    /// Keeps a share that was read off a curve.
    pub fn point(&mut self, name: &str, point: f64) {
        self.keep_one(name, Value::Point { point: rounded(point) });
    }

    fn keep_one(&mut self, name: &str, value: Value) {
        let (who, name) = (self.who.to_owned(), name.trim().to_owned());
        self.all.figures.push(Figure { who, name, value });
    }
}

/// To five places: as much as is ever printed, and the same on every machine.
fn rounded(x: f64) -> f64 {
    (x * 1e5).round() / 1e5
}

/// A line of a table: what it says, the names of the figures that stand in each cell, and what stands in the last column.
type TableLine = (&'static str, &'static [&'static str], &'static str);

/// What the last columns are called, and how a cell is written.
struct TableKind {
    lines: &'static [TableLine],
    last: &'static str,
    cell: fn(Value) -> String,
}

/// The table of the README: what a parent needs to know, beside what one of the trained listeners does. That is from the corpus's
/// published marks of each: in 84 % of the words where three or more of the other four mark a slip a listener marks one, in 4 % of those
/// that all four call right.
const README: TableKind = TableKind {
    last: "one listener",
    cell: short,
    lines: &[
        (
            "words that five trained listeners call right in every sound: affirmed, contradicted, unsure",
            &["right words affirmed", "right words contradicted", "right words unsure"],
            "96, 4, 0 %",
        ),
        (
            "words in which three or more of them mark a slip: affirmed, contradicted, unsure",
            &[
                "slipped words affirmed",
                "slipped words contradicted",
                "slipped words unsure",
            ],
            "16, 84, 0 %",
        ),
        (
            "right words asked about as a real word one sound away: affirmed, contradicted, unsure",
            &[
                "right words asked about as a real word beside affirmed",
                "right words asked about as a real word beside contradicted",
                "right words asked about as a real word beside unsure",
            ],
            "",
        ),
        (
            "the same in a lesson, where that word is one of those practiced",
            &[
                "right words in a list, asked about as a word beside affirmed",
                "right words in a list, asked about as a word beside contradicted",
                "right words in a list, asked about as a word beside unsure",
            ],
            "",
        ),
        (
            "right words drawn out: affirmed, contradicted, unsure",
            &[
                "right words drawn out affirmed",
                "right words drawn out contradicted",
                "right words drawn out unsure",
            ],
            "",
        ),
        (
            "right words sound by sound: affirmed, contradicted, unsure",
            &[
                "right words sound by sound affirmed",
                "right words sound by sound contradicted",
                "right words sound by sound unsure",
            ],
            "",
        ),
        (
            "of two real words one sound apart, the said one is preferred: one sound fewer, more, changed",
            &[
                "right words preferred to a real word with one fewer",
                "right words preferred to a real word with one more",
                "right words preferred to a real word with one changed",
            ],
            "",
        ),
        (
            "slipped words caught where 4 % of right ones are flagged",
            &["slipped words caught where 4 % of right ones are flagged"],
            "0.84",
        ),
        (
            "correlation with the listeners' mean mark of a sound",
            &["each sound, correlation with the listeners' mean"],
            "0.62, 0.68",
        ),
        (
            "count exact, the word named: drawn out, sound by sound in noise 20 dB down",
            &["stretched, count exact", "separate sounds, count exact, 20 dB"],
            "",
        ),
        (
            "count without a word named, right words: exact, within one",
            &["right words, blind count exact", "right words, blind count within one"],
            "",
        ),
    ],
};

/// The table of the card: what the goals are set on, with intervals. What else was measured stands in the stored measurement.
const CARD: TableKind = TableKind {
    last: "goal",
    cell: whole,
    lines: &[
        (
            "a sound's `right`, correlation with the listeners' mean",
            &["each sound, correlation with the listeners' mean"],
            "0.67",
        ),
        (
            "... wrong told from right, area",
            &["each sound, wrong told from right, area"],
            "0.97",
        ),
        (
            "sounds flagged: clean, accented",
            &[
                "clean sounds held likelier wrong than right",
                "sounds accented but not wrong, held likelier wrong than right",
            ],
            "5 points apart",
        ),
        (
            "right: affirmed, contradicted",
            &["right words affirmed", "right words contradicted"],
            "85, 0.5 %",
        ),
        (
            "slipped: affirmed, contradicted",
            &["slipped words affirmed", "slipped words contradicted"],
            "6 %",
        ),
        (
            "right told from slipped, area",
            &["right words told from slipped, area"],
            "0.95",
        ),
        (
            "slipped caught, 4, 1 % of right flagged",
            &[
                "slipped words caught where 4 % of right ones are flagged",
                "slipped words caught where 1 % of right ones are flagged",
            ],
            "0.84, 0.50",
        ),
        (
            "slipped affirmed with 50, 80, 95 % of right",
            &[
                "slipped words affirmed, were 50 % of right ones",
                "slipped words affirmed, were 80 % of right ones",
                "slipped words affirmed, were 95 % of right ones",
            ],
            "",
        ),
        (
            "the sound named was marked",
            &["slipped words, the sound named is one that was marked"],
            "85 %",
        ),
        (
            "asked as a word beside: affirmed, contradicted",
            &[
                "right words asked about as a real word beside affirmed",
                "right words asked about as a real word beside contradicted",
            ],
            "1.5, 75 %",
        ),
        (
            "... in a list with it",
            &[
                "right words in a list, asked about as a word beside affirmed",
                "right words in a list, asked about as a word beside contradicted",
            ],
            "",
        ),
        (
            "... in that list, as itself",
            &["right words in a list affirmed", "right words in a list contradicted"],
            "",
        ),
        (
            "told from one fewer, more, changed",
            &[
                "right words preferred to a real word with one fewer",
                "right words preferred to a real word with one more",
                "right words preferred to a real word with one changed",
            ],
            "98 % each",
        ),
        (
            "blind count: exact, within one",
            &["right words, blind count exact", "right words, blind count within one"],
            "80, 97 %",
        ),
        (
            "drawn out: affirmed, contradicted",
            &["right words drawn out affirmed", "right words drawn out contradicted"],
            "75, 0.5 %",
        ),
        (
            "... as a word beside",
            &[
                "right words drawn out, asked about as a real word beside affirmed",
                "right words drawn out, asked about as a real word beside contradicted",
            ],
            "",
        ),
        (
            "sound by sound: affirmed, contradicted",
            &[
                "right words sound by sound affirmed",
                "right words sound by sound contradicted",
            ],
            "75, 0.5 %",
        ),
        (
            "... as a word beside",
            &[
                "right words sound by sound, asked about as a real word beside affirmed",
                "right words sound by sound, asked about as a real word beside contradicted",
            ],
            "",
        ),
        (
            "slipped affirmed: drawn out, sound by sound",
            &[
                "slipped words drawn out affirmed",
                "slipped words sound by sound affirmed",
            ],
            "",
        ),
        (
            "count exact, word named: drawn out, sound by sound",
            &["stretched, count exact", "separate sounds, count exact, 20 dB"],
            "",
        ),
        (
            "calibration error: `right`, count with a word, without, of two words",
            &[
                "calibration error, a listener calls the sound right",
                "calibration error, count given the right target",
                "calibration error, blind count",
                "calibration error, told from one other word",
            ],
            "0.02 each",
        ),
    ],
};

/// A cell with whole per cents, as the README has them; a share of one in a hundred or less keeps a place.
fn short(value: Value) -> String {
    let percent = |x: f64| match 100.0 * x {
        small if small < 1.95 => format!("{small:.1} %"),
        large => format!("{large:.0} %"),
    };
    match value {
        Value::Share { hits, of } => percent(hits as f64 / of.max(1) as f64),
        Value::Point { point } => percent(point),
        Value::Error { error, .. } => format!("{error:.3}"),
        Value::Drawn { drawn, .. } => format!("{drawn:.2}"),
    }
}

/// A cell with its interval, in per cents where it is a share: two digits, for the intervals are wide.
fn whole(value: Value) -> String {
    let percent = |x: f64| match 100.0 * x {
        small if small < 9.95 => format!("{small:.1}"),
        large => format!("{large:.0}"),
    };
    match value {
        Value::Share { hits, of } => {
            let (low, high) = wilson(hits, of);
            let share = hits as f64 / of.max(1) as f64;
            format!("{} ({}–{}) %", percent(share), percent(low), percent(high))
        }
        Value::Point { point } => format!("{} %", percent(point)),
        Value::Error { error, .. } => format!("{error:.3}"),
        Value::Drawn {
            drawn,
            between: [low, high],
        } => format!("{drawn:.2} ({low:.2}–{high:.2})"),
    }
}

/// Figures in one cell; where all are per cents, the sign stands once.
fn together(figures: &[String]) -> String {
    let bare: Option<Vec<&str>> = figures.iter().map(|f| f.strip_suffix(" %")).collect();
    bare.map_or_else(|| figures.join(", "), |bare| bare.join(", ") + " %")
}

fn table(measured: &Measurement, kind: &TableKind) -> Result<String, String> {
    let mut out = format!("| | children | adults | {} |\n| --- | --- | --- | --- |\n", kind.last);
    for (label, names, last) in kind.lines {
        let cells = |who: &str| -> Result<String, String> {
            let each = names.iter().map(|n| Ok((kind.cell)(measured.value(who, n)?)));
            Ok(together(&each.collect::<Result<Vec<String>, String>>()?))
        };
        out += &format!("| {label} | {} | {} | {last} |\n", cells("children")?, cells("adults")?);
    }
    Ok(out)
}

/// SHA-256 in hexadecimal.
fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

/// The measurement that is kept beside the model.
///
/// # Errors
/// When it cannot be read.
pub fn kept() -> Result<Measurement, String> {
    Measurement::read(&root().join("dsp/weights/measured.json"))
}

/// Where the repository lies.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The files that show tables, what each should hold, and where the measurement is kept.
///
/// # Errors
/// When a file cannot be read or has no place for its table, or a figure was not measured.
pub fn pages() -> Result<Vec<(PathBuf, String)>, String> {
    let measured = kept()?;
    let below = below(&measured);
    let readme = table(&measured, &README)? + &below;
    let card = table(&measured, &CARD)? + &below;
    let pages = [("README.md", readme), ("dsp/weights/README.md", card)];
    let page = |(name, table): (&str, String)| {
        let path = root().join(name);
        let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
        let text = filled(&text, &measured.model, &table).ok_or_else(|| format!("{name}: no place for the table"))?;
        Ok((path, text))
    };
    pages.into_iter().map(page).collect()
}

/// The line below a table that says which model was measured, where another ships.
fn below(measured: &Measurement) -> String {
    measured.ships.as_ref().map_or(String::new(), |ships| {
        format!(
            "\nMeasured was model {}. What ships, model {}, has learned from these speakers too, so it can't be\n\
             measured on them.\n",
            measured.model, ships.model
        )
    })
}

/// The line before a table, up to the model's id.
const OPEN: &str = "<!-- measured: model ";
/// The line after it.
const CLOSE: &str = "<!-- end of what was measured -->";

/// The text with the table in its place.
fn filled(text: &str, model: &str, table: &str) -> Option<String> {
    let (before, rest) = text.split_once(OPEN)?;
    let (_, after) = rest.split_once(CLOSE)?;
    Some(format!(
        "{before}{OPEN}{model}; written by `measure write` -->\n{table}{CLOSE}{after}"
    ))
}

/// Writes the tables into the README and the model's card.
///
/// # Errors
/// As [`pages`], and when a file cannot be written.
pub fn write() -> Result<(), String> {
    for (path, text) in pages()? {
        std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_put_between_its_lines_and_nothing_else_is_touched() {
        let text = "above\n<!-- measured: model old -->\nold table\n<!-- end of what was measured -->\nbelow\n";
        let wanted = "above\n<!-- measured: model new; written by `measure write` -->\nnew table\n<!-- end of what was measured -->\nbelow\n";
        assert_eq!(filled(text, "new", "new table\n").as_deref(), Some(wanted));
        assert_eq!(filled("no place", "new", ""), None);
    }

    #[test]
    fn a_figure_comes_back_as_it_was_kept() {
        let mut kept = Measurement::of("0123456789ab");
        kept.of_whom("children").row("a share", 3, 7);
        kept.of_whom("adults")
            .calibration("an error", vec![(0.9, true), (0.6, false)]);
        kept.of_whom("adults").point("a point", 0.773);
        kept.ships = Some(ShippedModel {
            model: "ba9876543210".into(),
            weights: "tensors".into(),
            heard: "list".into(),
        });
        let path = std::env::temp_dir().join(format!("soundbead-measured-{}.json", std::process::id()));
        kept.keep(&path).expect("written");
        let back = Measurement::read(&path);
        std::fs::remove_file(&path).expect("removed");
        assert_eq!(back, Ok(kept));
    }

    #[test]
    fn speakers_are_refused_only_to_the_network_that_heard_them() {
        let mut kept = Measurement::of("measured");
        assert_eq!(kept.refuse_heard("tensors", b"list"), Ok(()));
        kept.ships = Some(ShippedModel {
            model: "shipped".into(),
            weights: "tensors".into(),
            heard: sha256(b"list"),
        });
        let refused = kept.refuse_heard("tensors", b"list").expect_err("it has heard them");
        assert!(refused.contains("measured") && refused.contains("shipped"), "{refused}");
        assert_eq!(kept.refuse_heard("tensors", b"other speakers"), Ok(()));
        assert_eq!(kept.refuse_heard("other tensors", b"list"), Ok(()));
    }

    #[test]
    fn per_cents_of_one_cell_have_their_sign_once() {
        let cell = |figures: [&str; 2]| together(&figures.map(str::to_owned));
        assert_eq!(cell(["61 %", "0.6 %"]), "61, 0.6 %");
        assert_eq!(cell(["0.48", "0.6 %"]), "0.48, 0.6 %");
    }

    #[test]
    fn what_is_neither_affirmed_nor_contradicted_is_unsure() {
        let mut kept = Measurement::of("x");
        let mut rows = kept.of_whom("children");
        rows.row("right words affirmed", 5, 9);
        rows.row("right words contradicted", 1, 9);
        let unsure = kept.value("children", "right words unsure");
        assert_eq!(unsure, Ok(Value::Share { hits: 3, of: 9 }));
        assert!(kept.value("adults", "right words unsure").is_err());
    }

    #[test]
    fn a_figure_that_was_not_measured_is_named() {
        let told = table(&Measurement::of("x"), &CARD).expect_err("nothing was measured");
        assert!(told.contains("correlation") && told.contains("children"), "{told}");
    }
}
