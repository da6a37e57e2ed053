//! Items made of what was said.

use super::super::{Change, Session, act, describe};
use super::{check, lexicon, words};
use crate::confirm::{Around, NewItem};
use crate::items::Unplaced;
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
