//! What earlier versions wrote, in the form of this one: for notebooks that are opened and archives that are taken in.

use serde_json::{Map, Value, json};
use soundbead_dsp::judgement::Judgement;

/// The level of a recording that has none (dBFS), which was written as null.
const SILENCE_DBFS: f64 = -160.0;

/// An answer line as the first version kept it, rounded, with its line on where to listen, as a judgement.
///
/// # Errors
/// One line: what cannot be read.
pub fn judgement(answer: &Value, listen: Option<&str>) -> Result<Judgement, String> {
    let counts = answer["count_probabilities"].as_object();
    let counts = counts.into_iter().flatten().map(|(count, p)| {
        let count: usize = count.parse().map_err(|_| format!("`{count}` is no count of sounds"))?;
        Ok::<_, String>((count, p.clone()))
    });
    let mut counts: Vec<(usize, Value)> = counts.collect::<Result<_, _>>()?;
    counts.sort_by_key(|(count, _)| *count);
    let list = |name: &str| answer[name].as_array().cloned().unwrap_or_default();
    let mut quality = answer["quality"].clone();
    if let Some(quality) = quality.as_object_mut() {
        for (name, usual) in [("level_dbfs", SILENCE_DBFS), ("speech_s", 0.0)] {
            let value = quality.entry(name).or_insert(Value::Null);
            if value.is_null() {
                *value = usual.into();
            }
        }
    }
    let whole = json!({
        "format": 1,
        "speaking": answer.get("speaking").cloned().unwrap_or_else(|| "whole".into()),
        "expected": answer["expected"],
        "expected_sounds": list("expected_sounds"),
        "heard": answer["heard"],
        "count_probabilities": counts,
        "verdict": answer["verdict"],
        "fit": answer["fit"],
        "sounds": list("sounds"),
        "quality": quality,
        "said": listen,
    });
    serde_json::from_value(whole).map_err(|e| format!("the ear's answer that was kept cannot be read: {e}"))
}

/// The same from and to text, for the database. What cannot be read stays as it was, and is said where it is looked at:
/// one bad row must not close the whole notebook.
pub fn judgement_text(answer: &str, listen: Option<&str>) -> String {
    let read = serde_json::from_str(answer).map_err(|e| e.to_string());
    let read = read.and_then(|value: Value| judgement(&value, listen));
    read.map_or_else(|_| answer.to_owned(), |whole| super::history::body(&whole))
}

/// What people added to an attempt, as of `changed`: the one ruling becomes a list, and its sounds too.
fn edits(edits: &mut Map<String, Value>, changed: i64) {
    if let Some(mut ruling) = edits.shift_remove("ruling") {
        if let Some(ruling) = ruling.as_object_mut() {
            list_sounds(ruling);
            ruling.insert("at".into(), changed.into());
        }
        edits.insert("rulings".into(), Value::Array(vec![ruling]));
    }
}

/// The same from and to text, for the database.
pub fn edits_text(text: &str, changed: i64) -> String {
    match serde_json::from_str::<Map<String, Value>>(text) {
        Ok(mut all) => {
            edits(&mut all, changed);
            Value::Object(all).to_string()
        }
        Err(_) => text.to_owned(),
    }
}

/// A line of `attempts.jsonl` of the first version of the hand-over.
///
/// # Errors
/// One line: what cannot be read.
pub fn attempt_line(line: &mut Map<String, Value>) -> Result<(), String> {
    if let Some(attempt) = line.get_mut("attempt").and_then(Value::as_object_mut) {
        list_sounds(attempt);
        let changed = attempt.get("changed").and_then(Value::as_i64).unwrap_or(0);
        if let Some(added) = attempt.get_mut("edits").and_then(Value::as_object_mut) {
            edits(added, changed);
        }
    }
    let listen = line.shift_remove("listen");
    if let Some(answer) = line.shift_remove("answer").filter(|a| !a.is_null()) {
        let whole = judgement(&answer, listen.as_ref().and_then(Value::as_str))?;
        line.insert("judgement".into(), json!(whole));
    }
    Ok(())
}

/// A line of `history.jsonl` of the first version of the hand-over.
pub fn history_line(line: &mut Map<String, Value>) {
    let changed = line.get("changed").and_then(Value::as_i64).unwrap_or(0);
    if let Some(body) = line.get_mut("body").and_then(Value::as_object_mut) {
        edits(body, changed);
    }
}

/// Sounds were one text with spaces between; now they are a list.
fn list_sounds(row: &mut Map<String, Value>) {
    if let Some(Value::String(text)) = row.get("sounds") {
        let list: Vec<Value> = text.split(' ').filter(|s| !s.is_empty()).map(Value::from).collect();
        row.insert("sounds".into(), list.into());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_dsp::judgement::Verdict;

    #[test]
    fn an_answer_line_becomes_a_judgement() {
        let answer = json!({
            "id": "1", "word": "pig", "speaking": "separate", "expected": 3, "expected_sounds": ["P", "IH", "G"],
            "heard": 3, "count_probabilities": {"10": 0.01, "3": 0.93, "2": 0.06}, "verdict": "changed",
            "fit": {"same": 0.1, "fewer": 0.0, "more": 0.0, "changed": 0.9},
            "sounds": [{"sound": "B", "start_s": 0.2, "end_s": 0.3, "evidence": 0.4}],
            "quality": {"level_dbfs": null, "snr_db": 30.5, "clipped": true, "speech_s": 0.5, "warnings": ["clipped"]},
            "rules": {"r_vowels": "two"}});
        let read = judgement(&answer, Some("Listen.")).unwrap();
        assert_eq!((read.verdict, read.sure()), (Some(Verdict::Changed), Some(0.9)));
        assert_eq!(read.count_probabilities, [(2, 0.06), (3, 0.93), (10, 0.01)]);
        assert_eq!(
            (read.quality.level_dbfs, read.said.as_deref()),
            (-160.0, Some("Listen."))
        );
        assert!(judgement(&json!({"heard": "many"}), None).is_err());
    }

    #[test]
    fn what_cannot_be_read_is_left_as_it_was() {
        assert_eq!(judgement_text("not JSON", None), "not JSON");
        assert_eq!(edits_text("[1]", 7), "[1]");
        let ruled = r#"{"child":3,"ruling":{"verdict":"same","sounds":"P IH G","by":"parent"}}"#;
        let now = r#"{"child":3,"rulings":[{"verdict":"same","sounds":["P","IH","G"],"by":"parent","at":7}]}"#;
        assert_eq!((edits_text(ruled, 7).as_str(), edits_text(now, 8).as_str()), (now, now));
    }
}
