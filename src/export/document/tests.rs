//! Reading orders, and what is refused.

use super::super::sample;
use super::*;
use crate::items::Standing;

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

#[test]
fn refuses_numbers_that_no_list_can_have() {
    type Break = fn(&mut Document);
    let broken: [(&str, Break); 8] = [
        ("two items have the number 2", |d| d.items[0].number = 2),
        ("item 0: number is 0", |d| d.items[0].number = 0),
        ("item 1: count is 0", |d| d.items[0].count = 0),
        ("item 1: confidence is 1.5", |d| d.items[0].confidence = 1.5),
        ("item 2: a measurement is inf", |d| {
            d.items[1].measurements[0].value = f64::INFINITY
        }),
        ("item 1: its due date is \"30/3/26\"", |d| {
            d.items[0].due = Some("30/3/26".to_string());
        }),
        ("item 5: a later visit's date is \"\"", |d| {
            d.items[4].history[0].date.clear();
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

#[test]
fn outstanding_is_what_is_confirmed_and_not_yet_in_order() {
    let mut document = sample::document();
    let cases = [
        (Status::Confirmed, Standing::Open, true),
        (Status::Confirmed, Standing::Offered, true),
        (Status::Confirmed, Standing::NotPutRight, true),
        (Status::Confirmed, Standing::Changed, true),
        (Status::Confirmed, Standing::PutRight, false),
        (Status::Confirmed, Standing::Closed, false),
        (Status::Proposed, Standing::Open, false),
        (Status::Rejected, Standing::Open, false),
    ];
    assert_eq!(document.items.len(), cases.len());
    for (item, (status, standing, _)) in document.items.iter_mut().zip(cases) {
        (item.status, item.standing) = (status, standing);
        item.photos = vec![format!("{}.jpg", item.number)];
        let photo = super::super::Photo { bytes: vec![] };
        document.photos.insert(item.photos[0].clone(), photo);
    }
    let expected: Vec<u32> = document
        .items
        .iter()
        .zip(cases)
        .filter(|(_, (_, _, outstanding))| *outstanding)
        .map(|(item, _)| item.number)
        .collect();
    let shown = document.outstanding();
    let numbers: Vec<u32> = shown.items.iter().map(|item| item.number).collect();
    assert_eq!(numbers, expected);
    assert_eq!(shown.photos.len(), expected.len());
    let told = shown.details.last().unwrap();
    assert_eq!(told.value, "outstanding items only: 4 of 6 confirmed");
}
