//! A manifest: one JSON object a line, each a recording and what is asked about it.

use std::io::{BufRead, Read};

use serde_json::{Map, Value};
use soundbead_data::Sound;
use soundbead_dsp::judgement::Speaking;

use crate::fault::{Unusable, nearest, one_line};
use crate::storage;
use crate::typed;

/// Longest line read, in bytes: some hundred times a usual one.
const LONGEST_LINE: usize = 1 << 20;
/// Where a line that is too long is given up, in bytes: what goes on so far without a line break is no manifest.
const MOST_SKIPPED: usize = 64 << 20;
/// Most words or readings to choose between in one line.
const MOST_CHOICES: usize = 1000;

/// Every field a line may have. Others are left for the reader, unless they look like a slip in one of these.
const FIELDS: [&str; 10] = [
    "id", "audio", "start_s", "end_s", "word", "sounds", "speaking", "rules", "words", "choices",
];

/// What one line asks.
#[derive(Clone, Debug, PartialEq)]
pub struct ManifestLine {
    /// Its number in the manifest, from 1.
    pub number: usize,
    /// Given back unchanged in the answer.
    pub id: Value,
    /// Path of the recording, as written.
    pub audio: String,
    /// Where the word begins in the recording, in seconds; 0 when left out.
    pub start_s: Option<f64>,
    /// Where it ends; the recording's end when left out.
    pub end_s: Option<f64>,
    /// How it was spoken; the command's own setting when left out.
    pub speaking: Option<Speaking>,
    /// Rules that differ from the command's for this line alone.
    pub rules: Vec<(String, String)>,
    /// The question itself.
    pub question: LineQuestion,
    /// Fields of the writer's own. Nothing is judged by them.
    pub extra: Map<String, Value>,
}

/// What is asked about a recording.
#[derive(Clone, Debug, PartialEq)]
pub enum LineQuestion {
    /// How many sounds, and are they these?
    Count(WantedWord),
    /// Which of these?
    Choose(Choices),
}

/// What was to be said. The count is blind when neither is given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WantedWord {
    /// The word that was to be read.
    pub word: Option<String>,
    /// Its sounds, when the dictionary's are not meant.
    pub sounds: Option<Vec<Sound>>,
}

/// What to choose between; two or more.
#[derive(Clone, Debug, PartialEq)]
pub enum Choices {
    /// Words, with all their pronunciations.
    Words(Vec<String>),
    /// Rows of sounds.
    Sounds(Vec<Vec<Sound>>),
}

/// Reads one line of text; `number` counts from 1 and is for the error alone.
///
/// # Errors
/// The line's id, where it has one, and what is wrong: no JSON, a field that is missing, unknown or unusable.
pub fn parse(number: usize, text: &str) -> Result<ManifestLine, Unusable> {
    let value: Value = serde_json::from_str(text).map_err(|e| Unusable {
        id: Value::Null,
        error: format!(
            "line {number}: not JSON ({}); wanted one JSON object on the line",
            one_line(&e.to_string())
        ),
    })?;
    let Value::Object(map) = value else {
        let error = format!("line {number}: found {}, wanted a JSON object {{...}}", show(&value));
        return Err(Unusable { id: Value::Null, error });
    };
    let id = map.get("id").cloned().unwrap_or(Value::Null);
    fields(number, map).map_err(|wrong| Unusable {
        id,
        error: format!("line {number}, {wrong}"),
    })
}

fn fields(number: usize, map: Map<String, Value>) -> Result<ManifestLine, String> {
    no_slips(&map)?;
    let id = match map.get("id") {
        Some(id @ (Value::String(_) | Value::Number(_))) => id.clone(),
        other => return Err(wrong("id", other, "a text that names the line")),
    };
    let audio = text(&map, "audio")?.ok_or_else(|| wrong("audio", None, "the path of a recording"))?;
    let (start_s, end_s) = (seconds(&map, "start_s")?, seconds(&map, "end_s")?);
    if let (start, Some(end)) = (start_s.unwrap_or(0.0), end_s)
        && end <= start
    {
        return Err(wrong(
            "end_s",
            map.get("end_s"),
            &format!("a time after start_s ({start} s)"),
        ));
    }
    let speaking = text(&map, "speaking")?
        .map(|s| s.parse().map_err(|_| wrong_speaking(&map)))
        .transpose()?;
    Ok(ManifestLine {
        number,
        id,
        audio,
        start_s,
        end_s,
        speaking,
        rules: rules(&map)?,
        question: question(&map)?,
        extra: extra(map),
    })
}

fn extra(map: Map<String, Value>) -> Map<String, Value> {
    map.into_iter()
        .filter(|(name, _)| !FIELDS.contains(&name.as_str()))
        .collect()
}

fn question(map: &Map<String, Value>) -> Result<LineQuestion, String> {
    match (present(map, "words"), present(map, "choices")) {
        (Some(_), Some(_)) => Err("fields `words` and `choices`: found both, wanted one of them".into()),
        (Some(words), None) => {
            let wanted = "a list of two or more words";
            let list = list(words).ok_or_else(|| wrong("words", Some(words), wanted))?;
            let words = list.iter().map(|w| w.as_str().map(str::to_owned));
            words
                .collect::<Option<_>>()
                .map(|words| LineQuestion::Choose(Choices::Words(words)))
                .ok_or_else(|| wrong("words", Some(words_of(map)), wanted))
        }
        (None, Some(choices)) => {
            let wanted = "a list of two or more lists of ARPAbet sounds";
            let list = list(choices).ok_or_else(|| wrong("choices", Some(choices), wanted))?;
            let rows = list.iter().map(|row| row_of_sounds("choices", row));
            rows.collect::<Result<_, _>>()
                .map(|rows| LineQuestion::Choose(Choices::Sounds(rows)))
        }
        (None, None) => Ok(LineQuestion::Count(WantedWord {
            word: text(map, "word")?,
            sounds: present(map, "sounds").map(|s| row_of_sounds("sounds", s)).transpose()?,
        })),
    }
}

fn words_of(map: &Map<String, Value>) -> &Value {
    map.get("words").unwrap_or(&Value::Null)
}

/// A list of two or more things, and not too many.
fn list(value: &Value) -> Option<&Vec<Value>> {
    value.as_array().filter(|l| (2..=MOST_CHOICES).contains(&l.len()))
}

/// `["P","IH","G"]`, or the same in one text, `"P IH G"`.
fn row_of_sounds(field: &str, value: &Value) -> Result<Vec<Sound>, String> {
    let text = match value {
        Value::String(text) => Some(text.clone()),
        Value::Array(row) => row
            .iter()
            .map(Value::as_str)
            .collect::<Option<Vec<_>>>()
            .map(|names| names.join(" ")),
        _ => None,
    };
    let text = text.ok_or_else(|| {
        wrong(
            field,
            Some(value),
            "a list of ARPAbet sounds such as [\"P\",\"IH\",\"G\"]",
        )
    })?;
    typed::sounds(&text).map_err(|e| format!("field `{field}`: {e}"))
}

fn rules(map: &Map<String, Value>) -> Result<Vec<(String, String)>, String> {
    let wanted = "an object of rule names and values such as {\"r_vowels\": \"one\"}";
    let Some(value) = present(map, "rules") else {
        return Ok(Vec::new());
    };
    let pairs = value.as_object().ok_or_else(|| wrong("rules", Some(value), wanted))?;
    let pairs = pairs
        .iter()
        .map(|(name, v)| Some((name.clone(), v.as_str()?.to_owned())));
    pairs
        .collect::<Option<_>>()
        .ok_or_else(|| wrong("rules", Some(value), wanted))
}

fn wrong_speaking(map: &Map<String, Value>) -> String {
    wrong(
        "speaking",
        map.get("speaking"),
        "one of \"whole\", \"stretched\", \"separate\"",
    )
}

/// A field that is there and not null.
fn present<'a>(map: &'a Map<String, Value>, field: &str) -> Option<&'a Value> {
    map.get(field).filter(|v| !v.is_null())
}

fn text(map: &Map<String, Value>, field: &str) -> Result<Option<String>, String> {
    match present(map, field) {
        None => Ok(None),
        Some(Value::String(s)) => Ok(Some(s.clone())),
        other => Err(wrong(field, other, "a text")),
    }
}

fn seconds(map: &Map<String, Value>, field: &str) -> Result<Option<f64>, String> {
    match present(map, field) {
        None => Ok(None),
        Some(v) => match v.as_f64().filter(|s| s.is_finite() && *s >= 0.0) {
            Some(s) => Ok(Some(s)),
            None => Err(wrong(field, Some(v), "a number of seconds, 0 or more")),
        },
    }
}

/// A field we do not know is the writer's own, unless it is one letter or two from a field that is missing.
fn no_slips(map: &Map<String, Value>) -> Result<(), String> {
    for name in map.keys().filter(|name| !FIELDS.contains(&name.as_str())) {
        let missing = FIELDS.iter().copied().filter(|f| !map.contains_key(*f));
        if let Some(meant) =
            nearest(name, missing.filter(|f| f.len() > 2)).filter(|f| strsim::levenshtein(f, name) <= 2)
        {
            return Err(format!(
                "field `{}`: there is no such field, wanted perhaps `{meant}`",
                one_line(name)
            ));
        }
    }
    Ok(())
}

fn wrong(field: &str, found: Option<&Value>, wanted: &str) -> String {
    match found {
        None => format!("field `{field}`: not there, wanted {wanted}"),
        Some(v) => format!("field `{field}`: found {}, wanted {wanted}", show(v)),
    }
}

/// A value as it was written, cut to a length that fits a line.
fn show(value: &Value) -> String {
    let text = one_line(&value.to_string());
    match text.char_indices().nth(60) {
        Some((at, _)) => format!("{}...", &text[..at]),
        None => text,
    }
}

/// The lines of a manifest, one at a time, with their numbers; empty lines are passed over.
pub struct Lines<R> {
    source: R,
    number: usize,
}

impl<R: BufRead> Lines<R> {
    /// Reads from `source` as it is asked for lines, never the whole.
    pub fn new(source: R) -> Self {
        Lines { source, number: 0 }
    }

    /// The next line that is not empty, or what is wrong with it. `None` at the end.
    ///
    /// # Errors
    /// Why no further line can be read.
    pub fn next(&mut self) -> Result<Option<Result<ManifestLine, Unusable>>, String> {
        loop {
            let mut bytes = Vec::new();
            let limit = LONGEST_LINE as u64 + 1;
            let read = self.source.by_ref().take(limit).read_until(b'\n', &mut bytes);
            if read.map_err(|e| storage::why(&e))? == 0 {
                return Ok(None);
            }
            self.number += 1;
            let bad = |error: String| Ok(Some(Err(Unusable { id: Value::Null, error })));
            if bytes.len() > LONGEST_LINE && bytes.last() != Some(&b'\n') {
                self.skip_rest_of_line()?;
                return bad(format!(
                    "line {}: longer than {LONGEST_LINE} bytes, wanted one JSON object",
                    self.number
                ));
            }
            // Some editors put a byte order mark at the start of a file.
            let bytes = if self.number == 1 {
                bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&bytes)
            } else {
                &bytes
            };
            match std::str::from_utf8(bytes) {
                Err(_) => return bad(format!("line {}: not UTF-8 text, wanted one JSON object", self.number)),
                Ok(text) if text.trim().is_empty() => {}
                Ok(text) => return Ok(Some(parse(self.number, text.trim()))),
            }
        }
    }

    fn skip_rest_of_line(&mut self) -> Result<(), String> {
        let mut skipped = LONGEST_LINE;
        loop {
            let chunk = self.source.fill_buf().map_err(|e| storage::why(&e))?;
            if chunk.is_empty() {
                return Ok(());
            }
            let end = chunk.iter().position(|b| *b == b'\n');
            let used = end.map_or(chunk.len(), |at| at + 1);
            self.source.consume(used);
            if end.is_some() {
                return Ok(());
            }
            skipped += used;
            if skipped > MOST_SKIPPED {
                return Err(format!(
                    "line {} does not end within {} MB; wanted one JSON object on each line",
                    self.number,
                    MOST_SKIPPED >> 20
                ));
            }
        }
    }
}

#[cfg(test)]
mod tests;
