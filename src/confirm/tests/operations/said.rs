//! Items made of what was said.

use super::super::{Change, Session, act, describe};
use super::{check, lexicon, words};
use crate::confirm::{Around, NewItem};
use crate::items::{Status, Unplaced};
use crate::job::Field;
use crate::job::samples::item;
use crate::time::{Millis, Span};
use std::sync::Arc;

/// A walk of which one sentence made no item.
fn with_statement() -> Session {
    let heard = "Kitchen. The worktop is scratched. The plinth wants another look as it is loose.";
    let around = Around {
        words: words(heard),
        unplaced: vec![Unplaced {
            recording: 1,
            span: Some(Span::new(Millis(2_500), Millis(6_900))),
            quote: "The plinth wants another look as it is loose.".into(),
            why: "no defect named".into(),
        }],
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let mut one = item(1, "kitchen", "worktop", "scratched");
    one.evidence.words = Some((1, 5));
    Session::new(vec![one], vec![], describe).with(Arc::new(around))
}

#[test]
fn a_statement_is_made_an_item_once() {
    let promote = |statement, element: &str, defect: &str| Change::Promote {
        statement,
        new: NewItem {
            place: "kitchen".into(),
            element: element.into(),
            defect: defect.into(),
        },
    };
    insta::assert_snapshot!(check(with_statement(), vec![
        promote(1, "plinth", "loose"),
        promote(0, "plinth", "loose"),
        promote(0, "plinth", "loose"),
        Change::Undo,
        promote(0, "", ""),
    ]), @r"
    no: there is no statement 2: 1 made no item
    item 2 added and confirmed
    no: that statement is an item already
    undone: item 2 added and confirmed
    item 3 added: look at it
    1. kitchen: worktop scratched, undecided
    3. kitchen: plinth loose, undecided
    ");
    let (mut session, mut log) = (with_statement(), vec![]);
    assert_eq!(session.unplaced().count(), 1);
    act(&mut session, &mut log, &promote(0, "plinth", "loose")).unwrap();
    assert_eq!(session.unplaced().count(), 0);
    let evidence = &session.current().unwrap().evidence;
    assert_eq!(evidence.words, Some((5, 14)));
    assert_eq!(evidence.span, Some(Span::new(Millis(2_500), Millis(6_900))));
}

#[test]
fn words_heard_are_made_an_item() {
    let said = |words| Change::AddSaid {
        words,
        new: NewItem::default(),
    };
    insta::assert_snapshot!(check(with_statement(), vec![said((9, 9)), said((20, 30)), said((5, 14))]), @r"
    no: there are no such words in what was heard
    no: there are no such words in what was heard
    item 2 added: look at it
    1. kitchen: worktop scratched, undecided
    2. kitchen: plinth loose, undecided
    ");
}

#[test]
fn a_figure_in_the_words_comes_with_the_item_and_is_looked_at() {
    let heard = "Kitchen. The plinth wants another look, it is six mil out.";
    let around = Around {
        words: words(heard),
        unplaced: vec![Unplaced {
            recording: 1,
            span: None,
            quote: "The plinth wants another look, it is six mil out.".into(),
            why: "no defect named".into(),
        }],
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let one = item(1, "kitchen", "worktop", "scratched");
    let mut session = Session::new(vec![one], vec![], describe).with(Arc::new(around));
    let promote = Change::Promote {
        statement: 0,
        new: NewItem {
            place: "kitchen".into(),
            element: "plinth".into(),
            defect: "out of line".into(),
        },
    };
    act(&mut session, &mut vec![], &promote).unwrap();
    let item = session.current().unwrap();
    assert_eq!(Field::Measurement.read(item), "6 mm");
    assert_eq!(item.status, Status::Proposed);
}

#[test]
fn figures_heard_near_an_item_are_offered_for_it() {
    let around = Around {
        words: words(
            "Kitchen. Two doors are scratched. The worktop is twelve mil out over two metres.",
        ),
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let mut one = item(1, "kitchen", "worktop", "out of level");
    one.evidence.words = Some((5, 13));
    let session = Session::new(vec![one], vec![], describe).with(Arc::new(around));
    let item = session.current().unwrap();
    for (field, offered) in [
        (Field::Measurement, ["12 mm over 2 m"]),
        (Field::Count, ["2"]),
    ] {
        assert_eq!(session.complete(field, "", item), offered, "{field}");
    }
    let mut measured = item.clone();
    Field::Measurement.write(&mut measured, "3 mm").unwrap();
    assert_eq!(
        session.complete(Field::Measurement, "", &measured),
        ["3 mm; 12 mm over 2 m", "12 mm over 2 m"]
    );
}
