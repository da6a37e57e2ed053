//! Invented items for tests.

use crate::items::{Evidence, Item, Proposal, Severity, Status};
use crate::time::{Millis, Span};

/// Returns a plain item; its id and times follow from its number.
pub(crate) fn item(number: u32, place: &str, element: &str, defect: &str) -> Item {
    let start = Millis(u64::from(number) * 10_000);
    Item {
        number,
        id: format!("{number:016x}"),
        place: place.into(),
        position: None,
        element: element.into(),
        defect: defect.into(),
        description: format!("{element} {defect}"),
        count: 1,
        measurements: vec![],
        limits: vec![],
        remedy: None,
        remedy_source: None,
        trade: None,
        severity: Severity::Finish,
        caution: None,
        remarks: vec![],
        hedged: false,
        photo_wanted: false,
        evidence: Evidence {
            recording: 1,
            span: Some(Span::new(start, start.later(4_000))),
            quote: format!("the {element} is {defect}"),
            words: None,
            terms: vec![],
            reasons: vec![],
        },
        confidence: 0.9,
        status: Status::Proposed,
        photos: vec![],
    }
}

/// Returns a proposal with these items.
pub(crate) fn proposal(items: Vec<Item>) -> Proposal {
    Proposal {
        items,
        ..Proposal::default()
    }
}

/// Returns three items of a small hallway and kitchen.
pub(crate) fn three() -> Vec<Item> {
    vec![
        item(1, "hallway", "newel post", "out of plumb"),
        item(2, "hallway", "skirting", "gap at the mitre"),
        item(3, "kitchen", "worktop", "scratched"),
    ]
}
