//! Decisions as they are kept: forms once written are read for ever.

use crate::items::{Severity, Status};
use crate::job::samples::{item, three};
use crate::job::{Decision, Event, Field, Following, replay};

/// A log as the first edition wrote it, in its own words.
const FIRST_EDITION: &str = r#"[
  {"id":1,"at":"t1","decision":{"kind":"proposed","items":3,"highest":3}},
  {"id":2,"at":"t2","decision":{"kind":"accept","item":"0000000000000001","above":null}},
  {"id":3,"at":"t3","decision":{"kind":"edit","item":"0000000000000002","field":"place","from":"hallway","to":"landing","description":null}},
  {"id":4,"at":"t4","decision":{"kind":"reject","item":"0000000000000003","reason":"said twice"}},
  {"id":5,"at":"t5","decision":{"kind":"restore","item":"0000000000000003"}},
  {"id":6,"at":"t6","decision":{"kind":"accept","item":"0000000000000002","above":0.8}},
  {"id":7,"at":"t6","decision":{"kind":"accept","item":"0000000000000003","above":0.8}},
  {"id":8,"at":"t7","decision":{"kind":"undo","events":[6,7]}},
  {"id":9,"at":"t8","decision":{"kind":"redo","events":[6,7]}}
]"#;

#[test]
fn a_log_of_the_first_edition_means_what_it_meant() {
    let events: Vec<Event> = serde_json::from_str(FIRST_EDITION).unwrap();
    let list = replay(&three(), &events);
    let lines: Vec<String> = list
        .items
        .iter()
        .map(|item| format!("{} {} {:?}", item.number, item.place, item.status))
        .collect();
    assert_eq!(
        lines,
        [
            "1 hallway Confirmed",
            "2 landing Confirmed",
            "3 kitchen Confirmed"
        ]
    );
    assert_eq!(
        list.undoable,
        vec![vec![2], vec![3], vec![4], vec![5], vec![6, 7]]
    );
    assert_eq!(list.problems, [""; 0]);
    let written = serde_json::to_value(&events).unwrap();
    let first: serde_json::Value = serde_json::from_str(FIRST_EDITION).unwrap();
    assert_eq!(written, first, "and is written as it was");
}

#[test]
fn each_decision_has_a_form_of_its_own() {
    let id = || "0000000000000001".to_string();
    let new = || Box::new(item(9, "loft", "hatch", "loose"));
    let facts = Following {
        trade: Some("joiner".into()),
        remedy: Some(String::new()),
        ..Following::default()
    };
    for (decision, form) in [
        (
            Decision::Follow { item: id(), facts },
            r#"{"kind":"follow","item":"0000000000000001","facts":{"trade":"joiner","remedy":""}}"#,
        ),
        (
            Decision::AttachPhoto {
                item: id(),
                photo: "a.jpg".into(),
            },
            r#"{"kind":"attach-photo","item":"0000000000000001","photo":"a.jpg"}"#,
        ),
        (
            Decision::DetachPhoto {
                item: id(),
                photo: "a.jpg".into(),
            },
            r#"{"kind":"detach-photo","item":"0000000000000001","photo":"a.jpg"}"#,
        ),
        (
            Decision::Likewise {
                item: id(),
                field: Field::Element,
                of: "0000000000000002".into(),
            },
            r#"{"kind":"likewise","item":"0000000000000001","field":"element","of":"0000000000000002"}"#,
        ),
        (
            Decision::Teach {
                item: id(),
                lesson: "[[heard]]".into(),
            },
            r#"{"kind":"teach","item":"0000000000000001","lesson":"[[heard]]"}"#,
        ),
        (
            Decision::Renumber {
                numbers: vec![(id(), 4)],
            },
            r#"{"kind":"renumber","numbers":[["0000000000000001",4]]}"#,
        ),
        (
            Decision::Together {
                decisions: vec![Decision::Restore { item: id() }],
            },
            r#"{"kind":"together","decisions":[{"kind":"restore","item":"0000000000000001"}]}"#,
        ),
    ] {
        assert_eq!(serde_json::to_string(&decision).unwrap(), form);
    }
    for (decision, kind) in [
        (
            Decision::Copy {
                of: id(),
                item: new(),
            },
            "copy",
        ),
        (
            Decision::Split {
                item: id(),
                at: 3,
                first: new(),
                second: new(),
            },
            "split",
        ),
        (
            Decision::Merge {
                item: id(),
                other: id(),
                merged: new(),
            },
            "merge",
        ),
    ] {
        let value = serde_json::to_value(&decision).unwrap();
        assert_eq!(value["kind"], kind);
        assert_eq!(serde_json::from_value::<Decision>(value).unwrap(), decision);
    }
}

#[test]
fn what_does_not_fit_is_left_out_and_said() {
    let ghost = || "ffffffffffffffff".to_string();
    let known = || "0000000000000001".to_string();
    let twice = || Box::new(item(2, "loft", "hatch", "loose"));
    let decisions = vec![
        Decision::Accept {
            item: ghost(),
            above: None,
        },
        Decision::Split {
            item: ghost(),
            at: 1,
            first: twice(),
            second: twice(),
        },
        Decision::Split {
            item: known(),
            at: 1,
            first: twice(),
            second: twice(),
        },
        Decision::Merge {
            item: known(),
            other: ghost(),
            merged: twice(),
        },
        Decision::Copy {
            of: ghost(),
            item: twice(),
        },
        Decision::Renumber {
            numbers: vec![(known(), 2)],
        },
        Decision::Renumber {
            numbers: vec![(ghost(), 2)],
        },
        Decision::Together { decisions: vec![] },
        Decision::Together {
            decisions: vec![Decision::Together { decisions: vec![] }],
        },
    ];
    let events: Vec<Event> = (1..)
        .zip(decisions)
        .map(|(id, decision)| Event {
            id,
            at: String::new(),
            decision,
        })
        .collect();
    let list = replay(&three(), &events);
    assert_eq!(list.items, three(), "nothing is changed by halves");
    insta::assert_snapshot!(list.problems.join("\n"), @r"
    decision 1 was left out: there is no item with the id ffffffffffffffff
    decision 2 was left out: there is no item with the id ffffffffffffffff
    decision 3 was left out: item 2 is there already
    decision 4 was left out: there is no item with the id ffffffffffffffff
    decision 5 was left out: item 2 is there already
    decision 6 was left out: two items would have the same number
    decision 9 was left out: it holds decisions within decisions
    ");
}

#[test]
fn a_remedy_that_follows_is_a_suggested_one() {
    let mut item = item(1, "hall", "door", "sticks");
    let facts = Following {
        trade: Some(String::new()),
        severity: Some(Severity::Watch),
        remedy: Some("ease the door".into()),
        caution: None,
    };
    facts.write(&mut item);
    assert_eq!(
        item.remedy_source,
        Some(crate::items::RemedySource::Suggested)
    );
    assert_eq!((item.trade, item.severity), (None, Severity::Watch));
    assert_eq!(item.status, Status::Proposed);
}
