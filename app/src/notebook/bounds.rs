//! What a row may be. The same holds for what is written here and for what comes from another notebook, so that what one
//! side keeps the other can take.

use jiff::civil::{Date, date};
use jiff::{Timestamp, ToSpan, tz};

use super::time::EARLIEST;
use super::{Id, Moment, NotebookError, Result};

/// Whether a row is as a notebook has it; the error is why not.
pub type CheckResult = std::result::Result<(), String>;

/// Most letters of a word, a model's name or a plan's title.
pub const LONGEST: usize = 500;
/// Most sounds of a word, and most that can be counted.
const MOST_SOUNDS: usize = 60;
/// The day of [`EARLIEST`].
const FIRST_DAY: Date = date(2000, 1, 1);
/// How far ahead another machine's clock may be: a row from the future would win over every later change.
const AHEAD_DAYS: i64 = 2;

/// Whether a text is short enough to be kept.
pub fn short(what: &str, text: &str) -> CheckResult {
    match text.chars().count() {
        n if n > LONGEST => Err(format!("{what} has {n} letters; at most {LONGEST} can be kept")),
        _ => Ok(()),
    }
}

/// Whether there are no more of something than a notebook has.
pub fn few(what: &str, count: usize) -> CheckResult {
    if count > MOST_SOUNDS {
        return Err(format!("{what}: {count}; at most {MOST_SOUNDS} can be kept"));
    }
    Ok(())
}

/// The clock that rows are held against.
pub struct Clock {
    /// Now.
    pub now: Moment,
    today: Date,
}

impl Clock {
    /// This machine's, as it is.
    pub fn now() -> Clock {
        Clock {
            now: Moment::now(),
            today: super::time::today(),
        }
    }

    /// Whether a right clock may have shown this.
    fn knows(&self, at: Moment) -> bool {
        (EARLIEST..=self.now.days_before(-AHEAD_DAYS)).contains(&at)
    }

    /// Whether this may be a day on a right calendar.
    fn knows_day(&self, day: Date) -> bool {
        let last = self.today.checked_add(AHEAD_DAYS.days()).unwrap_or(Date::MAX);
        (FIRST_DAY..=last).contains(&day)
    }

    /// Puts what a wrong clock showed right, as far as that can be told: what lies before 2000 becomes the first day of
    /// it, what lies in the future becomes `to`, and the row's day goes with it. Tells whether anything was moved.
    ///
    /// # Errors
    /// When the day is none that can be, though the row's times can: no clock wrote that.
    pub fn mend(&self, row: &mut impl CheckedRow, to: Moment) -> std::result::Result<bool, String> {
        let (moments, days) = row.times();
        let mut moved = false;
        for at in moments.into_iter().filter(|at| !self.knows(**at)) {
            *at = if *at < EARLIEST { EARLIEST } else { to };
            moved = true;
        }
        for day in days.into_iter().filter(|day| !self.knows_day(**day)) {
            if !moved {
                return Err(format!("its day {day} is before 2000 or in the future"));
            }
            *day = if *day < FIRST_DAY { FIRST_DAY } else { day_of(to) };
        }
        Ok(moved)
    }

    /// Refuses a time that no right clock shows.
    pub fn allow(&self, at: Moment) -> CheckResult {
        match self.knows(at) {
            true => Ok(()),
            false => Err(format!(
                "its time {at} is before 2000 or in the future; are both clocks right?"
            )),
        }
    }

    /// Refuses a time or a day that another notebook would not take: for what was done earlier, and is written down now.
    ///
    /// # Errors
    /// When either is before 2000 or in the future.
    pub fn allow_day(&self, at: Moment, day: Date) -> Result<()> {
        match self.knows(at) && self.knows_day(day) {
            true => Ok(()),
            false => Err(NotebookError::refused(format_args!(
                "{day} is before 2000 or in the future; see whether the date is right"
            ))),
        }
    }

    /// How many days an archive's clock is ahead of this one; none where it is not, by more than clocks differ.
    pub fn days_ahead(&self, made: Moment) -> Option<u64> {
        const DAY_MS: u64 = 86_400_000;
        // To the nearest: the archive was some moments or hours on its way.
        (made > self.now.days_before(-AHEAD_DAYS)).then(|| ((made.0 - self.now.0).unsigned_abs() + DAY_MS / 2) / DAY_MS)
    }

    /// What is to be said of this machine's clock, by the latest day in the notebook.
    pub fn doubt(&self, latest: Option<Date>) -> Option<String> {
        if self.today < FIRST_VERSION {
            return Some(format!(
                "this computer's clock says {}; set it, or what is kept has the wrong date",
                self.today
            ));
        }
        latest.filter(|day| !self.knows_day(*day)).map(|day| {
            format!(
                "the notebook has entries of {day}, but this computer's clock says {}; see whether its date is right",
                self.today
            )
        })
    }
}

/// The year in which the first version was made: no right clock shows an earlier one.
const FIRST_VERSION: Date = date(2026, 1, 1);

fn day_of(at: Moment) -> Date {
    let time = Timestamp::from_millisecond(at.0).unwrap_or(Timestamp::UNIX_EPOCH);
    time.to_zoned(tz::TimeZone::system()).date()
}

/// A row that can be kept, with its times.
pub trait CheckedRow {
    /// Whether all in it but its times is as a notebook has it.
    fn check(&self) -> CheckResult;
    /// The row's name, and the time by which two states of it are told apart.
    fn state(&self) -> (Id, Moment);
    /// Every time in it, and its day where it has one.
    fn times(&mut self) -> (Vec<&mut Moment>, Option<&mut Date>);
}

#[cfg(test)]
mod tests {
    use super::super::Session;
    use super::*;

    /// 2026-06-01 at noon, UTC.
    fn clock() -> Clock {
        Clock {
            now: Moment(1_780_315_200_000),
            today: date(2026, 6, 1),
        }
    }

    fn sitting(began: i64, day: Date) -> Session {
        Session {
            id: "00".repeat(16).parse().unwrap(),
            began: Moment(began),
            day,
            ended: None,
            plan: String::new(),
            went: None,
            changed: Moment(began),
        }
    }

    #[test]
    fn times_of_a_wrong_clock_become_the_nearest_that_can_be() {
        let clock = clock();
        let week = 7 * 86_400_000;
        let mut right = sitting(clock.now.0 + 86_400_000, date(2026, 6, 2));
        assert_eq!(clock.mend(&mut right, clock.now), Ok(false));
        assert_eq!(right.began.0, clock.now.0 + 86_400_000, "within what clocks differ by");
        let mut future = sitting(clock.now.0 + week, date(2026, 6, 8));
        assert_eq!(clock.mend(&mut future, Moment(clock.now.0 - 5)), Ok(true));
        assert_eq!(
            (future.began, future.changed),
            (Moment(clock.now.0 - 5), Moment(clock.now.0 - 5))
        );
        assert_eq!(future.day, date(2026, 6, 1));
        // An empty battery: the clock begins at 1970.
        let mut old = sitting(1_000, date(1970, 1, 1));
        assert_eq!(clock.mend(&mut old, clock.now), Ok(true));
        assert_eq!((old.began, old.day), (EARLIEST, date(2000, 1, 1)));
    }

    #[test]
    fn a_day_that_no_clock_shows_is_no_matter_of_the_clock() {
        let clock = clock();
        for day in [date(-9999, 1, 1), date(1999, 12, 31), date(2026, 6, 9), Date::MAX] {
            let fault = clock.mend(&mut sitting(clock.now.0, day), clock.now);
            assert!(fault.unwrap_err().contains("its day"), "{day}");
        }
    }

    #[test]
    fn a_clock_that_is_wrong_is_said() {
        let clock = clock();
        assert_eq!(clock.doubt(None), None);
        assert_eq!(clock.doubt(Some(date(2026, 6, 3))), None);
        assert!(clock.doubt(Some(date(2026, 6, 4))).unwrap().contains("2026-06-04"));
        let dead = Clock {
            today: date(1970, 1, 1),
            ..clock
        };
        assert!(dead.doubt(None).unwrap().contains("1970-01-01"));
        assert_eq!(dead.days_ahead(Moment(dead.now.0 + 86_400_000)), None);
        assert_eq!(dead.days_ahead(Moment(dead.now.0 + 5 * 86_400_000)), Some(5));
    }
}
