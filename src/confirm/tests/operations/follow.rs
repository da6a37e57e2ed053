//! What follows from changed facts: trade, remedy, severity, cautions, limits.

use super::super::{Change, Session, act, describe};
use super::{check, lexicon};
use crate::confirm::Around;
use crate::job::samples::item;
use crate::job::{Field, replay};
use crate::limits::{self, Chosen, Yardstick};
use std::sync::Arc;

#[test]
fn trade_remedy_and_severity_follow_the_facts_until_they_are_set() {
    let mut one = item(1, "kitchen", "worktop", "scratched");
    let usual = crate::items::usual(&lexicon(), &one);
    (one.trade, one.severity, one.remedy) = (usual.trade, usual.severity, usual.remedy);
    one.remedy_source = Some(crate::items::RemedySource::Suggested);
    let around = Around {
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let edit = |field: &str, text: &str| Change::Edit {
        number: 1,
        field: Field::named(field).unwrap(),
        text: text.into(),
    };
    let mut session = Session::new(vec![one], vec![], describe).with(Arc::new(around));
    let mut log = vec![];
    let mut lines = vec![];
    for change in [
        edit("element", "socket"),
        edit("defect", "loose"),
        edit("trade", "handyman"),
        edit("element", "worktop"),
        Change::Undo,
        Change::Undo,
        edit("element", "worktop"),
    ] {
        act(&mut session, &mut log, &change).unwrap();
        let item = &session.items()[0];
        lines.push(format!(
            "{} {}: {:?}, {:?}, {:?}",
            item.element, item.defect, item.trade, item.severity, item.remedy
        ));
    }
    insta::assert_snapshot!(lines.join("\n"), @r#"
    socket scratched: Some("electrician"), Finish, Some("replace")
    socket loose: Some("electrician"), Repair, Some("secure firmly")
    socket loose: Some("handyman"), Repair, Some("secure firmly")
    worktop loose: Some("handyman"), Repair, Some("secure firmly")
    socket loose: Some("handyman"), Repair, Some("secure firmly")
    socket loose: Some("electrician"), Repair, Some("secure firmly")
    worktop loose: Some("kitchen fitter"), Repair, Some("secure firmly")
    "#);
}

#[test]
fn an_item_warns_of_what_it_is_after_an_edit_and_the_log_holds_the_words() {
    let around = Around {
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let one = item(1, "kitchen", "worktop", "scratched");
    let mut session = Session::new(vec![one.clone()], vec![], describe).with(Arc::new(around));
    let mut log = vec![];
    for (field, text, warns) in [
        (Field::Element, "socket", true),
        (Field::Defect, "exposed live wire", true),
        (Field::Element, "worktop", true),
        (Field::Defect, "scratched", false),
    ] {
        let change = Change::Edit {
            number: 1,
            field,
            text: text.into(),
        };
        act(&mut session, &mut log, &change).unwrap();
        let caution = &session.items()[0].caution;
        assert_eq!(caution.is_some(), warns, "{field} {text}: {caution:?}");
        // Whoever reads the log needs no vocabulary for it.
        let replayed = replay(std::slice::from_ref(&one), &log);
        assert_eq!(&replayed.items[0].caution, caution, "{field} {text}");
    }
}

#[test]
fn an_edited_measurement_is_held_against_the_limits_at_once() {
    let yardstick = Yardstick {
        chosen: Chosen::for_region("england"),
        ..Yardstick::default()
    };
    // Approved Document K 2013, Diagram 3.1: 900 mm.
    let one = item(1, "landing", "balustrade", "too low");
    let around = Around {
        yardstick: Some(Arc::new(yardstick.clone())),
        ..Around::default()
    };
    let mut session = Session::new(vec![one], vec![], describe).with(Arc::new(around));
    let mut log = vec![];
    let edit = |text: &str| Change::Edit {
        number: 1,
        field: Field::Measurement,
        text: text.into(),
    };
    for change in [edit("895 mm"), edit("905 mm"), Change::Undo] {
        act(&mut session, &mut log, &change).unwrap();
        let item = &session.items()[0];
        assert!(!item.limits.is_empty(), "{change:?}");
        assert_eq!(item.limits, limits::check(item, &yardstick), "{change:?}");
    }
}

#[test]
fn the_last_thing_that_was_wrong_is_put_right_and_accepted_in_one_step() {
    let last = |number, text: &str| Change::EditAndAccept {
        number,
        field: Field::Element,
        text: text.into(),
    };
    let items = vec![
        item(1, "kitchen", "worktop", "scratched"),
        item(2, "kitchen", "door", "sticks"),
    ];
    let session = Session::new(items, vec![], describe);
    insta::assert_snapshot!(check(session, vec![
        last(1, "plinth"),
        last(2, "door"),
        last(2, "hinge"),
        Change::Undo,
        Change::Undo,
        Change::Undo,
        last(2, ""),
    ]), @r"
    item 1: the element is now plinth; confirmed
    item 2 confirmed
    item 2: the element is now hinge
    undone: item 2: the element is now hinge
    undone: item 2 confirmed
    undone: item 1: the element is now plinth; confirmed
    no: the element cannot be empty: give it, or leave the field as it is
    1. kitchen: worktop scratched, undecided
    2. kitchen: door sticks, undecided
    ");
}

#[test]
fn the_trade_of_a_changed_item_follows_the_rule_by_which_it_was_made() {
    let around = Around {
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let words = super::words("Bathroom. Fan cover cracked.");
    let one = around.understood(&words).unwrap();
    assert_eq!(one.trade.as_deref(), Some("electrician"));
    let mut session = Session::new(vec![one.clone()], vec![], describe).with(Arc::new(around));
    let mut log = vec![];
    for (field, text, trade) in [
        (Field::Defect, "loose", "electrician"),
        (Field::Element, "worktop", "kitchen fitter"),
        (Field::Element, &one.element, "electrician"),
        (Field::Defect, "paint splashes", "decorator"),
    ] {
        let change = Change::Edit {
            number: one.number,
            field,
            text: text.into(),
        };
        act(&mut session, &mut log, &change).unwrap();
        let now = session.items()[0].trade.as_deref();
        assert_eq!(now, Some(trade), "{field} {text}");
    }
}
