//! When: a moment for the order of things, and the day on the family's own calendar.

use std::fmt;

use jiff::civil::Date;
use jiff::{Timestamp, Zoned};
use rusqlite::Result as SqlResult;
use rusqlite::types::{FromSql, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use serde::{Deserialize, Serialize};

/// Milliseconds since 1970 began, UTC.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Moment(pub i64);

/// 2000-01-01, before which there was no notebook.
pub(super) const EARLIEST: Moment = Moment(946_684_800_000);

impl Moment {
    /// Now; never before 2000, whatever the clock says: no notebook takes such a row.
    pub fn now() -> Moment {
        Moment(Timestamp::now().as_millisecond()).max(EARLIEST)
    }

    /// For a change to something last changed at `before`: now, but never at or before that, whatever the clock says.
    pub(super) fn after(before: Moment) -> Moment {
        Moment(Moment::now().0.max(before.0 + 1))
    }

    /// So many days of 24 hours earlier.
    pub fn days_before(self, days: i64) -> Moment {
        Moment(self.0 - days * 86_400_000)
    }

    /// The day that it is on, on this machine's calendar.
    pub fn day(self) -> Date {
        let stamp = Timestamp::from_millisecond(self.0).unwrap_or_default();
        stamp.to_zoned(jiff::tz::TimeZone::system()).date()
    }

    /// Date and time of day where this machine is, such as `2026-11-25 14:30`.
    pub fn local(self) -> String {
        match Timestamp::from_millisecond(self.0) {
            Ok(t) => t
                .to_zoned(jiff::tz::TimeZone::system())
                .strftime("%Y-%m-%d %H:%M")
                .to_string(),
            Err(_) => "?".to_owned(),
        }
    }
}

/// Writes the moment in UTC by RFC 3339, such as `2026-11-25T14:30:05.250Z`.
impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match Timestamp::from_millisecond(self.0) {
            Ok(t) => write!(f, "{t:.3}"),
            Err(_) => f.write_str("?"),
        }
    }
}

impl ToSql for Moment {
    fn to_sql(&self) -> SqlResult<ToSqlOutput<'_>> {
        Ok(self.0.into())
    }
}

impl FromSql for Moment {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value.as_i64().map(Moment)
    }
}

/// Today where this machine is; never before 2000, as [`Moment::now`].
pub(super) fn today() -> Date {
    Zoned::now().date().max(jiff::civil::date(2000, 1, 1))
}

/// A day as the number 20261125: it sorts, and its month is that divided by a hundred.
pub(super) fn day_number(date: Date) -> i64 {
    i64::from(date.year()) * 10_000 + i64::from(date.month()) * 100 + i64::from(date.day())
}

/// The day of a number, if it is one.
pub(super) fn day_of(number: i64) -> Option<Date> {
    let (year, rest) = (number / 10_000, number % 10_000);
    Date::new(
        year.try_into().ok()?,
        (rest / 100).try_into().ok()?,
        (rest % 100).try_into().ok()?,
    )
    .ok()
}

/// Days as ISO 8601 text, `2026-11-25`, in files.
pub(super) mod iso {
    use super::Date;
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    /// Writes the day.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(date: &Date, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(date)
    }

    /// Reads the day.
    ///
    /// # Errors
    /// Those of the deserializer; and when the text is no day.
    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Date, D::Error> {
        let text = String::deserialize(from)?;
        text.parse()
            .map_err(|_| D::Error::custom(format_args!("`{text}` is not a day such as 2026-11-25")))
    }
}

/// The same where there may be none.
pub(super) mod iso_or_none {
    use super::Date;
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    /// Writes the day, or nothing.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(date: &Option<Date>, to: S) -> Result<S::Ok, S::Error> {
        match date {
            Some(date) => to.collect_str(date),
            None => to.serialize_none(),
        }
    }

    /// Reads the day, or nothing.
    ///
    /// # Errors
    /// Those of the deserializer; and when the text is no day.
    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Date>, D::Error> {
        let text = Option::<String>::deserialize(from)?;
        let wrong = |text: &str| D::Error::custom(format_args!("`{text}` is not a day such as 2026-11-25"));
        text.map(|text| text.parse().map_err(|_| wrong(&text))).transpose()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_are_written_by_rfc_3339() {
        // One thousand million seconds, the usual example: 2001-09-09T01:46:40Z.
        assert_eq!(Moment(1_000_000_000_000).to_string(), "2001-09-09T01:46:40.000Z");
    }

    #[test]
    fn a_day_and_its_number_go_both_ways() {
        let day = jiff::civil::date(2024, 2, 29);
        assert_eq!(day_number(day), 20_240_229);
        assert_eq!(day_of(20_240_229), Some(day));
        assert_eq!(day_of(20_230_229), None);
    }
}
