//! Invented items for tests.

use crate::items::{
    Evidence, Item, LimitCheck, Measurement, Over, Proposal, RemedySource, Severity, Standing,
    Status, TermEvidence,
};
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
        standing: Standing::Open,
        history: Vec::new(),
        due: None,
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

/// Returns an item with every field filled, as understanding may propose it.
pub(crate) fn rich() -> Item {
    Item {
        position: Some("left of the lounge door".into()),
        description: "The newel post is out of plumb by 19 mm over the storey.".into(),
        count: 2,
        measurements: vec![Measurement {
            value: 19.0,
            max: None,
            unit: "mm".into(),
            over: Some(Over {
                value: 1.0,
                unit: "storey".into(),
            }),
            spoken: "nineteen millimetres over the storey".into(),
            approximate: true,
        }],
        limits: vec![LimitCheck {
            id: "invented".into(),
            verdict: "outside".into(),
            why: "at most 10 mm in one storey (an invented limit for this test)".into(),
        }],
        remedy: Some("straighten and refix".into()),
        remedy_source: Some(RemedySource::Suggested),
        trade: Some("joiner".into()),
        severity: Severity::Safety,
        caution: Some("Do not lean on the balustrade until it is fixed.".into()),
        remarks: vec!["moves when pushed".into(), "the base looks short".into()],
        hedged: true,
        photo_wanted: true,
        evidence: Evidence {
            recording: 1,
            span: Some(Span::new(Millis(46_000), Millis(52_100))),
            quote: "and the new will post left of the lounge door is about nineteen millimetres \
                    out of plumb over the storey I think"
                .into(),
            words: Some((40, 61)),
            terms: vec![TermEvidence {
                kind: "element".into(),
                name: "newel post".into(),
                heard: "new will post".into(),
                how: "sounds like".into(),
                score: 0.87,
            }],
            reasons: vec!["the place is carried from 0:24".into()],
        },
        confidence: 0.83,
        ..item(1, "hallway", "newel post", "out of plumb")
    }
}

/// Returns a short list with the rich item first.
pub(crate) fn walk() -> Vec<Item> {
    let mut items = vec![
        rich(),
        item(2, "hallway", "skirting", "gap at the mitre"),
        item(3, "kitchen", "worktop", "scratched"),
        item(4, "kitchen", "larder unit", "loose"),
    ];
    items[2].confidence = 0.97;
    items[3].confidence = 0.42;
    items
}
