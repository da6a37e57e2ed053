//! A period as people write it: `30 days`, `10 working days`, `2 weeks`, `1 month`.

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};
use std::fmt;
use std::str::FromStr;

/// Longest period taken, in its unit: more is a slip of the finger.
const MOST: u32 = 3650;

/// What a period is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Calendar days.
    Days,
    /// Monday to Friday. Public holidays are not known and count as working days.
    WorkingDays,
    /// Seven calendar days each.
    Weeks,
    /// Calendar months; a day that the month does not have becomes its last.
    Months,
}

/// A period counted from a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    /// How many units.
    pub count: u32,
    /// The unit.
    pub unit: Unit,
}

/// Why a text is no period.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PeriodError {
    /// Not a number and a unit.
    #[error(
        "the period `{0}` is not understood: give a whole number from 1 to {MOST} and days, working \
         days, weeks or months, such as 30 days"
    )]
    Text(String),
    /// Not one of the five words.
    #[error("the severity `{0}` is unknown: give safety, repair, finish, clean or watch")]
    Severity(String),
}

impl FromStr for Period {
    type Err = PeriodError;

    fn from_str(text: &str) -> Result<Period, PeriodError> {
        let wrong = || PeriodError::Text(text.trim().to_owned());
        let lower = text.to_lowercase();
        let mut words = lower.split_whitespace();
        let count = words.next().and_then(|word| word.parse().ok());
        let count = count
            .filter(|count| (1..=MOST).contains(count))
            .ok_or_else(wrong)?;
        let unit = match words.collect::<Vec<_>>()[..] {
            ["day" | "days"] | ["calendar", "day" | "days"] => Unit::Days,
            ["working" | "business", "day" | "days"] => Unit::WorkingDays,
            ["week" | "weeks"] => Unit::Weeks,
            ["month" | "months"] => Unit::Months,
            _ => return Err(wrong()),
        };
        Ok(Period { count, unit })
    }
}

/// Shows `1 day`, `10 working days`.
impl fmt::Display for Period {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self.unit {
            Unit::Days => "day",
            Unit::WorkingDays => "working day",
            Unit::Weeks => "week",
            Unit::Months => "month",
        };
        let plural = if self.count == 1 { "" } else { "s" };
        write!(f, "{} {unit}{plural}", self.count)
    }
}

impl Period {
    /// Returns the last day of the period that begins on `start`: 30 days from 1 March end on 31
    /// March. `None` beyond the end of the calendar.
    pub fn after(self, start: Date) -> Option<Date> {
        let count = i64::from(self.count);
        let span = match self.unit {
            Unit::Days => count.days(),
            Unit::Weeks => count.weeks(),
            Unit::Months => count.months(),
            Unit::WorkingDays => return working_days_after(start, self.count),
        };
        start.checked_add(span).ok()
    }
}

/// Counts on from the day after `start`, over Saturdays and Sundays.
fn working_days_after(start: Date, count: u32) -> Option<Date> {
    let mut day = start;
    let mut left = count;
    while left > 0 {
        day = day.tomorrow().ok()?;
        if !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
            left -= 1;
        }
    }
    Some(day)
}
