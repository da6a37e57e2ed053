//! The state machine by example: a script in, what the inspector is told out.

use super::{Change, Move, Session, act, describe};
use crate::confirm::NewItem;
use crate::items::Item;
use crate::job::samples::{item, rich, three};
use crate::job::{Event, Field};

/// One step of a script.
enum Step {
    Do(Change),
    Go(Move),
}
use Step::{Do, Go};

fn accept(number: u32) -> Step {
    Do(Change::Accept { number })
}

fn reject(number: u32, reason: &str) -> Step {
    Do(Change::Reject {
        number,
        reason: reason.into(),
    })
}

fn edit(number: u32, field: Field, text: &str) -> Step {
    Do(Change::Edit {
        number,
        field,
        text: text.into(),
    })
}

fn start() -> (Session, Vec<Event>) {
    (Session::new(three(), vec![], describe), vec![])
}

/// Runs a script; each step gives one line: what was told, then the item shown and the progress.
fn run(session: &mut Session, log: &mut Vec<Event>, steps: Vec<Step>) -> String {
    let mut lines = Vec::new();
    for step in steps {
        let told = match step {
            Do(change) => act(session, log, &change).map(|events| session.told(&events)),
            Go(to) => session.go(to).map(|()| "moved".to_string()),
        };
        let told = told.unwrap_or_else(|refusal| format!("no: {refusal}"));
        let at = session.current().map_or(0, |item| item.number);
        lines.push(format!("{told} | at {at} | {}", session.progress()));
    }
    lines.join("\n")
}

fn check(steps: Vec<Step>) -> String {
    let (mut session, mut log) = start();
    run(&mut session, &mut log, steps)
}

#[test]
fn deciding_moves_to_the_next_undecided_item() {
    insta::assert_snapshot!(check(vec![
        accept(1),
        reject(2, "  said   twice "),
        Go(Move::First),
        accept(1),
        accept(3),
        Go(Move::Undecided),
    ]), @r"
    item 1 confirmed | at 2 | 1 of 3 confirmed, 2 to go
    item 2 rejected: said twice | at 3 | 1 of 3 confirmed, 1 rejected, 1 to go
    moved | at 1 | 1 of 3 confirmed, 1 rejected, 1 to go
    no: item 1 is confirmed already | at 1 | 1 of 3 confirmed, 1 rejected, 1 to go
    item 3 confirmed | at 1 | 2 of 3 confirmed, 1 rejected, 0 to go
    no: every item is decided | at 1 | 2 of 3 confirmed, 1 rejected, 0 to go
    ");
}

#[test]
fn moving_goes_by_step_by_number_and_round_the_undecided() {
    insta::assert_snapshot!(check(vec![
        Go(Move::Previous),
        Go(Move::Last),
        Go(Move::Next),
        Go(Move::Undecided),
        Go(Move::Number(2)),
        Go(Move::Number(7)),
    ]), @r"
    no: this is the first item | at 1 | 0 of 3 confirmed, 3 to go
    moved | at 3 | 0 of 3 confirmed, 3 to go
    no: this is the last item | at 3 | 0 of 3 confirmed, 3 to go
    moved | at 1 | 0 of 3 confirmed, 3 to go
    moved | at 2 | 0 of 3 confirmed, 3 to go
    no: there is no item 7: the numbers go from 1 to 3 | at 2 | 0 of 3 confirmed, 3 to go
    ");
}

#[test]
fn a_mind_may_be_changed_in_every_direction() {
    insta::assert_snapshot!(check(vec![
        reject(1, ""),
        edit(1, Field::Place, "loft"),
        Do(Change::Restore { number: 1 }),
        Do(Change::Restore { number: 1 }),
        accept(1),
        reject(1, "no"),
        accept(1),
    ]), @r"
    item 1 rejected | at 2 | 0 of 3 confirmed, 1 rejected, 2 to go
    no: item 1 is rejected: restore it before changing it | at 2 | 0 of 3 confirmed, 1 rejected, 2 to go
    item 1 is undecided again | at 1 | 0 of 3 confirmed, 3 to go
    no: item 1 is undecided: there is nothing to restore | at 1 | 0 of 3 confirmed, 3 to go
    item 1 confirmed | at 2 | 1 of 3 confirmed, 2 to go
    item 1 rejected: no | at 2 | 0 of 3 confirmed, 1 rejected, 2 to go
    item 1 confirmed | at 2 | 1 of 3 confirmed, 2 to go
    ");
}

#[test]
fn undo_and_redo_go_step_by_step_and_show_the_item() {
    insta::assert_snapshot!(check(vec![
        Do(Change::Undo),
        accept(1),
        edit(2, Field::Trade, "joiner"),
        Do(Change::Undo),
        Do(Change::Undo),
        Do(Change::Redo),
        Do(Change::Redo),
        Do(Change::Redo),
        Do(Change::Undo),
        reject(3, ""),
        Do(Change::Redo),
    ]), @r"
    no: there is nothing to undo | at 1 | 0 of 3 confirmed, 3 to go
    item 1 confirmed | at 2 | 1 of 3 confirmed, 2 to go
    item 2: the trade is now joiner | at 2 | 1 of 3 confirmed, 2 to go
    undone: item 2: the trade is now joiner | at 2 | 1 of 3 confirmed, 2 to go
    undone: item 1 confirmed | at 1 | 0 of 3 confirmed, 3 to go
    redone: item 1 confirmed | at 1 | 1 of 3 confirmed, 2 to go
    redone: item 2: the trade is now joiner | at 2 | 1 of 3 confirmed, 2 to go
    no: there is nothing to redo | at 2 | 1 of 3 confirmed, 2 to go
    undone: item 2: the trade is now joiner | at 2 | 1 of 3 confirmed, 2 to go
    item 3 rejected | at 2 | 1 of 3 confirmed, 1 rejected, 1 to go
    no: there is nothing to redo | at 2 | 1 of 3 confirmed, 1 rejected, 1 to go
    ");
}

#[test]
fn the_sentence_follows_the_facts_until_the_inspector_writes_it() {
    let (mut session, mut log) = start();
    let steps: [(Field, &str, &str); 6] = [
        (Field::Trade, "joiner", "newel post out of plumb"),
        (
            Field::Element,
            "balustrade",
            "<balustrade out of plumb in hallway, 1>",
        ),
        (Field::Count, "2", "<balustrade out of plumb in hallway, 2>"),
        (Field::Description, "Both lean.", "Both lean."),
        (Field::Defect, "leaning", "Both lean."),
        (Field::Place, "landing", "Both lean."),
    ];
    for (field, text, description) in steps {
        let change = Change::Edit {
            number: 1,
            field,
            text: text.into(),
        };
        act(&mut session, &mut log, &change).unwrap();
        assert_eq!(session.items()[0].description, description, "after {field}");
    }
    for _ in 0..3 {
        act(&mut session, &mut log, &Change::Undo).unwrap();
    }
    assert_eq!(
        session.items()[0].description,
        "<balustrade out of plumb in hallway, 2>"
    );
    let change = Change::Edit {
        number: 1,
        field: Field::Place,
        text: "loft".into(),
    };
    act(&mut session, &mut log, &change).unwrap();
    assert_eq!(
        session.items()[0].description,
        "<balustrade out of plumb in loft, 2>"
    );
}

#[test]
fn the_proposed_sentence_stays_where_the_edited_fact_has_no_part_in_it() {
    /// Knows of element and defect only.
    fn short(item: &Item) -> String {
        format!("<{} {}>", item.element, item.defect)
    }
    for (field, text, description) in [
        (Field::Place, "landing", "newel post out of plumb"),
        (Field::Count, "3", "newel post out of plumb"),
        (Field::Severity, "w", "newel post out of plumb"),
        (Field::Defect, "loose", "<newel post loose>"),
        // The sentence may name the old figure, so it never outlives it.
        (Field::Measurement, "9 mm", "<newel post out of plumb>"),
    ] {
        let mut session = Session::new(three(), vec![], short);
        let change = Change::Edit {
            number: 1,
            field,
            text: text.into(),
        };
        act(&mut session, &mut vec![], &change).unwrap();
        assert_eq!(session.items()[0].description, description, "after {field}");
    }
}

#[test]
fn limits_of_other_facts_are_dropped() {
    for (field, text, left) in [
        (Field::Measurement, "9 mm", 0),
        (Field::Element, "door", 0),
        (Field::Place, "loft", 1),
    ] {
        let mut session = Session::new(vec![rich()], vec![], describe);
        let change = Change::Edit {
            number: 1,
            field,
            text: text.into(),
        };
        act(&mut session, &mut vec![], &change).unwrap();
        assert_eq!(session.items()[0].limits.len(), left, "after {field}");
    }
}

#[test]
fn fields_take_what_fits_and_say_what_they_expect() {
    insta::assert_snapshot!(check(vec![
        edit(1, Field::Place, "  living\troom\u{1b}[2J "),
        edit(1, Field::Place, " "),
        edit(1, Field::Position, ""),
        edit(1, Field::Position, "left of the door"),
        edit(1, Field::Position, ""),
        edit(1, Field::Count, "none"),
        edit(1, Field::Count, "0"),
        edit(1, Field::Severity, "SAFETY"),
        edit(1, Field::Severity, "awful"),
        edit(1, Field::Remark, "pinned; not glued;;"),
        edit(1, Field::Description, &"x".repeat(5000)),
    ]), @r"
    item 1: the place is now living room [2J | at 1 | 0 of 3 confirmed, 3 to go
    no: the place cannot be empty: give it, or leave the field as it is | at 1 | 0 of 3 confirmed, 3 to go
    no: item 1: the position is that already | at 1 | 0 of 3 confirmed, 3 to go
    item 1: the position is now left of the door | at 1 | 0 of 3 confirmed, 3 to go
    item 1: no position now | at 1 | 0 of 3 confirmed, 3 to go
    no: the count `none` is not a whole number from 1 to 9999: give digits, such as 3 | at 1 | 0 of 3 confirmed, 3 to go
    no: the count `0` is not a whole number from 1 to 9999: give digits, such as 3 | at 1 | 0 of 3 confirmed, 3 to go
    item 1: the severity is now safety | at 1 | 0 of 3 confirmed, 3 to go
    no: the severity `awful` is unknown: give safety, repair, finish, clean or watch | at 1 | 0 of 3 confirmed, 3 to go
    item 1: the remark is now pinned; not glued | at 1 | 0 of 3 confirmed, 3 to go
    no: the description has 5000 characters: give at most 4000 | at 1 | 0 of 3 confirmed, 3 to go
    ");
}

#[test]
fn all_above_a_confidence_is_one_event_and_one_step_to_undo() {
    let mut items = three();
    items[1].confidence = 0.5;
    let mut session = Session::new(items, vec![], describe);
    let mut log = vec![];
    let above = |confidence| Do(Change::AcceptAbove { confidence });
    insta::assert_snapshot!(run(&mut session, &mut log, vec![
        above(0.95),
        above(95.0),
        above(0.9),
        above(0.9),
        Do(Change::Undo),
        Do(Change::Redo),
    ]), @r"
    no: no undecided item has a confidence of 0.95 or more | at 1 | 0 of 3 confirmed, 3 to go
    no: 95 is not a confidence: give a number from 0 to 1, such as 0.95 | at 1 | 0 of 3 confirmed, 3 to go
    2 items confirmed with a confidence of 0.9 or more | at 2 | 2 of 3 confirmed, 1 to go
    no: no undecided item has a confidence of 0.9 or more | at 2 | 2 of 3 confirmed, 1 to go
    undone: 2 items confirmed with a confidence of 0.9 or more | at 1 | 0 of 3 confirmed, 3 to go
    redone: 2 items confirmed with a confidence of 0.9 or more | at 1 | 2 of 3 confirmed, 1 to go
    ");
    assert_eq!(log.len(), 3);
}

#[test]
fn an_item_added_by_hand_continues_the_numbers_even_after_undo() {
    let new = |defect: &str| {
        let (place, element) = ("loft".into(), "hatch".into());
        Do(Change::Add {
            new: NewItem {
                place,
                element,
                defect: defect.into(),
            },
        })
    };
    let (mut session, mut log) = start();
    let steps = vec![new("loose"), Do(Change::Undo), new("bent"), new("")];
    insta::assert_snapshot!(run(&mut session, &mut log, steps), @r"
    item 4 added and confirmed | at 4 | 1 of 4 confirmed, 3 to go
    undone: item 4 added and confirmed | at 3 | 0 of 3 confirmed, 3 to go
    item 5 added and confirmed | at 5 | 1 of 4 confirmed, 3 to go
    no: the defect cannot be empty: give it, or leave the field as it is | at 5 | 1 of 4 confirmed, 3 to go
    ");
    let added = session.current().unwrap();
    assert_eq!(added.description, "<hatch bent in loft, 1>");
    assert_eq!((added.id.len(), added.confidence), (16, 1.0));
}

#[test]
fn reopening_shows_the_first_undecided_item() {
    let (mut session, mut log) = start();
    run(
        &mut session,
        &mut log,
        vec![accept(1), Go(Move::Last), reject(3, "")],
    );
    let reopened = Session::new(three(), log, describe);
    assert_eq!(reopened.current().unwrap().number, 2);
    assert_eq!(reopened.list(), session.list());
}

#[test]
fn an_empty_list_refuses_everything_but_adding() {
    let mut session = Session::new(Vec::<Item>::new(), vec![], describe);
    let mut log = vec![];
    insta::assert_snapshot!(run(&mut session, &mut log, vec![
        accept(1),
        Go(Move::Next),
        Do(Change::AcceptAbove { confidence: 0.0 }),
        Do(Change::Add { new: NewItem { place: "loft".into(), element: "hatch".into(), defect: "loose".into() } }),
    ]), @r"
    no: the list has no items | at 0 | 0 of 0 confirmed, 0 to go
    no: the list has no items | at 0 | 0 of 0 confirmed, 0 to go
    no: no undecided item has a confidence of 0 or more | at 0 | 0 of 0 confirmed, 0 to go
    item 1 added and confirmed | at 1 | 1 of 1 confirmed, 0 to go
    ");
}

#[test]
fn a_log_that_does_not_fit_is_reported_and_loses_no_item() {
    let mut log = vec![];
    let mut session = Session::new(vec![item(7, "a", "b", "c")], vec![], describe);
    run(&mut session, &mut log, vec![accept(7), Do(Change::Undo)]);
    log.push(log[1].clone());
    let session = Session::new(three(), log, describe);
    assert_eq!(session.items(), three());
    assert_eq!(session.list().problems, ["decision 2 undoes nothing"]);
}
