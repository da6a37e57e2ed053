//! Outcomes for figures, as a table a family; the published source of each row stands beside it.

mod figures;
mod files;
mod properties;

use super::{Chosen, Limits, Yardstick, check};
use crate::items::{Item, Measurement, Over};
use crate::job::samples;

/// Returns an item as it might be said: place, element, defect, and the rest of the words.
fn said(place: &str, element: &str, defect: &str, rest: &str, figure: Measurement) -> Item {
    let mut item = samples::item(1, place, element, defect);
    item.description = rest.to_owned();
    item.evidence.quote = rest.to_owned();
    item.measurements = vec![figure];
    item
}

/// Returns a measurement from `value unit`, `value unit / value unit`, with `~` before it where it
/// is approximate.
fn figure(text: &str) -> Measurement {
    let approximate = text.starts_with('~');
    let mut parts = text.trim_start_matches('~').split(" / ");
    let mut read = || -> Option<(f64, String)> {
        let (value, unit) = parts.next()?.split_once(' ')?;
        Some((value.parse().unwrap(), unit.to_owned()))
    };
    let (value, unit) = read().unwrap();
    let over = read().map(|(value, unit)| Over { value, unit });
    Measurement {
        value,
        max: None,
        unit,
        over,
        spoken: text.to_owned(),
        approximate,
    }
}

fn yardstick(chosen: &str) -> Yardstick {
    Yardstick {
        limits: Limits::builtin().clone(),
        chosen: Chosen::parse(chosen).unwrap(),
    }
}

/// Returns `id verdict`, one a line, of what an item with the figure gives.
fn verdicts(chosen: &str, item: &Item) -> Vec<String> {
    let mut shown: Vec<String> = check(item, &yardstick(chosen))
        .into_iter()
        .map(|check| format!("{} {}", check.id, check.verdict))
        .collect();
    shown.sort();
    shown
}
