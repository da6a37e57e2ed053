//! What a document tells of later visits: how an item stands, since when, until when, and what the
//! last visit changed.

use super::Document;
use super::wording::capitalised as capital;
use crate::due;
use crate::items::{Item, Seen, Standing, Status, standing_words};
use jiff::civil::Date;

/// One visit of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldVisit {
    /// 1 for the walk-round that made the list.
    pub number: u32,
    /// Its date, `YYYY-MM-DD`.
    pub date: String,
    /// Numbers of its recordings.
    pub recordings: Vec<u32>,
}

/// What the last visit found, by how the work stands.
#[derive(Debug, Clone, PartialEq)]
pub struct SinceLast<'a> {
    /// The visit.
    pub visit: &'a HeldVisit,
    /// Standings that it found, in the order of [`Standing::ALL`], with the items' numbers.
    pub found: Vec<(Standing, Vec<u32>)>,
    /// Numbers of the items that it added.
    pub new: Vec<u32>,
    /// Numbers of the items still to be dealt with that it said nothing of.
    pub not_spoken_of: Vec<u32>,
}

impl Document {
    /// Returns the date on which an item was found: that of the visit of its recording.
    pub fn found_on(&self, item: &Item) -> Option<Date> {
        let recording = item.evidence.recording;
        let visit = self
            .visits
            .iter()
            .find(|visit| visit.recordings.contains(&recording));
        due::date(&visit.or(self.visits.first())?.date)
    }

    /// Returns true where the item is still to be dealt with and its date has passed on
    /// [`Document::as_of`].
    pub fn is_overdue(&self, item: &Item) -> bool {
        let today = self.as_of.as_deref().and_then(due::date);
        today.is_some_and(|today| due::overdue(item, today))
    }

    /// Returns for how many days the item has been open on [`Document::as_of`], or was until it was
    /// found dealt with; `None` in a job without later visits and periods.
    pub fn days_open(&self, item: &Item) -> Option<i32> {
        let today = self.as_of.as_deref().and_then(due::date)?;
        Some(due::days_open(item, self.found_on(item)?, today))
    }

    /// Returns what the last visit changed; `None` before the second visit.
    pub fn since_last(&self) -> Option<SinceLast<'_>> {
        let visit = self.visits.last().filter(|visit| visit.number > 1)?;
        let items: Vec<&Item> = self.by_number(false);
        let seen = |item: &Item| {
            item.history
                .iter()
                .find(|seen| seen.visit == visit.number)
                .cloned()
        };
        let found = Standing::ALL.into_iter().map(|standing| {
            let stands =
                |item: &&&Item| seen(item).is_some_and(|seen: Seen| seen.standing == standing);
            let numbers: Vec<u32> = items
                .iter()
                .filter(stands)
                .map(|item| item.number)
                .collect();
            (standing, numbers)
        });
        let is_new = |item: &Item| visit.recordings.contains(&item.evidence.recording);
        let numbers = |test: &dyn Fn(&Item) -> bool| -> Vec<u32> {
            items
                .iter()
                .filter(|item| test(item))
                .map(|item| item.number)
                .collect()
        };
        Some(SinceLast {
            visit,
            found: found.filter(|(_, numbers)| !numbers.is_empty()).collect(),
            new: numbers(&is_new),
            not_spoken_of: numbers(&|item| {
                item.standing.is_outstanding()
                    && !is_new(item)
                    && seen(item).is_none()
                    && item.status == Status::Confirmed
            }),
        })
    }

    /// Returns how the item stands, in one line for a card: standing, days open, date. `None` where
    /// the job has neither later visits nor periods.
    pub(super) fn standing_line(&self, item: &Item) -> Option<String> {
        let later = self.visits.len() > 1;
        if !later && item.due.is_none() {
            return None;
        }
        let mut parts = Vec::new();
        if later {
            let stands = standing_words(item.standing);
            let days = self.days_open(item).filter(|&days| days > 0);
            let unit = if days == Some(1) { "day" } else { "days" };
            match (days, item.standing) {
                (None, _) => parts.push(stands.to_owned()),
                (Some(days), Standing::Open) => parts.push(format!("open for {days} {unit}")),
                (Some(days), standing) => {
                    parts.push(stands.to_owned());
                    let verb = if standing.is_outstanding() {
                        "open"
                    } else {
                        "was open"
                    };
                    parts.push(format!("{verb} for {days} {unit}"));
                }
            }
        }
        if let Some(date) = item
            .due
            .as_deref()
            .filter(|_| item.standing.is_outstanding())
        {
            let late = if self.is_overdue(item) {
                ", overdue"
            } else {
                ""
            };
            parts.push(format!("due by {}{late}", day_in_words(date)));
        }
        Some(capital(&parts.join("; "))).filter(|line| !line.is_empty())
    }
}

/// Returns one entry of an item's history as a line: `Visit 2, 3 April 2026: changed – it's patchy`.
pub(super) fn seen_line(seen: &Seen) -> String {
    let note = match seen.note.trim() {
        "" => String::new(),
        note => format!(" – “{note}”"),
    };
    format!(
        "Visit {}, {}: {}{note}",
        seen.visit,
        day_in_words(&seen.date),
        standing_words(seen.standing)
    )
}

/// Returns numbers as a list for people: `1, 3, 5–9`.
pub(super) fn ranges(numbers: &[u32]) -> String {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => runs.push((number, number)),
        }
    }
    let shown = runs.iter().map(|(first, last)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first}–{last}"),
    });
    shown.collect::<Vec<_>>().join(", ")
}

impl SinceLast<'_> {
    /// Returns the lines of the summary: what was found, then what is new.
    pub(super) fn lines(&self) -> Vec<(String, String)> {
        let found = self.found.iter();
        let mut lines: Vec<(String, String)> = found
            .map(|(standing, numbers)| (capital(standing_words(*standing)), ranges(numbers)))
            .collect();
        let more = [("New", &self.new), ("Not spoken of", &self.not_spoken_of)];
        for (label, numbers) in more {
            if !numbers.is_empty() {
                lines.push((label.into(), ranges(numbers)));
            }
        }
        lines
    }

    /// Returns the summary's heading.
    pub(super) fn heading(&self) -> String {
        format!(
            "Visit {} on {}",
            self.visit.number,
            day_in_words(&self.visit.date)
        )
    }
}

/// Returns a date of the form `YYYY-MM-DD` in words; anything else as it is.
pub(crate) fn day_in_words(text: &str) -> String {
    due::date(text).map_or_else(
        || text.to_owned(),
        |day| day.strftime("%-d %B %Y").to_string(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_shown_as_people_list_them() {
        for (numbers, shown) in [
            (&[][..], ""),
            (&[4], "4"),
            (&[1, 2, 4], "1, 2, 4"),
            (&[1, 3, 5, 6, 7, 8, 9, 12], "1, 3, 5–9, 12"),
        ] {
            assert_eq!(ranges(numbers), shown);
        }
    }
}
