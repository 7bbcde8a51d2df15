//! The list beside the recordings: CSV with a line of names first, `path`, `word` and, if it is known, `date`.

use std::collections::BTreeMap;
use std::path::Path;

use csv::StringRecord;
use jiff::civil::Date;

use crate::fault::{Fault, nearest, one_line};
use crate::list::read_text;

/// What the list says of a recording.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedRecording {
    /// The word that was to be said.
    pub word: String,
    /// The day on which it was, where it is said.
    pub day: Option<Date>,
}

/// What the list says, by the recording's name in the folder; or why a line of it cannot be used, by the name where it has one,
/// otherwise by its line.
pub type ListedRecordings = BTreeMap<String, Result<ListedRecording, String>>;

/// Reads the list; `files` are the names of the recordings.
///
/// # Errors
/// One line when it cannot be read, or does not say which column is which.
pub fn read(path: &Path, files: &[String]) -> Result<ListedRecordings, Fault> {
    let fault = |why: String| Fault::input(format_args!("{}: {why}", path.display()));
    let text = read_text(path).map_err(fault)?;
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let columns = ListColumns::of(table.headers().map_err(|e| fault(e.to_string()))?).map_err(fault)?;
    let mut all = ListedRecordings::new();
    for row in table.records() {
        let row = row.map_err(|e| fault(e.to_string()))?;
        let line = row.position().map_or(0, csv::Position::line);
        let (name, said) = columns.read(&row, line, files);
        match all.get(&name) {
            None => all.insert(name, said),
            Some(_) => all.insert(
                name,
                Err(format!(
                    "the list names it more than once, again on line {line}; leave one"
                )),
            ),
        };
    }
    Ok(all)
}

/// Which column is which.
struct ListColumns {
    path: usize,
    word: usize,
    date: Option<usize>,
}

impl ListColumns {
    fn of(head: &StringRecord) -> Result<ListColumns, String> {
        let at = |name: &str| head.iter().position(|h| h.to_lowercase() == name);
        let missing =
            |name: &str| format!("its first line must name the columns path, word and date; there is no `{name}`");
        Ok(ListColumns {
            path: at("path").ok_or_else(|| missing("path"))?,
            word: at("word").ok_or_else(|| missing("word"))?,
            date: at("date"),
        })
    }

    /// A row's name and what it says.
    fn read(&self, row: &StringRecord, line: u64, files: &[String]) -> (String, Result<ListedRecording, String>) {
        let cell = |at: usize| row.get(at).unwrap_or_default();
        let name = cell(self.path).replace('\\', "/");
        let name = name.strip_prefix("./").unwrap_or(&name).to_owned();
        if name.is_empty() {
            return (format!("line {line} of the list"), Err("it names no recording".into()));
        }
        if !files.contains(&name) {
            let hint = nearest(&name, files.iter().map(String::as_str));
            let hint = hint
                .map(|near| format!(" (did the list mean `{}`?)", one_line(near)))
                .unwrap_or_default();
            return (
                name,
                Err(format!(
                    "line {line} of the list names it, and it is not in the folder{hint}"
                )),
            );
        }
        let said = match cell(self.word) {
            "" => Err(format!("line {line} of the list has no word")),
            word => day(self.date.map_or("", cell), line).map(|day| ListedRecording {
                word: word.to_owned(),
                day,
            }),
        };
        (name, said)
    }
}

fn day(text: &str, line: u64) -> Result<Option<Date>, String> {
    match text {
        "" => Ok(None),
        text => text.parse().map(Some).map_err(|_| {
            format!(
                "line {line} of the list has the date `{}`; write it as 2024-05-03",
                one_line(text)
            )
        }),
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn listed(text: &str, files: &[&str]) -> Result<ListedRecordings, Fault> {
        let folder = std::env::temp_dir().join(format!("soundbead-list-{}-{}", std::process::id(), text.len()));
        std::fs::create_dir_all(&folder).unwrap();
        let path = folder.join("list.csv");
        std::fs::write(&path, text).unwrap();
        let files: Vec<String> = files.iter().map(|f| (*f).to_owned()).collect();
        let read = read(&path, &files);
        std::fs::remove_dir_all(&folder).unwrap();
        read
    }

    #[test]
    fn a_list_says_word_and_day_of_each_recording() {
        let text = "\u{feff}Date, Path ,word,note\r\n2024-05-03,a\\1.wav,pig,\r\n,2.wav,\"peg\",x\r\n";
        let all = listed(text, &["a/1.wav", "2.wav"]).unwrap();
        let said = |word: &str, day| {
            Ok(ListedRecording {
                word: word.to_owned(),
                day,
            })
        };
        assert_eq!(all["a/1.wav"], said("pig", Some(date(2024, 5, 3))));
        assert_eq!(all["2.wav"], said("peg", None));
    }

    #[test]
    fn what_a_list_cannot_say_is_told_by_its_line() {
        let text = "path,word,date\n1.wav,pig,5/3/2024\n2.wav,,\n3.wav,peg,\n,pig,\n4.wav,pig,\n4.wav,peg,\n";
        let all = listed(text, &["1.wav", "2.wav", "30.wav", "4.wav"]).unwrap();
        let why = |name: &str| all[name].clone().unwrap_err();
        assert!(why("1.wav").contains("line 2") && why("1.wav").contains("5/3/2024"));
        assert!(why("2.wav").contains("line 3 of the list has no word"));
        assert!(
            why("3.wav").contains("not in the folder (did the list mean `30.wav`?)"),
            "{}",
            why("3.wav")
        );
        assert!(why("line 5 of the list").contains("no recording"));
        assert!(why("4.wav").contains("more than once"));
    }

    #[test]
    fn a_list_without_names_of_columns_is_refused() {
        let Err(Fault::Input(line)) = listed("1.wav,pig\n", &["1.wav"]) else {
            panic!("it was taken")
        };
        assert!(line.contains("there is no `path`"), "{line}");
    }
}
