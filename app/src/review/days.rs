//! Days as people type them.

use jiff::Span;
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

/// Days of a week.
const WEEK: usize = 7;

/// A step over a month's calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CalendarStep {
    /// So many days on.
    Days(i32),
    /// The same day so many months on; the month's last where it is shorter.
    Months(i32),
}

impl CalendarStep {
    /// Where it leads from a day, no further than the first and the last day that can be picked.
    pub fn from(self, day: Date, (first, last): (Option<Date>, Option<Date>)) -> Date {
        let span = match self {
            CalendarStep::Days(n) => Span::new().days(n),
            CalendarStep::Months(n) => Span::new().months(n),
        };
        let to = day.saturating_add(span);
        let to = first.map_or(to, |first| to.max(first));
        last.map_or(to, |last| to.min(last))
    }
}

/// The weeks of the month that has this day, each from Sunday to Saturday; none for the days of the months beside it.
pub fn weeks(day: Date) -> Vec<[Option<Date>; WEEK]> {
    let first = day.first_of_month();
    let before = usize::from(first.weekday().to_sunday_zero_offset().unsigned_abs());
    let all = (1..=day.days_in_month()).filter_map(|n| Date::new(day.year(), day.month(), n).ok());
    let places: Vec<Option<Date>> = std::iter::repeat_n(None, before).chain(all.map(Some)).collect();
    let week = |part: &[Option<Date>]| std::array::from_fn(|at| part.get(at).copied().flatten());
    places.chunks(WEEK).map(week).collect()
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

    #[test]
    fn a_month_stands_in_weeks_from_sunday_and_steps_stay_within_what_can_be_picked() {
        // 1 November 2026 is a Sunday; February 2026 has four whole weeks.
        let november = weeks(date(2026, 11, 29));
        assert_eq!(november.len(), 5);
        assert_eq!(november[0][0], Some(date(2026, 11, 1)));
        assert_eq!(november[4][1], Some(date(2026, 11, 30)));
        assert_eq!(november[4][2..], [None; 5]);
        assert_eq!(weeks(date(2026, 2, 3)).len(), 4);
        let open = (None, None);
        let last = date(2026, 1, 31);
        assert_eq!(CalendarStep::Months(1).from(last, open), date(2026, 2, 28));
        assert_eq!(CalendarStep::Days(7).from(last, open), date(2026, 2, 7));
        let within = (Some(date(2026, 1, 30)), Some(date(2026, 2, 2)));
        assert_eq!(CalendarStep::Months(1).from(last, within), date(2026, 2, 2));
        assert_eq!(CalendarStep::Days(-7).from(last, within), date(2026, 1, 30));
    }
}
