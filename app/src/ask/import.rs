//! Old recordings in a folder: which word each is of, and from which day.
//!
//! A list beside them (CSV) says it, or else each file's name; the day may also be the name of the folder it lies in, or
//! the file's own time. What cannot be told is refused with its reason: a word that is guessed would be a wrong record.

mod keep;
mod list;
mod name;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use jiff::civil::{Date, date};
use jiff::{Timestamp, Zoned, tz};
use soundbead_data::word::{self, Overrides, Word};

use crate::fault::{Fault, one_line, unusable};
use crate::notebook::Moment;
use crate::storage::why;
use crate::target::doubt;
pub use keep::{ImportOutcome, Importing};
use list::ListedRecording;
use name::NamedRecording;

/// Endings of the files that are listened to, small letters.
const ENDINGS: [&str; 8] = ["wav", "flac", "mp3", "ogg", "oga", "m4a", "mp4", "aac"];
/// Folders within folders that are looked into: a year, a month, a day, and some to spare.
const DEEPEST: usize = 6;
/// Most files that are taken at once: a word a minute for an hour a day makes so many in a year.
const MOST_FILES: usize = 20_000;
/// No day before this is kept.
const FIRST_DAY: Date = date(2000, 1, 1);

/// Where a recording's day comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DaySource {
    /// The list.
    List,
    /// The file's name.
    Name,
    /// The name of a folder that it lies in.
    Folder,
    /// When the file was last written.
    FileTime,
}

impl DaySource {
    /// In a few words.
    pub fn words(self) -> &'static str {
        match self {
            DaySource::List => "by the list",
            DaySource::Name => "by its name",
            DaySource::Folder => "by its folder",
            DaySource::FileTime => "by the file's time",
        }
    }
}

/// A recording of which word and day are known.
#[derive(Clone, Debug)]
pub struct OldRecording {
    /// Where it lies.
    pub path: PathBuf,
    /// Its name in the folder, with `/` between folders.
    pub name: String,
    /// The word that was to be said.
    pub word: Word,
    /// The day on which it was.
    pub day: Date,
    /// When on that day: the file's time, or noon, each recording a second after the one before.
    pub at: Moment,
    /// Where the day comes from.
    pub day_source: DaySource,
}

/// What cannot be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefusedRecording {
    /// Its name in the folder, or the line of the list.
    pub name: String,
    /// Why not, and what to do.
    pub why: String,
}

/// What lies in a folder.
#[derive(Debug, Default)]
pub struct FoundRecordings {
    /// The recordings by day and name, and what is refused.
    pub each: Vec<Result<OldRecording, RefusedRecording>>,
    /// How many other files there are, which are no sound by their ending.
    pub others: usize,
}

/// Looks through a folder. `list` is its list; where none is named, the only CSV file in the folder is one. `learner` is a name
/// that may stand in the files' names; `own` are the family's own words.
///
/// # Errors
/// One line when the folder or the list cannot be read, or when there are too many files or lists.
pub fn find(folder: &Path, list: Option<&Path>, learner: &str, own: &Overrides) -> Result<FoundRecordings, Fault> {
    let mut files = FolderFiles::default();
    files.look_into(folder, "", 0)?;
    files.sounds.sort();
    let list = list
        .map(Path::to_owned)
        .map_or_else(|| only_list(folder, &files.lists), |path| Ok(Some(path)))?;
    let listed = list.map_or_else(|| Ok(BTreeMap::new()), |path| list::read(&path, &files.sounds))?;
    let others = files.others;
    let mut found = FoundRecordings {
        each: Vec::new(),
        others,
    };
    for (name, said) in &listed {
        if let Err(why) = said {
            found.each.push(refused(name, why));
        }
    }
    for name in &files.sounds {
        let said = match listed.get(name) {
            Some(Err(_)) => continue,
            Some(Ok(said)) => Some(said),
            None => None,
        };
        let read = recording(folder, name, said, learner, own);
        found.each.push(read.map_err(|why| RefusedRecording {
            name: name.clone(),
            why,
        }));
    }
    in_order_of_days(&mut found.each);
    Ok(found)
}

fn refused(name: &str, why: &str) -> Result<OldRecording, RefusedRecording> {
    Err(RefusedRecording {
        name: name.to_owned(),
        why: why.to_owned(),
    })
}

/// The files of a folder and of those in it.
#[derive(Default)]
struct FolderFiles {
    /// Names with `/` between folders.
    sounds: Vec<String>,
    /// Names of CSV files in the folder itself.
    lists: Vec<String>,
    others: usize,
}

impl FolderFiles {
    fn look_into(&mut self, folder: &Path, before: &str, depth: usize) -> Result<(), Fault> {
        let cannot = |e| unusable(folder, "the folder cannot be read", &e);
        for entry in fs::read_dir(folder).map_err(cannot)? {
            let entry = entry.map_err(cannot)?;
            let kind = entry.file_type().map_err(cannot)?;
            let text = entry.file_name().to_string_lossy().into_owned();
            // What is hidden is a program's own; a link may lead anywhere.
            if text.starts_with('.') || kind.is_symlink() {
                continue;
            }
            let name = format!("{before}{text}");
            if kind.is_dir() && depth < DEEPEST {
                self.look_into(&entry.path(), &format!("{name}/"), depth + 1)?;
            } else if kind.is_file() {
                self.take(name, depth)?;
            }
        }
        Ok(())
    }

    fn take(&mut self, name: String, depth: usize) -> Result<(), Fault> {
        let ending = name
            .rsplit_once('.')
            .map(|(_, ending)| ending.to_lowercase())
            .unwrap_or_default();
        if ENDINGS.contains(&ending.as_str()) {
            self.sounds.push(name);
        } else if ending == "csv" && depth == 0 {
            self.lists.push(name);
        } else {
            self.others += 1;
        }
        if self.sounds.len() > MOST_FILES {
            return Err(Fault::input(format_args!(
                "more than {MOST_FILES} recordings are in the folder; import a part of them at a time"
            )));
        }
        Ok(())
    }
}

fn only_list(folder: &Path, lists: &[String]) -> Result<Option<PathBuf>, Fault> {
    match lists {
        [] => Ok(None),
        [one] => Ok(Some(folder.join(one))),
        [first, second, ..] => Err(Fault::input(format_args!(
            "two lists are in the folder, {} and {}; leave one there, or say which with --list",
            one_line(first),
            one_line(second)
        ))),
    }
}

/// What is known of one recording; the error is why it is refused.
fn recording(
    folder: &Path,
    name: &str,
    listed: Option<&ListedRecording>,
    learner: &str,
    own: &Overrides,
) -> Result<OldRecording, String> {
    let path = folder.join(name);
    let named = NamedRecording::read(name, learner);
    let word = match listed {
        Some(listed) => listed.word.clone(),
        None => named.word?,
    };
    let word = known(&word, own)?;
    let (day, day_source, at) = match (listed.and_then(|l| l.day), named.day?) {
        (Some(day), _) => (day, DaySource::List, None),
        (None, Some((day, source))) => (day, source, None),
        (None, None) => {
            let at = written(&path)?;
            (at.day(), DaySource::FileTime, Some(at))
        }
    };
    if day < FIRST_DAY {
        return Err(format!("its day {day} is before 2000; mend the date"));
    }
    if day > Zoned::now().date() {
        return Err(format!("its day {day} is in the future; mend the date"));
    }
    Ok(OldRecording {
        path,
        name: name.to_owned(),
        word,
        day,
        at: at.unwrap_or_else(|| noon(day)),
        day_source,
    })
}

/// A word that the dictionary or the family has.
fn known(text: &str, own: &Overrides) -> Result<Word, String> {
    let word = word::find(text, own).map_err(|e| e.to_string())?;
    match doubt(&word) {
        None => Ok(word),
        Some(doubt) => Err(format!(
            "{doubt} Mend the name, or `soundbead word {} --set SOUNDS` makes it your own",
            doubt.spelling
        )),
    }
}

fn written(path: &Path) -> Result<Moment, String> {
    let time = fs::metadata(path)
        .and_then(|about| about.modified())
        .map_err(|e| why(&e))?;
    let stamp =
        Timestamp::try_from(time).map_err(|_| "the file's time is none that can be; put a date into its name")?;
    Ok(Moment(stamp.as_millisecond()))
}

/// Noon of a day where this machine is: of a name's day no hour is known.
fn noon(day: Date) -> Moment {
    let noon = day.at(12, 0, 0, 0).to_zoned(tz::TimeZone::system());
    Moment(noon.map_or(0, |at| at.timestamp().as_millisecond()))
}

/// By day, then by time and name; those without a time of their own follow each other by a second.
fn in_order_of_days(each: &mut [Result<OldRecording, RefusedRecording>]) {
    const SECOND_MS: i64 = 1_000;
    // What is refused comes first, in the order of names: it wants to be read.
    each.sort_by_key(|found| found.as_ref().ok().map(|r| (r.day, r.at)));
    let mut last: Option<(Date, i64)> = None;
    for found in each
        .iter_mut()
        .flatten()
        .filter(|r| r.day_source != DaySource::FileTime)
    {
        let nth = last.filter(|(day, _)| *day == found.day).map_or(0, |(_, n)| n + 1);
        found.at = Moment(found.at.0 + nth * SECOND_MS);
        last = Some((found.day, nth));
    }
}
