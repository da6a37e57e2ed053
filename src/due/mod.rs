//! Dates by rule: until when an item is to be answered and put right, and what is overdue.
//!
//! No code of practice is assumed: a job has the periods that were set for it
//! (`callover details --within`), or none and then no dates. Everything is counted in whole calendar
//! days; today is always given, never read here.

mod period;

pub use period::{Period, PeriodError, Unit};

use crate::items::{Item, Severity, Standing};
use crate::job::severity_word;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Key of the detail with the period for putting items right.
pub const DETAIL_WITHIN: &str = "within";
/// Key of the detail with the period for an answer.
pub const DETAIL_RESPOND: &str = "respond-within";

/// The severities, in the order in which they are written down.
const SEVERITIES: [Severity; 5] = [
    Severity::Safety,
    Severity::Repair,
    Severity::Finish,
    Severity::Clean,
    Severity::Watch,
];

/// The periods of a job, counted from the visit on which an item was found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Rules {
    /// Until the builder is to answer.
    pub respond: Option<Period>,
    /// Until items are to be put right.
    pub complete: Option<Period>,
    /// Until items of a severity are to be put right, where that differs.
    pub by_severity: BTreeMap<Severity, Period>,
}

/// Returns the key of the detail with the period of one severity, such as `within/safety`.
pub fn severity_key(severity: Severity) -> String {
    format!("{DETAIL_WITHIN}/{}", severity_word(severity))
}

/// Splits `safety=1 day` into the detail's key and the period; `30 days` is for all severities.
///
/// # Errors
/// [`PeriodError`] naming what is not understood.
pub fn rule(text: &str) -> Result<(String, Period), PeriodError> {
    let Some((word, period)) = text.split_once('=') else {
        return Ok((DETAIL_WITHIN.into(), text.parse()?));
    };
    let word = word.trim().to_lowercase();
    let severity = SEVERITIES
        .into_iter()
        .find(|severity| severity_word(*severity) == word)
        .ok_or_else(|| PeriodError::Severity(word.clone()))?;
    Ok((severity_key(severity), period.parse()?))
}

impl Rules {
    /// Returns the rules that a job's details hold.
    ///
    /// # Errors
    /// [`PeriodError`] where a detail is no period.
    pub fn of_details(details: &BTreeMap<String, String>) -> Result<Rules, PeriodError> {
        let period = |key: &str| details.get(key).map(|text| text.parse()).transpose();
        let mut by_severity = BTreeMap::new();
        for severity in SEVERITIES {
            if let Some(period) = period(&severity_key(severity))? {
                by_severity.insert(severity, period);
            }
        }
        Ok(Rules {
            respond: period(DETAIL_RESPOND)?,
            complete: period(DETAIL_WITHIN)?,
            by_severity,
        })
    }

    /// Returns the date by which an item of this severity, found on `found`, is to be put right;
    /// `None` where no period was set or the calendar ends.
    pub fn due(&self, severity: Severity, found: Date) -> Option<Date> {
        let period = self.by_severity.get(&severity).or(self.complete.as_ref())?;
        period.after(found)
    }
}

/// Returns the date of `YYYY-MM-DD`; `None` for anything else.
pub fn date(text: &str) -> Option<Date> {
    let shape = text
        .bytes()
        .map(|b| if b.is_ascii_digit() { b'0' } else { b });
    if !shape.eq(*b"0000-00-00") {
        return None;
    }
    text.parse().ok()
}

/// Returns true where the item is still to be dealt with and its date has passed. The day itself
/// still counts.
pub fn overdue(item: &Item, today: Date) -> bool {
    let due = item.due.as_deref().and_then(date);
    item.standing.is_outstanding() && due.is_some_and(|due| due < today)
}

/// Returns for how many days an item found on `found` has been open, or was until a visit found it
/// dealt with.
pub fn days_open(item: &Item, found: Date, today: Date) -> i32 {
    let mut ended = None;
    for seen in &item.history {
        match (seen.standing.is_outstanding(), ended) {
            (true, _) => ended = None,
            (false, None) => ended = date(&seen.date),
            (false, Some(_)) => {}
        }
    }
    let until = match item.standing {
        Standing::PutRight | Standing::Closed => ended.unwrap_or(today),
        _ => today,
    };
    days_between(found, until).max(0)
}

/// Returns the days from one date to another; negative where it lies before.
pub fn days_between(from: Date, to: Date) -> i32 {
    from.duration_until(to).as_hours().div_euclid(24) as i32
}

#[cfg(test)]
mod tests;
