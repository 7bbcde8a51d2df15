//! From where on things are new to a consultant, and which attempts wait for an ear.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::{Moment, time};

/// Days looked back where the desk was never cleared; and days in which what wants a ruling stays on the desk though it was cleared.
pub const DESK_DAYS: i64 = 28;

/// How far the notebook was seen: when, and the numbers of the last rows that were there. What comes in later is new, even where it
/// was said earlier, as in a hand-over or a folder of old recordings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeskSeen {
    /// When.
    pub at: Moment,
    pub(super) attempt: i64,
    pub(super) writing: i64,
    pub(super) note: i64,
}

/// From where on things are new.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NewFrom {
    /// What was said, written or noted on this day or later.
    Day(Date),
    /// What came in after this was seen.
    Seen(DeskSeen),
}

impl NewFrom {
    /// The first day and moment from which on rows are new, and the number of a row after which all are, whenever they are from.
    pub(super) fn bounds(self, row: impl Fn(&DeskSeen) -> i64) -> (i64, i64, i64) {
        match self {
            NewFrom::Day(day) => (time::day_number(day), i64::MIN, i64::MAX),
            // The family's calendar may be a day behind.
            NewFrom::Seen(seen) => {
                let day = seen.at.day();
                let day = day.yesterday().unwrap_or(day);
                (time::day_number(day), seen.at.0.saturating_add(1), row(&seen))
            }
        }
    }
}

/// Which attempts are looked at for what wants a ruling: those of the last four weeks, whenever the desk was cleared, and all that
/// are new. Where a day was asked for, those from that day on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OpenWork {
    /// The first day, as a number.
    day: i64,
    /// The number of a row after which all are looked at, whenever they are from.
    row: i64,
}

impl OpenWork {
    /// What is open today, where this is new.
    pub fn of(from: NewFrom, today: Date) -> OpenWork {
        let (day, _, row) = from.bounds(|seen| seen.attempt);
        let back = today.checked_sub(jiff::Span::new().days(DESK_DAYS)).unwrap_or(today);
        let day = match from {
            NewFrom::Day(_) => day,
            NewFrom::Seen(_) => day.min(time::day_number(back)),
        };
        OpenWork { day, row }
    }

    /// The condition on the table of attempts, with the values for its question marks.
    pub(super) fn condition(self) -> (&'static str, [i64; 2]) {
        ("(day >= ? OR n > ?)", [self.day, self.row])
    }

    /// The same as bounds of new rows.
    pub(super) fn bounds(self) -> (i64, i64, i64) {
        (self.day, i64::MIN, self.row)
    }
}
