//! An invented walk-round that uses every field, for the tests of all formats.

use super::document::{Detail, Document};
use crate::items::{
    Evidence, Item, LimitCheck, Measurement, Over, RemedySource, Severity, Standing, Status,
    TermEvidence, Unplaced, Visit, VisitedPlace,
};
use crate::speech::Recording;
use crate::time::{Millis, Span};

fn text(text: &str) -> Option<String> {
    Some(text.to_string())
}

pub(super) fn span(start: f64, end: f64) -> Option<Span> {
    Some(Span::new(
        Millis::from_seconds(start),
        Millis::from_seconds(end),
    ))
}

fn place(name: &str, kind: &str, stays: &[(u32, f64, f64)]) -> VisitedPlace {
    let visits = stays
        .iter()
        .map(|&(recording, start, end)| Visit {
            recording,
            span: span(start, end),
        })
        .collect();
    VisitedPlace {
        name: name.to_string(),
        kind: kind.to_string(),
        visits,
    }
}

/// An item with nothing but what every item has.
pub(super) fn plain_item(number: u32, place: &str, element: &str, defect: &str) -> Item {
    Item {
        number,
        id: format!("{:016x}", 0x00c0_ffee_u64 * u64::from(number)),
        place: place.to_string(),
        position: None,
        element: element.to_string(),
        defect: defect.to_string(),
        description: format!("The {element} is {defect}."),
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
            span: span(f64::from(number) * 21.5, f64::from(number) * 21.5 + 6.25),
            quote: format!("and the {element} here is {defect}"),
            words: Some((number as usize * 10, number as usize * 10 + 6)),
            terms: vec![],
            reasons: vec![],
        },
        confidence: 0.9,
        status: Status::Confirmed,
        photos: vec![],
        standing: Standing::Open,
        history: Vec::new(),
        due: None,
    }
}

/// Plot 14 of an invented site: two recordings, six places, eight items.
pub(super) fn document() -> Document {
    let gutter = Item {
        position: text("left of the porch"),
        description: "The gutter joint drips onto the path left of the porch.".to_string(),
        remedy: text("remake the joint and test with water"),
        remedy_source: Some(RemedySource::Spoken),
        trade: text("roofer"),
        severity: Severity::Repair,
        photos: vec!["IMG_0012.jpg".to_string()],
        ..plain_item(1, "front elevation", "gutter joint", "leaking")
    };
    let newel = Item {
        position: text("foot of the stairs"),
        description: "The newel post at the foot of the stairs is out of plumb by 19 mm over \
                      one storey."
            .to_string(),
        measurements: vec![Measurement {
            value: 19.0,
            max: None,
            unit: "mm".to_string(),
            over: Some(Over {
                value: 1.0,
                unit: "storey".to_string(),
            }),
            spoken: "nineteen millimetres over the storey".to_string(),
            approximate: false,
        }],
        limits: vec![LimitCheck {
            id: "sample-plumb-storey".to_string(),
            verdict: "outside".to_string(),
            why: "19 mm is more than the 10 mm that the sample limit allows over a storey"
                .to_string(),
        }],
        remedy: text("reset the newel post plumb and refix it"),
        remedy_source: Some(RemedySource::Suggested),
        trade: text("joiner"),
        severity: Severity::Repair,
        evidence: Evidence {
            recording: 1,
            span: span(46.0004, 52.1),
            quote: "the new will post is out of plumb nineteen millimetres over the storey"
                .to_string(),
            words: Some((88, 101)),
            terms: vec![
                TermEvidence {
                    kind: "element".to_string(),
                    name: "newel post".to_string(),
                    heard: "new will post".to_string(),
                    how: "sounds like".to_string(),
                    score: 0.83,
                },
                TermEvidence {
                    kind: "defect".to_string(),
                    name: "out of plumb".to_string(),
                    heard: "out of plumb".to_string(),
                    how: "exact".to_string(),
                    score: 1.0,
                },
            ],
            reasons: vec!["a newel post belongs in a hallway".to_string()],
        },
        confidence: 0.9312,
        status: Status::Proposed,
        ..plain_item(2, "hallway", "newel post", "out of plumb")
    };
    let socket = Item {
        position: text("beside the hob"),
        description: "The socket beside the hob is loose on the wall.".to_string(),
        remedy: text("have it isolated, checked and refixed"),
        remedy_source: Some(RemedySource::Suggested),
        trade: text("electrician"),
        severity: Severity::Safety,
        caution: text("Do not use it. Only a licensed electrician should open it."),
        photo_wanted: true,
        ..plain_item(3, "kitchen", "socket", "loose")
    };
    let plaster = Item {
        count: 2,
        description: "Two patches of plaster on the window wall may be hollow.".to_string(),
        measurements: vec![Measurement {
            value: 6.0,
            max: Some(8.0),
            unit: "mm".to_string(),
            over: Some(Over {
                value: 2.0,
                unit: "m".to_string(),
            }),
            spoken: "about six to eight mil over two metres".to_string(),
            approximate: true,
        }],
        limits: vec![LimitCheck {
            id: "sample-flatness".to_string(),
            verdict: "cannot tell".to_string(),
            why: "the sample limit is 7 mm; 6 to 8 mm lies on both sides of it".to_string(),
        }],
        trade: text("plasterer"),
        remarks: vec![
            "said to sound hollow when tapped".to_string(),
            "near the radiator".into(),
        ],
        hedged: true,
        confidence: 0.61,
        status: Status::Proposed,
        ..plain_item(4, "kitchen", "plaster", "hollow")
    };
    let door = Item {
        description: "The door rubs on the frame at the head.".to_string(),
        remedy: text("ease the door"),
        remedy_source: Some(RemedySource::Spoken),
        trade: text("joiner"),
        severity: Severity::Repair,
        ..plain_item(5, "hallway", "door", "binding")
    };
    let tile = Item {
        status: Status::Rejected,
        trade: text("tiler"),
        ..plain_item(6, "en suite", "wall tile", "chipped")
    };
    let hand_made = Item {
        description: "=SUM(A1) <b>is what the label says</b> & it should not | really.".to_string(),
        severity: Severity::Clean,
        evidence: Evidence {
            recording: 0,
            span: None,
            quote: String::new(),
            words: None,
            terms: vec![],
            reasons: vec!["added by hand".to_string()],
        },
        confidence: 1.0,
        ..plain_item(7, "unplaced", "meter label", "dirty")
    };
    let crack = Item {
        position: text("over the hatch"),
        description: "A hairline crack runs over the loft hatch.".to_string(),
        trade: text("decorator"),
        severity: Severity::Watch,
        evidence: Evidence {
            recording: 2,
            span: span(8.5, 14.0),
            ..plain_item(8, "", "ceiling", "cracked").evidence
        },
        ..plain_item(8, "loft", "ceiling", "cracked")
    };
    Document {
        visits: Vec::new(),
        as_of: None,
        title: "Plot 14, Larch Row: walk-round before handover".to_string(),
        created: "2026-03-02T17:05:00Z".to_string(),
        details: vec![
            Detail {
                key: "inspector".to_string(),
                label: "Inspected by".to_string(),
                value: "R. Example".to_string(),
            },
            Detail {
                key: "weather".to_string(),
                label: "Weather".to_string(),
                value: "dry, 9 °C".to_string(),
            },
        ],
        recordings: vec![
            Recording {
                id: 1,
                file: "walk-round 1.m4a".to_string(),
                sha256: "0f".repeat(32),
                duration_s: 412.300_04,
                speech_s: 301.2,
            },
            Recording {
                id: 2,
                file: "loft.opus".to_string(),
                sha256: "a1".repeat(32),
                duration_s: 64.0,
                speech_s: 40.75,
            },
        ],
        places: vec![
            place("front elevation", "elevation", &[(1, 3.0, 24.0)]),
            place("hallway", "room", &[(1, 24.9, 61.0), (1, 100.0, 121.5)]),
            place("kitchen", "room", &[(1, 62.0, 99.0)]),
            place("landing", "room", &[(1, 122.0, 126.0)]),
            place("en suite", "room", &[(1, 127.0, 140.0)]),
            VisitedPlace {
                name: "loft".to_string(),
                kind: "loft".to_string(),
                visits: vec![Visit {
                    recording: 2,
                    span: None,
                }],
            },
        ],
        // Not in number order: exporters sort.
        items: vec![gutter, newel, plaster, socket, door, tile, crack, hand_made],
        unplaced: vec![
            Unplaced {
                recording: 1,
                span: span(12.0, 15.5),
                quote: "mind the puddle there".to_string(),
                why: "no defect named".to_string(),
            },
            Unplaced {
                recording: 2,
                span: None,
                quote: "insulation looks good and even".to_string(),
                why: "said to be in order".to_string(),
            },
        ],
        photos: Default::default(),
        reader: Default::default(),
    }
}

/// A list at the edges of what pages must hold: 300 items, long words, long sentences.
pub(super) fn long_document() -> Document {
    let mut document = document();
    let elements = [
        "skirting",
        "architrave",
        "window board",
        "radiator",
        "worktop",
    ];
    let defects = [
        "scratched",
        "open at the mitre",
        "not fixed",
        "out of level",
    ];
    let trades = ["joiner", "decorator", "plumber", "plasterer", "tiler"];
    let places = ["hallway", "kitchen", "landing", "bedroom two", "loft"];
    document.items = (1..=300_u32)
        .map(|number| {
            let pick = number as usize;
            let mut item = plain_item(
                number,
                places[pick * 5 / 301],
                elements[pick % 5],
                defects[pick % 4],
            );
            item.trade = text(trades[pick % 5]);
            item.severity = super::wording::SEVERITIES[1 + pick % 4];
            item
        })
        .collect();
    document.items[3].description = "Donaudampfschifffahrtsgesellschaft".repeat(6);
    document.items[5].description = "The paint is thin here and there. ".repeat(30);
    document.items[5].position = text(&"behind-the-door-".repeat(12));
    document.items[7].element = "x".repeat(200);
    document.items[299].status = Status::Proposed;
    document
}

/// Makes every sample in every format; with `CALLOVER_SAMPLES` set to a folder also writes them
/// there, for people to look at.
#[test]
fn every_sample_can_be_written_in_every_format() {
    let folder = std::env::var_os("CALLOVER_SAMPLES").map(std::path::PathBuf::from);
    let mut confirmed = document();
    confirmed
        .items
        .retain(|item| item.status == Status::Confirmed);
    let samples = [
        ("sample", document()),
        ("long", long_document()),
        ("confirmed", confirmed),
    ];
    for (name, document) in samples {
        for format in super::Format::ALL {
            let bytes = format.bytes(&document, &super::Options::default()).unwrap();
            assert!(!bytes.is_empty(), "{name}.{}", format.ending());
            if let Some(folder) = &folder {
                std::fs::write(folder.join(format!("{name}.{}", format.ending())), bytes).unwrap();
            }
        }
    }
}
