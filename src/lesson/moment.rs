//! When something happened, as the caller's clock gave it: whole seconds, written as a date and time
//! of day in UTC so that a person can read the lesson book.
//!
//! Takes seconds since 1 January 1970 and gives `2026-04-05T16:30:00Z`, and back. Invariant: what is
//! written reads back as the same moment. Nothing here reads a clock, and nothing assumes that clocks
//! only go forward.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

const DAY: i64 = 86_400;
/// First second of year 1 and last second of year 9999: what four digits can write.
const FIRST: i64 = -62_135_596_800;
const LAST: i64 = 253_402_300_799;

/// A second in time, in the years 1 to 9999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Moment(i64);

/// Text that is no moment as the lesson book writes it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("not a moment: {0:?}")]
pub struct NotAMoment(pub String);

impl Moment {
    /// The moment this many seconds after the start of 1970 UTC; kept within the years 1 to 9999.
    pub const fn from_unix_seconds(seconds: i64) -> Self {
        if seconds < FIRST {
            Self(FIRST)
        } else if seconds > LAST {
            Self(LAST)
        } else {
            Self(seconds)
        }
    }

    /// Seconds since the start of 1970 UTC.
    pub const fn unix_seconds(self) -> i64 {
        self.0
    }

    /// Whole seconds from `earlier` to this; negative if the clock went back.
    pub const fn seconds_since(self, earlier: Self) -> i64 {
        self.0 - earlier.0
    }
}

/// Days before the first of March of this year, counted from the first of March of year 0, so that
/// the leap day is the last day of its year.
const fn days_to_march(year: i64) -> i64 {
    365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400)
}

/// Days from 1 March of year 0 to 1 January 1970.
const EPOCH: i64 = days_to_march(1969) + 306;

/// Days before the month counted from March as 0: months run 31, 30, 31, 30, 31, 31, 30, ...
const fn days_to_month(month_from_march: i64) -> i64 {
    (153 * month_from_march + 2) / 5
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (days, second) = (self.0.div_euclid(DAY) + EPOCH, self.0.rem_euclid(DAY));
        let mut year = days / 366;
        while days_to_march(year + 1) <= days {
            year += 1;
        }
        let day_of_year = days - days_to_march(year);
        let month = (0..12)
            .rev()
            .find(|&m| days_to_month(m) <= day_of_year)
            .unwrap_or(0);
        let day = day_of_year - days_to_month(month) + 1;
        let (year, month) = if month < 10 {
            (year, month + 3)
        } else {
            (year + 1, month - 9)
        };
        let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
        write!(
            f,
            "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z"
        )
    }
}

impl FromStr for Moment {
    type Err = NotAMoment;

    fn from_str(text: &str) -> Result<Self, NotAMoment> {
        let number = |from: usize, to: usize| {
            let digits = text
                .get(from..to)
                .filter(|d| d.bytes().all(|b| b.is_ascii_digit()));
            digits.and_then(|d| d.parse::<i64>().ok())
        };
        let read = || {
            let (year, month, day) = (number(0, 4)?, number(5, 7)?, number(8, 10)?);
            let (hour, minute, second) = (number(11, 13)?, number(14, 16)?, number(17, 19)?);
            let (march_year, from_march) = if month > 2 {
                (year, month - 3)
            } else {
                (year - 1, month + 9)
            };
            let days = days_to_march(march_year) + days_to_month(from_march) + day - 1 - EPOCH;
            Some(Self(days * DAY + hour * 3600 + minute * 60 + second))
        };
        // Dates that do not exist come back as another text.
        read()
            .filter(|moment| (FIRST..=LAST).contains(&moment.0) && moment.to_string() == text)
            .ok_or_else(|| NotAMoment(text.to_owned()))
    }
}

impl TryFrom<String> for Moment {
    type Error = NotAMoment;

    fn try_from(text: String) -> Result<Self, NotAMoment> {
        text.parse()
    }
}

impl From<Moment> for String {
    fn from(moment: Moment) -> Self {
        moment.to_string()
    }
}
