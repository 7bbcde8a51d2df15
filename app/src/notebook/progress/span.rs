//! The days that are looked at.

use jiff::civil::Date;

/// From which day to which; open ends reach to the first and the last attempt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DaySpan {
    /// The first day.
    pub from: Option<Date>,
    /// The last day.
    pub to: Option<Date>,
}
