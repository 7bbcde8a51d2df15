//! What a file's name says: `2024-05-03 pig 2.wav` is the word *pig*, said on 3 May 2024.

use jiff::civil::Date;

use super::DaySource;

/// What recorders and telephones call their files; a word of these alone is no word that was said.
const RECORDERS: [&str; 20] = [
    "audio",
    "clip",
    "copy",
    "dictaphone",
    "file",
    "img",
    "memo",
    "mic",
    "new",
    "rec",
    "record",
    "recorder",
    "recording",
    "recordings",
    "sound",
    "track",
    "untitled",
    "vid",
    "video",
    "voice",
];
/// What people add to a name to tell recordings of one word apart.
const COUNTERS: [&str; 6] = ["again", "attempt", "no", "take", "try", "word"];

/// What the name of a recording says.
#[derive(Debug, PartialEq, Eq)]
pub struct NamedRecording {
    /// The word, or why there is none.
    pub word: Result<String, String>,
    /// The day where one is named, and where it stands; or why it cannot be told.
    pub day: Result<Option<(Date, DaySource)>, String>,
}

impl NamedRecording {
    /// Reads `name`, with `/` between folders. The learner's own name in it is passed over.
    pub fn read(name: &str, learner: &str) -> NamedRecording {
        let (folders, file) = name.rsplit_once('/').unwrap_or(("", name));
        let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
        let (day, rest) = day_in(stem);
        let day = match day {
            Ok(None) => folder_day(folders),
            Ok(Some(day)) => Ok(Some((day, DaySource::Name))),
            Err(why) => Err(why),
        };
        NamedRecording {
            word: word_in(&rest, learner),
            day,
        }
    }
}

/// The day that a folder is named by, the innermost first.
fn folder_day(folders: &str) -> Result<Option<(Date, DaySource)>, String> {
    for folder in folders.rsplit('/') {
        if let Some(day) = day_in(folder).0? {
            return Ok(Some((day, DaySource::Folder)));
        }
    }
    Ok(None)
}

/// Stretches of letters, of digits, and nothing else. An apostrophe is a letter.
fn stretches(text: &str) -> Vec<String> {
    let kind = |c: char| match c {
        c if c.is_ascii_digit() => 1,
        c if c.is_alphabetic() || c == '\'' || c == '\u{2019}' => 2,
        _ => 0,
    };
    let mut all: Vec<String> = Vec::new();
    let mut last = 0;
    for c in text.chars() {
        match (kind(c), last) {
            (0, _) => {}
            (now, last) if now == last => all.last_mut().expect("one was begun").push(c),
            _ => all.push(c.to_string()),
        }
        last = kind(c);
    }
    all
}

/// The day in a name, and what else is in it: `2024-05-03`, `2024_05_03` or `20240503`. Or with the month in letters. A date
/// whose day and month could be taken for each other is refused.
fn day_in(text: &str) -> (Result<Option<Date>, String>, Vec<String>) {
    let all = stretches(text);
    for at in 0..all.len() {
        let Some((day, length)) = day_at(&all[at..]) else {
            continue;
        };
        let rest = [&all[..at], &all[at + length..]].concat();
        return (day.map(Some), rest);
    }
    (Ok(None), all)
}

/// The day that these stretches begin with, and how many of them it takes.
fn day_at(all: &[String]) -> Option<(Result<Date, String>, usize)> {
    if let Some(day) = spelled_day(all) {
        return Some((Ok(day), 3));
    }
    let digits = |at: usize| all.get(at).filter(|t| t.starts_with(|c: char| c.is_ascii_digit()));
    let lengths = (digits(0)?.len(), digits(1).map(String::len), digits(2).map(String::len));
    let (parts, taken) = match lengths {
        // A year, a month and a day; or all in one, perhaps with the time of day behind.
        (4, Some(1..=2), Some(1..=2)) => ([all[0].as_str(), &all[1], &all[2]], 3),
        (8 | 12 | 14, ..) => ([&all[0][..4], &all[0][4..6], &all[0][6..8]], 1),
        (1..=2, Some(1..=2), Some(4)) => return Some((either_way(&all[..3]), 3)),
        _ => return None,
    };
    let [year, month, day] = parts;
    match (
        Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?),
        taken,
    ) {
        (Ok(day), taken) => Some((Ok(day), taken)),
        // Eight digits may also be a number: they are a day only where one lies in them.
        (Err(_), 1) => None,
        (Err(_), taken) => Some((Err(format!("{} is no day", parts.join("-"))), taken)),
    }
}

/// A day whose month is written in letters, `3 May 2024` or `May 3 2024`: the year must be there, for *may* and *march* are words too.
fn spelled_day(all: &[String]) -> Option<Date> {
    let [first, second, year] = all.get(..3)? else {
        return None;
    };
    let (month, day) = match month(first) {
        Some(month) => (month, second),
        None => (month(second)?, first),
    };
    let year = year.parse().ok().filter(|_| year.len() == 4)?;
    Date::new(year, month, day.parse().ok()?).ok()
}

/// The number of a month, by its name or the first three letters of it.
fn month(name: &str) -> Option<i8> {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let name = name.to_lowercase();
    let at = MONTHS.iter().position(|month| *month == name || month[..3] == name)?;
    i8::try_from(at + 1).ok()
}

/// Two short numbers and a year: a day where only one order of the two is one; else both readings are named.
fn either_way(parts: &[String]) -> Result<Date, String> {
    let number = |at: usize| parts[at].parse::<i8>().unwrap_or(0);
    let year = parts[2].parse().unwrap_or(0);
    let read = |month: usize, day: usize| Date::new(year, number(month), number(day)).ok();
    let text = parts.join("-");
    match (read(0, 1), read(1, 0)) {
        (Some(one), Some(other)) if one != other => Err(format!(
            "{text} may be a day and a month either way; write it as {one} or as {other}"
        )),
        (Some(day), _) | (None, Some(day)) => Ok(day),
        (None, None) => Err(format!("{text} is no day")),
    }
}

/// The one word among the stretches.
fn word_in(all: &[String], learner: &str) -> Result<String, String> {
    let whose: Vec<String> = stretches(&learner.to_lowercase());
    let mut words: Vec<String> = all.iter().map(|t| t.to_lowercase()).collect();
    // Single letters tell takes apart, or a time of day.
    words.retain(|t| t.chars().count() > 1 && !t.starts_with(|c: char| c.is_ascii_digit()) && !whose.contains(t));
    words.dedup();
    let said: Vec<&String> = words.iter().filter(|t| !RECORDERS.contains(&t.as_str())).collect();
    let alone: Vec<&String> = said
        .iter()
        .copied()
        .filter(|t| !COUNTERS.contains(&t.as_str()))
        .collect();
    let said = if alone.is_empty() { said } else { alone };
    match said[..] {
        [word] => Ok(word.clone()),
        [] if words.is_empty() => Err("its name has no word; put the word into it, or into a list".into()),
        [] => Err(format!(
            "`{}` is what recorders call their files; put the word into its name, or into a list",
            words.join(" ")
        )),
        _ => {
            let all: Vec<&str> = said.iter().map(|t| t.as_str()).collect();
            Err(format!(
                "its name has more than one word ({}); a list can say which it is",
                all.join(", ")
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn word(name: &str) -> Result<String, String> {
        NamedRecording::read(name, "Juno May").word
    }

    #[test]
    fn a_word_is_found_among_dates_numbers_and_names() {
        for name in [
            "pig.wav",
            "2024-05-03 pig 2.wav",
            "pig_20240503.flac",
            "03-pig.wav",
            "Juno - PIG (take 2).m4a",
            "20240503_143000_pig.ogg",
            "2024-05-03T14.30.05 pig.wav",
            "Recording 12 pig.wav",
            "2024/05/juno may pig b.wav",
        ] {
            assert_eq!(word(name).as_deref(), Ok("pig"), "{name}");
        }
        assert_eq!(word("don't.wav").as_deref(), Ok("don't"));
        assert_eq!(word("take 2.wav").as_deref(), Ok("take"), "the word itself");
    }

    #[test]
    fn what_is_no_word_or_more_than_one_is_not_guessed_at() {
        for (name, says) in [
            ("0001.wav", "no word"),
            ("2024-05-03.wav", "no word"),
            ("Juno 3.wav", "no word"),
            ("New Recording 5.m4a", "recorders"),
            ("Voice 001.m4a", "recorders"),
            ("fish frog.wav", "fish, frog"),
        ] {
            let why = word(name).unwrap_err();
            assert!(why.contains(says), "{name}: {why}");
        }
    }

    #[test]
    fn days_are_read_where_they_can_only_be_one() {
        let day = |name: &str| NamedRecording::read(name, "Juno").day;
        let third = date(2024, 5, 3);
        for name in [
            "2024-05-03 pig.wav",
            "pig 2024_5_3.wav",
            "20240503pig.wav",
            "pig20240503143000.wav",
        ] {
            assert_eq!(day(name), Ok(Some((third, DaySource::Name))), "{name}");
        }
        for name in ["2024-05-03/pig.wav", "juno/2024-05-03 lesson/am/pig.wav"] {
            assert_eq!(day(name), Ok(Some((third, DaySource::Folder))), "{name}");
        }
        let nearer = day("2024-05-03/2024-05-04 pig.wav");
        assert_eq!(nearer, Ok(Some((date(2024, 5, 4), DaySource::Name))));
        for name in ["pig.wav", "12-pig.wav", "99999999 pig.wav", "pig 2024.wav"] {
            assert_eq!(day(name), Ok(None), "{name}");
        }
        for name in ["3 May 2024 ring.wav", "ring May 3 2024.wav", "3may2024 ring.wav"] {
            assert_eq!(day(name), Ok(Some((third, DaySource::Name))), "{name}");
            assert_eq!(word(name).as_deref(), Ok("ring"), "{name}");
        }
        assert_eq!(day("may 2.wav"), Ok(None), "a word and a number");
        let why = day("05-03-2024 pig.wav").unwrap_err();
        assert!(why.contains("2024-05-03") && why.contains("2024-03-05"), "{why}");
        assert_eq!(
            day("25-03-2024 pig.wav"),
            Ok(Some((date(2024, 3, 25), DaySource::Name)))
        );
        assert!(day("2024-02-30 pig.wav").unwrap_err().contains("2024-02-30 is no day"));
    }
}
