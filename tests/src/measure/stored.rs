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

    /// The figure of this name.
    ///
    /// # Errors
    /// Where it was not measured.
    fn value(&self, who: &str, name: &str) -> Result<Value, String> {
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

/// A line of a table: what it says, and the names of the figures that stand in each cell.
type TableLine = (&'static str, &'static [&'static str]);

/// The table of the README: what a parent needs to know.
const README: &[TableLine] = &[
    (
        "of two words, the one that was said is preferred to a real word with one sound fewer",
        &["said word preferred to a real word with one fewer"],
    ),
    (
        "... one sound more",
        &["said word preferred to a real word with one more"],
    ),
    (
        "... one sound changed",
        &["said word preferred to a real word with one changed"],
    ),
    (
        "words that five trained listeners call right in every sound: affirmed, contradicted",
        &["right words affirmed", "right words contradicted"],
    ),
    (
        "words in which three or more mark a slip: affirmed, contradicted",
        &["slipped words affirmed", "slipped words contradicted"],
    ),
    (
        "right words asked about as a real word one sound away: affirmed, contradicted",
        &[
            "right words asked about as a real word beside affirmed",
            "right words asked about as a real word beside contradicted",
        ],
    ),
    (
        "the same in a lesson, where that word is one of those practised: affirmed, contradicted",
        &[
            "right words in a list, asked about as a word beside affirmed",
            "right words in a list, asked about as a word beside contradicted",
        ],
    ),
    (
        "slipped words caught where 4 % of right ones are flagged (one listener: 84 %)",
        &["slipped words caught where 4 % of right ones are flagged"],
    ),
    (
        "correlation with the listeners' mean mark of a sound (one listener: 0.67)",
        &["each sound, correlation with the listeners' mean"],
    ),
    (
        "right readings: answered, of all contradicted",
        &["right readings answered", "right readings contradicted (of all)"],
    ),
    (
        "readings with one sound off: answered, of those caught",
        &[
            "one-off readings answered",
            "one-off readings caught (of those answered)",
        ],
    ),
    (
        "separate sounds, count exact, noise 20 dB under the word",
        &["separate sounds, count exact, 20 dB"],
    ),
    ("drawn-out words, count exact", &["stretched, count exact"]),
    (
        "count without a word named: exact, within one",
        &["blind count exact", "blind count within one"],
    ),
    (
        "the same of drawn-out words",
        &["stretched, blind count exact", "stretched, blind count within one"],
    ),
];

/// The table of the card: everything, with intervals.
const CARD: &[TableLine] = &[
    (
        "each sound, correlation with the listeners' mean mark",
        &["each sound, correlation with the listeners' mean"],
    ),
    (
        "each sound, wrong told from right, area",
        &["each sound, wrong told from right, area"],
    ),
    (
        "calibration error of `right`",
        &["calibration error, a listener calls the sound right"],
    ),
    (
        "clean sounds held likelier wrong than right",
        &["clean sounds held likelier wrong than right"],
    ),
    (
        "accented, not wrong, held so",
        &["sounds accented but not wrong, held likelier wrong than right"],
    ),
    ("right words affirmed", &["right words affirmed"]),
    ("right words contradicted", &["right words contradicted"]),
    ("slipped words affirmed", &["slipped words affirmed"]),
    ("slipped words contradicted", &["slipped words contradicted"]),
    (
        "right words asked about as a real word one sound away: affirmed",
        &["right words asked about as a real word beside affirmed"],
    ),
    (
        "... contradicted",
        &["right words asked about as a real word beside contradicted"],
    ),
    (
        "in a list with those words, asked about one of them: affirmed",
        &["right words in a list, asked about as a word beside affirmed"],
    ),
    (
        "... contradicted",
        &["right words in a list, asked about as a word beside contradicted"],
    ),
    (
        "... asked about the word itself: affirmed",
        &["right words in a list affirmed"],
    ),
    ("... contradicted", &["right words in a list contradicted"]),
    ("right words drawn out: affirmed", &["right words drawn out affirmed"]),
    ("... contradicted", &["right words drawn out contradicted"]),
    (
        "... asked about as a real word one sound away: affirmed",
        &["right words drawn out, asked about as a real word beside affirmed"],
    ),
    (
        "... contradicted",
        &["right words drawn out, asked about as a real word beside contradicted"],
    ),
    (
        "slipped words drawn out: affirmed, contradicted",
        &[
            "slipped words drawn out affirmed",
            "slipped words drawn out contradicted",
        ],
    ),
    (
        "right words sound by sound: affirmed",
        &["right words sound by sound affirmed"],
    ),
    ("... contradicted", &["right words sound by sound contradicted"]),
    (
        "... asked about as a real word one sound away: affirmed",
        &["right words sound by sound, asked about as a real word beside affirmed"],
    ),
    (
        "... contradicted",
        &["right words sound by sound, asked about as a real word beside contradicted"],
    ),
    (
        "slipped words sound by sound: affirmed, contradicted",
        &[
            "slipped words sound by sound affirmed",
            "slipped words sound by sound contradicted",
        ],
    ),
    (
        "right words told from slipped, area",
        &["right words told from slipped, area"],
    ),
    (
        "slipped affirmed, were 50, 80, 95 % of right ones",
        &[
            "slipped words affirmed, were 50 % of right ones",
            "slipped words affirmed, were 80 % of right ones",
            "slipped words affirmed, were 95 % of right ones",
        ],
    ),
    (
        "slipped caught where 4 % of right ones are flagged",
        &["slipped words caught where 4 % of right ones are flagged"],
    ),
    (
        "... where 1 %",
        &["slipped words caught where 1 % of right ones are flagged"],
    ),
    (
        "slipped words, the sound named is one that was marked",
        &["slipped words, the sound named is one that was marked"],
    ),
    (
        "right words told from a real word with one fewer",
        &["right words preferred to a real word with one fewer"],
    ),
    ("... one more", &["right words preferred to a real word with one more"]),
    (
        "... one changed",
        &["right words preferred to a real word with one changed"],
    ),
    ("right words, blind count exact", &["right words, blind count exact"]),
    ("... within one", &["right words, blind count within one"]),
    (
        "told from a real word with one sound fewer",
        &["said word preferred to a real word with one fewer"],
    ),
    (
        "told from one with one more",
        &["said word preferred to a real word with one more"],
    ),
    (
        "told from one with one changed",
        &["said word preferred to a real word with one changed"],
    ),
    ("count without a target, exact", &["blind count exact"]),
    ("count without a target, within one", &["blind count within one"]),
    ("right readings answered", &["right readings answered"]),
    ("right readings contradicted", &["right readings contradicted (of all)"]),
    (
        "wrong readings (one sound off) answered",
        &["one-off readings answered"],
    ),
    ("of those, caught", &["one-off readings caught (of those answered)"]),
    (
        "caught, were 80 % of right readings answered and at most 1 % contradicted",
        &["caught at 80 % answered, 1 % contradicted"],
    ),
    (
        "calibration error of the choice between two words",
        &["calibration error, told from one other word"],
    ),
    (
        "calibration error of the count, with a target",
        &["calibration error, count given the right target"],
    ),
    (
        "calibration error of the count, without",
        &["calibration error, blind count"],
    ),
    (
        "separate sounds, noise 20 dB down: count exact",
        &["separate sounds, count exact, 20 dB"],
    ),
    (
        "... where no sound is lost in the noise",
        &["separate sounds, count exact, 20 dB, no sound lost"],
    ),
    (
        "separate sounds, noise 10 dB down: count exact",
        &["separate sounds, count exact, 10 dB"],
    ),
    (
        "... where no sound is lost in the noise",
        &["separate sounds, count exact, 10 dB, no sound lost"],
    ),
    (
        "calibration error of that count, 20 dB, 10 dB",
        &[
            "calibration error, separate sounds, 20 dB",
            "calibration error, separate sounds, 10 dB",
        ],
    ),
    (
        "separate sounds, 20 dB: right readings affirmed",
        &["separate sounds, 20 dB, asked about the word: affirmed"],
    ),
    (
        "... contradicted",
        &["separate sounds, 20 dB, asked about the word: contradicted"],
    ),
    (
        "... contradicted where no sound is lost",
        &["separate sounds, 20 dB, no sound lost, asked about the word: contradicted"],
    ),
    (
        "asked about a word with one sound changed: affirmed",
        &["separate sounds, 20 dB, asked about another: affirmed"],
    ),
    (
        "... contradicted",
        &["separate sounds, 20 dB, asked about another: contradicted"],
    ),
    ("drawn-out words, count exact", &["stretched, count exact"]),
    (
        "right readings of them affirmed",
        &["stretched, asked about the word: affirmed"],
    ),
    ("... contradicted", &["stretched, asked about the word: contradicted"]),
    (
        "wrong readings (one sound off) of them affirmed",
        &["stretched, asked about another: affirmed"],
    ),
    ("... contradicted", &["stretched, asked about another: contradicted"]),
    (
        "count of them without a target, exact",
        &["stretched, blind count exact"],
    ),
    (
        "count of them without a target, within one",
        &["stretched, blind count within one"],
    ),
    (
        "calibration error of that count",
        &["calibration error, stretched, blind count"],
    ),
];

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

/// A cell with its interval.
fn whole(value: Value) -> String {
    match value {
        Value::Share { hits, of } => {
            let (low, high) = wilson(hits, of);
            let share = 100.0 * hits as f64 / of.max(1) as f64;
            format!("{share:.1} % ({:.1} to {:.1}) of {of}", 100.0 * low, 100.0 * high)
        }
        Value::Point { point } => format!("{:.1} %", 100.0 * point),
        Value::Error { error, .. } => format!("{error:.3}"),
        Value::Drawn {
            drawn,
            between: [low, high],
        } => format!("{drawn:.3} ({low:.3} to {high:.3})"),
    }
}

fn table(measured: &Measurement, lines: &[TableLine], cell: fn(Value) -> String) -> Result<String, String> {
    let mut out = String::from("| | children | adults |\n| --- | --- | --- |\n");
    for (label, names) in lines {
        let cells = |who: &str| -> Result<String, String> {
            let all: Result<Vec<String>, String> = names.iter().map(|n| Ok(cell(measured.value(who, n)?))).collect();
            Ok(all?.join(", "))
        };
        out += &format!("| {label} | {} | {} |\n", cells("children")?, cells("adults")?);
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
    let readme = table(&measured, README, short)? + &below;
    let card = table(&measured, CARD, whole)? + &below;
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
    fn a_figure_that_was_not_measured_is_named() {
        let told = table(&Measurement::of("x"), README, short).expect_err("nothing was measured");
        assert!(told.contains("one fewer") && told.contains("children"), "{told}");
    }
}
