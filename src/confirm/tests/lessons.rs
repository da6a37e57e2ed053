//! Corrections that go for other items too, and the lessons that they offer: what was said and what is
//! done in, what the inspector is told out.

use super::act;
use crate::confirm::{Around, Change, Session};
use crate::items::{describe, propose};
use crate::job::{Event, Field, replay};
use crate::lexicon::Lexicon;
use crate::speech::formats::{Format, Source, read};
use std::sync::Arc;

/// A pass over what the built-in vocabulary makes of the text.
fn over(text: &str) -> Session {
    let lexicon = Lexicon::embedded().expect("the embedded lexicon has no errors");
    let source = Source {
        file: "walk.txt",
        sha256: &"0".repeat(64),
        recording: 1,
    };
    let transcript = read(source, Format::Text, text.as_bytes()).unwrap();
    let proposal = propose(lexicon, &transcript);
    let around = Around {
        words: transcript.words,
        lexicon: Some(Arc::new(lexicon.clone())),
        ..Around::default()
    };
    Session::new(proposal.items, vec![], describe).with(Arc::new(around))
}

fn edit(number: u32, field: Field, text: &str) -> Change {
    let text = text.into();
    Change::Edit {
        number,
        field,
        text,
    }
}

/// What is told of each change, and what is offered after it; then the list.
fn check(text: &str, changes: &[Change]) -> String {
    let mut session = over(text);
    let mut log: Vec<Event> = Vec::new();
    let mut lines = Vec::new();
    for change in changes {
        let told = act(&mut session, &mut log, change).map(|events| session.told(&events));
        lines.push(told.unwrap_or_else(|refusal| format!("no: {refusal}")));
        lines.extend(
            session
                .offer()
                .map(|offer| format!("  offered: {}", offer.words)),
        );
    }
    for item in session.items() {
        let like = session.list().corrected_like(item, Field::Element);
        let like = like.map(|number| format!(", like {number}"));
        let (number, element, status) = (item.number, &item.element, item.status);
        let like = like.unwrap_or_default();
        lines.push(format!(
            "{number} {element} {} {status:?}{like}",
            item.defect
        ));
    }
    assert_eq!(session.list().problems, [""; 0]);
    lines.join("\n")
}

const STRANGE: &str = "Hallway. The blenkit is cracked. Kitchen. The blenkit is loose.\n\
                       Bathroom. The blenkit is scratched. The tap is loose.";

#[test]
fn a_strange_word_is_put_right_wherever_it_was_heard_in_one_step() {
    insta::assert_snapshot!(check(STRANGE, &[
        Change::Accept { number: 1 },
        Change::Restore { number: 1 },
        edit(1, Field::Element, "plinth"),
        Change::Undo,
        Change::Redo,
        edit(3, Field::Element, "kickboard"),
    ]), @r#"
    item 1 confirmed
    item 1 is undecided again
    item 1: the element is now plinth; likewise in items 2 and 3
      offered: "blenkit" is another word for the element plinth
    undone: item 1: the element is now plinth; likewise in items 2 and 3
    redone: item 1: the element is now plinth; likewise in items 2 and 3
    item 3: the element is now kickboard
    1 plinth cracked Proposed
    2 plinth loose Proposed, like 1
    3 kickboard scratched Proposed
    4 tap loose Proposed
    "#);
}

#[test]
fn what_is_decided_or_was_set_by_hand_stays() {
    insta::assert_snapshot!(check(STRANGE, &[
        edit(2, Field::Element, "worktop"),
        Change::Undo,
        Change::Reject { number: 2, reason: String::new() },
        edit(3, Field::Element, "worktop"),
        edit(1, Field::Element, "plinth"),
    ]), @r#"
    item 2: the element is now worktop; likewise in items 1 and 3
      offered: "blenkit" is another word for the element worktop
    undone: item 2: the element is now worktop; likewise in items 1 and 3
    item 2 rejected
    item 3: the element is now worktop; likewise in item 1
      offered: "blenkit" is another word for the element worktop
    item 1: the element is now plinth
    1 plinth cracked Proposed
    2 blenkit loose Rejected
    3 worktop scratched Proposed
    4 tap loose Proposed
    "#);
    // Confirmed as it was heard: then the word is not plainly wrong.
    insta::assert_snapshot!(check(STRANGE, &[
        Change::Accept { number: 2 },
        edit(1, Field::Element, "plinth"),
    ]), @"
    item 2 confirmed
    item 1: the element is now plinth
    1 plinth cracked Proposed
    2 blenkit loose Confirmed
    3 blenkit scratched Proposed
    4 tap loose Proposed
    ");
}

#[test]
fn what_was_clearly_heard_goes_for_others_on_the_second_correction() {
    let text =
        "Hallway. The door is loose. Kitchen. The door is cracked. Loft. The door is scratched.";
    insta::assert_snapshot!(check(text, &[
        edit(1, Field::Element, "door handle"),
        edit(2, Field::Element, "door handle"),
    ]), @"
    item 1: the element is now door handle
    item 2: the element is now door handle; likewise in item 3
    1 door handle loose Proposed
    2 door handle cracked Proposed
    3 door handle scratched Proposed, like 2
    ");
}

#[test]
fn a_trade_chosen_twice_goes_for_the_rest() {
    let mut session =
        over("Hallway. The door is loose. Kitchen. The door is loose. Loft. The door is loose.");
    let mut log = Vec::new();
    for number in [1, 2] {
        act(
            &mut session,
            &mut log,
            &edit(number, Field::Trade, "glazier"),
        )
        .unwrap();
    }
    let trades: Vec<_> = session
        .items()
        .iter()
        .map(|item| item.trade.clone())
        .collect();
    assert_eq!(trades, vec![Some("glazier".to_owned()); 3]);
}

#[test]
fn a_lesson_is_kept_once_and_undone_like_any_step() {
    let mut session = over(STRANGE);
    let mut log = Vec::new();
    act(&mut session, &mut log, &edit(1, Field::Element, "plinth")).unwrap();
    act(&mut session, &mut log, &Change::Teach { number: 1 }).unwrap();
    let taught: Vec<&String> = session.list().taught.keys().collect();
    insta::assert_snapshot!(taught[0], @r#"
    [[element]]
    name = "plinth"
    also = ["blenkit"]
    learnt = "wanted"
    "#);
    assert_eq!(session.offer(), None);
    assert!(act(&mut session, &mut log, &Change::Teach { number: 1 }).is_err());
    let whole = replay(over(STRANGE).items(), &log);
    assert_eq!(whole.taught, session.list().taught);
    act(&mut session, &mut log, &Change::Undo).unwrap();
    assert!(session.list().taught.is_empty());
}

#[test]
fn what_teaches_nothing_is_refused() {
    insta::assert_snapshot!(check("Hallway. The door is loose.", &[
        Change::Teach { number: 1 },
        edit(1, Field::Remark, "by the stairs"),
        Change::Teach { number: 1 },
    ]), @"
    no: nothing plain to learn from item 1: correct what was heard as something else first
    item 1: the remark is now by the stairs
    no: nothing plain to learn from item 1: correct what was heard as something else first
    1 door loose Proposed
    ");
}
