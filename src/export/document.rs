//! The plain input of all exporters, and the orders in which a list can be read.

use super::date;
use super::error::ExportError;
use super::reader::Reader;
use super::visits::HeldVisit;
use crate::items::{Item, Severity, Status, Unplaced, VisitedPlace};
use crate::speech::Recording;
use std::collections::{BTreeMap, BTreeSet};

/// Place name of an item for which no place was said.
pub(crate) const NO_PLACE: &str = "unplaced";

/// Everything a document may show.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Document {
    /// What the list is about, such as the plot.
    pub title: String,
    /// When the list was made: date and time with offset, as in RFC 3339.
    pub created: String,
    /// Lines for the head of the list that hold for the whole visit, such as who inspected.
    pub details: Vec<Detail>,
    /// The visits, the walk-round that made the list first; may be empty.
    pub visits: Vec<HeldVisit>,
    /// The date, `YYYY-MM-DD`, for which overdue items and open days are told. It is part of the
    /// document, so that the same document is the same bytes on every day.
    pub as_of: Option<String>,
    /// The recordings, in order.
    pub recordings: Vec<Recording>,
    /// The places visited, in walking order.
    pub places: Vec<VisitedPlace>,
    /// The items, in any order.
    pub items: Vec<Item>,
    /// What made no item.
    pub unplaced: Vec<Unplaced>,
    /// Pictures to embed, by the file names of [`Item::photos`]. A photo that is not here is
    /// named, not shown.
    pub photos: BTreeMap<String, Photo>,
    /// What the reader is told beside the list; empty until [`Document::word_for`].
    pub reader: Reader,
}

/// One line of the document's head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Detail {
    /// The job's name for it, such as `inspector`.
    pub key: String,
    /// What it tells, such as `Inspected by`.
    pub label: String,
    /// The value.
    pub value: String,
}

/// A picture's bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// A whole JPEG, PNG, GIF or WebP file.
    pub bytes: Vec<u8>,
}

/// How a list is divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grouping {
    /// By place, in walking order.
    #[default]
    Place,
    /// By trade, in alphabetical order; items without one last.
    Trade,
    /// By severity, most urgent first.
    Severity,
}

/// Items that are read together.
#[derive(Debug, Clone, PartialEq)]
pub struct Group<'a> {
    /// What they share.
    pub key: GroupKey<'a>,
    /// The items, in place order, then by number.
    pub items: Vec<&'a Item>,
}

/// What the items of a group share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroupKey<'a> {
    /// The place's name.
    Place(&'a str),
    /// The trade; `None` where none is known.
    Trade(Option<&'a str>),
    /// The severity.
    Severity(Severity),
}

impl Document {
    /// Returns the items by number, without the rejected ones unless they are asked for.
    pub fn by_number(&self, include_rejected: bool) -> Vec<&Item> {
        let mut items: Vec<&Item> = self
            .items
            .iter()
            .filter(|i| include_rejected || i.status != Status::Rejected)
            .collect();
        items.sort_by_key(|item| item.number);
        items
    }

    /// Returns the items divided as asked: places in walking order (places that were never
    /// visited after them in order of first mention, items without a place last), trades in
    /// alphabetical order (items without one last), severities most urgent first. Within a
    /// group: place order, then number; a trade's safety items before its others. Groups without items are left out.
    pub fn groups(&self, by: Grouping, include_rejected: bool) -> Vec<Group<'_>> {
        let places = self.place_order();
        let rank = |item: &Item| {
            places
                .get(item.place.as_str())
                .copied()
                .unwrap_or(usize::MAX)
        };
        let mut items = self.by_number(include_rejected);
        items.sort_by_key(|item| match by {
            Grouping::Place => (0, None, 0, rank(item), item.number),
            Grouping::Trade => {
                let trade = item.trade.as_deref();
                let calm = usize::from(item.severity != Severity::Safety);
                (
                    usize::from(trade.is_none()),
                    trade,
                    calm,
                    rank(item),
                    item.number,
                )
            }
            Grouping::Severity => (item.severity as usize, None, 0, rank(item), item.number),
        });
        let mut groups: Vec<Group<'_>> = Vec::new();
        for item in items {
            let key = match by {
                Grouping::Place => GroupKey::Place(&item.place),
                Grouping::Trade => GroupKey::Trade(item.trade.as_deref()),
                Grouping::Severity => GroupKey::Severity(item.severity),
            };
            match groups.last_mut() {
                Some(group) if group.key == key => group.items.push(item),
                _ => groups.push(Group {
                    key,
                    items: vec![item],
                }),
            }
        }
        groups
    }

    /// Returns the places that were visited and have no item shown, in walking order, each once.
    pub fn places_without_items(&self, include_rejected: bool) -> Vec<&VisitedPlace> {
        let mut seen: BTreeSet<&str> = self
            .by_number(include_rejected)
            .iter()
            .map(|item| item.place.as_str())
            .collect();
        self.places
            .iter()
            .filter(|place| seen.insert(&place.name))
            .collect()
    }

    /// Returns the file name of a recording; `None` for a number that is not in the list, as of
    /// an item added by hand.
    pub fn recording_file(&self, id: u32) -> Option<&str> {
        self.recordings
            .iter()
            .find(|r| r.id == id)
            .map(|r| r.file.as_str())
    }

    /// Returns what the job tells under a key, such as `plot`; `None` where it tells nothing.
    pub fn detail(&self, key: &str) -> Option<&str> {
        self.details
            .iter()
            .find(|detail| detail.key == key)
            .map(|detail| detail.value.trim())
            .filter(|value| !value.is_empty())
    }

    /// Returns each place's position in reading order.
    fn place_order(&self) -> BTreeMap<&str, usize> {
        let mut order = BTreeMap::new();
        let visited = self.places.iter().map(|place| place.name.as_str());
        let mentioned = self
            .by_number(true)
            .into_iter()
            .map(|item| item.place.as_str());
        for name in visited.chain(mentioned.filter(|&name| name != NO_PLACE)) {
            let next = order.len();
            order.entry(name).or_insert(next);
        }
        // Last, even where understanding lists it among the places.
        order.insert(NO_PLACE, usize::MAX);
        order
    }

    /// Checks what no format could say truthfully: the date, and numbers that are none.
    pub(crate) fn check(&self) -> Result<(), ExportError> {
        date::parse(&self.created)?;
        for recording in &self.recordings {
            for value in [recording.duration_s, recording.speech_s] {
                if !(value.is_finite() && value >= 0.0) {
                    let file = recording.file.clone();
                    return Err(ExportError::RecordingLength { file, value });
                }
            }
        }
        let mut numbers = BTreeSet::new();
        for item in &self.items {
            if !numbers.insert(item.number) {
                return Err(ExportError::SameNumber {
                    number: item.number,
                });
            }
            check_item(item)?;
        }
        Ok(())
    }
}

/// Checks an item's numbers.
fn check_item(item: &Item) -> Result<(), ExportError> {
    const PROBABILITY: &str = "a number from 0 to 1";
    const AT_LEAST_ONE: &str = "a whole number of at least 1";
    const NUMBER: &str = "a number";
    let wrong = |what, value, expected| {
        Err(ExportError::ItemNumber {
            number: item.number,
            what,
            value,
            expected,
        })
    };
    if item.number == 0 {
        return wrong("number", 0.0, AT_LEAST_ONE);
    }
    if item.count == 0 {
        return wrong("count", 0.0, AT_LEAST_ONE);
    }
    if !(0.0..=1.0).contains(&item.confidence) {
        return wrong("confidence", item.confidence, PROBABILITY);
    }
    for term in &item.evidence.terms {
        if !(0.0..=1.0).contains(&term.score) {
            return wrong("a term's score", f64::from(term.score), PROBABILITY);
        }
    }
    for m in &item.measurements {
        let values = [Some(m.value), m.max, m.over.as_ref().map(|over| over.value)];
        for value in values.into_iter().flatten() {
            if !value.is_finite() {
                return wrong("a measurement", value, NUMBER);
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
