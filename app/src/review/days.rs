//! Days as people type them.

use jiff::civil::Date;

/// Months by the first three letters of their names.
const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];
/// Fewest letters by which a month is known.
const LETTERS: usize = 3;

/// A day as it is typed: `2026-11-24`, `24 Nov`, `Nov 24`, `24 November 2025`. Without a year it is the last such day that is not
/// after `newest`. None where it is no day.
pub fn typed_day(text: &str, newest: Date) -> Option<Date> {
    let text = text.trim().to_lowercase();
    if let Ok(day) = text.parse() {
        return Some(day);
    }
    let (mut month, mut numbers) = (None, Vec::new());
    for part in text.split(|c: char| c.is_whitespace() || ",.".contains(c)) {
        match part.parse::<i16>() {
            Ok(number) => numbers.push(number),
            Err(_) if part.is_empty() => {}
            Err(_) if month.is_none() => month = Some(named(part)?),
            Err(_) => return None,
        }
    }
    let month = month?;
    let on = |year: i16, day: i16| Date::new(year, month, i8::try_from(day).ok()?).ok();
    match numbers[..] {
        [day, year] => on(year, day),
        [day] => {
            let this = on(newest.year(), day);
            // 29 February is in few years: the last one that has it.
            let earlier = (1..=8).filter_map(|ago| on(newest.year() - ago, day));
            this.into_iter().chain(earlier).find(|day| *day <= newest)
        }
        _ => None,
    }
}

/// The number of the month that begins with these letters, 1 to 12.
fn named(letters: &str) -> Option<i8> {
    let short: String = letters.chars().take(LETTERS).collect();
    let at = MONTHS.iter().position(|m| *m == short)?;
    i8::try_from(at + 1).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_are_read_however_they_are_typed_and_what_is_none_is_none() {
        let newest = date(2026, 11, 28);
        for (text, day) in [
            ("2026-11-24", date(2026, 11, 24)),
            ("24 Nov", date(2026, 11, 24)),
            ("Nov 24", date(2026, 11, 24)),
            ("november 24, 2025", date(2025, 11, 24)),
            ("30 nov", date(2025, 11, 30)),
            ("3 Jan", date(2026, 1, 3)),
            ("29 feb", date(2024, 2, 29)),
        ] {
            assert_eq!(typed_day(text, newest), Some(day), "{text}");
        }
        for text in [
            "",
            "24",
            "nov",
            "31 Nov 2026",
            "24 Nov Dec",
            "24 11",
            "1 2 3 nov",
            "brillig 4",
        ] {
            assert_eq!(typed_day(text, newest), None, "{text}");
        }
    }
}
