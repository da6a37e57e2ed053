//! The plain input of all exporters, and the orders in which a list can be read.

use super::error::ExportError;
use crate::items::{Item, Severity, Status, Unplaced, VisitedPlace};
use crate::speech::Recording;
use jiff::fmt::temporal::Pieces;
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
}

/// One line of the document's head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Detail {
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
    /// group: place order, then number. Groups without items are left out.
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
            Grouping::Place => (0, None, rank(item), item.number),
            Grouping::Trade => {
                let trade = item.trade.as_deref();
                (usize::from(trade.is_none()), trade, rank(item), item.number)
            }
            Grouping::Severity => (item.severity as usize, None, rank(item), item.number),
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
        parse_created(&self.created)?;
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

/// Returns the parts of a date and time as in RFC 3339 (section 5.6), which asks for a date, a
/// time and an offset.
pub(crate) fn parse_created(text: &str) -> Result<Created, ExportError> {
    let wrong = || ExportError::Created {
        text: text.to_string(),
    };
    let pieces = Pieces::parse(text).map_err(|_| wrong())?;
    let (Some(time), Some(offset)) = (pieces.time(), pieces.to_numeric_offset()) else {
        return Err(wrong());
    };
    // RFC 3339 knows no zone names in brackets (RFC 9557 does), which the parser would take.
    if pieces.time_zone_annotation().is_some() || !is_rfc_3339_shape(text) {
        return Err(wrong());
    }
    Ok(Created {
        date: pieces.date(),
        time,
        offset,
    })
}

/// The parts of the document's date.
pub(crate) struct Created {
    pub(crate) date: jiff::civil::Date,
    pub(crate) time: jiff::civil::Time,
    pub(crate) offset: jiff::tz::Offset,
}

/// Tells whether the text has the punctuation of RFC 3339's `date-time`, which is narrower than
/// the ISO 8601 forms that the date parser takes.
fn is_rfc_3339_shape(text: &str) -> bool {
    let shape: String = text
        .chars()
        .map(|c| if c.is_ascii_digit() { '0' } else { c })
        .collect();
    let Some(rest) = shape
        .to_ascii_uppercase()
        .strip_prefix("0000-00-00T00:00:00")
        .map(String::from)
    else {
        return false;
    };
    let offset = match rest.strip_prefix('.') {
        Some(fraction) if fraction.starts_with('0') => fraction.trim_start_matches('0'),
        Some(_) => return false,
        None => &rest,
    };
    // A fraction that runs into its offset ends at the sign or the Z.
    matches!(offset, "Z" | "+00:00" | "-00:00")
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    /// Returns one line per group: its heading and the numbers of its items.
    fn reading_order(by: Grouping, include_rejected: bool) -> String {
        let document = sample::document();
        let line = |group: &Group<'_>| {
            let numbers: Vec<String> = group.items.iter().map(|i| i.number.to_string()).collect();
            format!("{}: {}", group.key.heading(), numbers.join(" "))
        };
        let lines: Vec<String> = document
            .groups(by, include_rejected)
            .iter()
            .map(line)
            .collect();
        lines.join("\n")
    }

    #[test]
    fn reads_by_place_in_walking_order() {
        insta::assert_snapshot!(reading_order(Grouping::Place, false), @r#"
        Front elevation: 1
        Hallway: 2 5
        Kitchen: 3 4
        Loft: 8
        Place not named: 7
        "#);
    }

    #[test]
    fn reads_by_trade_with_the_unnamed_last() {
        insta::assert_snapshot!(reading_order(Grouping::Trade, false), @r#"
        Decorator: 8
        Electrician: 3
        Joiner: 2 5
        Plasterer: 4
        Roofer: 1
        Trade not named: 7
        "#);
    }

    #[test]
    fn reads_by_severity_most_urgent_first_with_rejected_ones_on_request() {
        insta::assert_snapshot!(reading_order(Grouping::Severity, true), @r#"
        Safety: 3
        Repair: 1 2 5
        Finish: 4 6
        Clean: 7
        Watch: 8
        "#);
    }

    #[test]
    fn every_item_is_in_exactly_one_group() {
        let document = sample::document();
        for by in [Grouping::Place, Grouping::Trade, Grouping::Severity] {
            let mut found: Vec<u32> = document
                .groups(by, true)
                .iter()
                .flat_map(|g| &g.items)
                .map(|i| i.number)
                .collect();
            found.sort_unstable();
            let mut all: Vec<u32> = document.items.iter().map(|i| i.number).collect();
            all.sort_unstable();
            assert_eq!(found, all, "{by:?}");
        }
    }

    #[test]
    fn names_the_places_where_nothing_is_listed() {
        let document = sample::document();
        let names = |rejected| -> Vec<&str> {
            document
                .places_without_items(rejected)
                .iter()
                .map(|p| p.name.as_str())
                .collect()
        };
        assert_eq!(names(false), ["landing", "en suite"]);
        assert_eq!(names(true), ["landing"]);
    }

    /// The examples of RFC 3339, section 5.8 (the leap second aside: see below), and forms that
    /// its grammar (section 5.6) does not have.
    #[test]
    fn takes_the_dates_of_rfc_3339_only() {
        for text in [
            "1985-04-12T23:20:50.52Z",
            "1996-12-19T16:39:57-08:00",
            "1937-01-01T12:00:27.87+00:20",
            "2026-03-02t17:05:00z",
        ] {
            assert!(parse_created(text).is_ok(), "{text}");
        }
        for text in [
            "",
            "2026-03-02",
            "2026-03-02T17:05:00",
            "2026-03-02T17:05Z",
            "20260302T170500Z",
            "2026-02-30T17:05:00Z",
            "2026-03-02T17:05:00Z[Europe/London]",
            "2026-03-02T17:05:00.Z",
            "2026-03-02 17:05:00Z",
            "yesterday",
        ] {
            let error = parse_created(text).err().map(|e| e.to_string());
            assert!(
                error.is_some_and(|e| e.contains(&format!("{text:?}"))),
                "{text}"
            );
        }
    }

    #[test]
    fn refuses_numbers_that_no_list_can_have() {
        let broken: [(&str, fn(&mut Document)); 6] = [
            ("two items have the number 2", |d| d.items[0].number = 2),
            ("item 0: number is 0", |d| d.items[0].number = 0),
            ("item 1: count is 0", |d| d.items[0].count = 0),
            ("item 1: confidence is 1.5", |d| d.items[0].confidence = 1.5),
            ("item 2: a measurement is inf", |d| {
                d.items[1].measurements[0].value = f64::INFINITY
            }),
            ("recording walk-round 1.m4a: its length is -1", |d| {
                d.recordings[0].duration_s = -1.0
            }),
        ];
        for (message, breaks) in broken {
            let mut document = sample::document();
            breaks(&mut document);
            let error = document.check().unwrap_err().to_string();
            assert!(error.starts_with(message), "{error}");
        }
    }
}
