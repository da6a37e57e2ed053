//! One item made two, and two made one.

use super::super::{Change, Session, act, describe};
use super::{check, lexicon, line, start, words};
use crate::confirm::Around;
use crate::items::Severity;
use crate::job::samples::{item, rich};
use crate::time::Millis;
use std::sync::Arc;

#[test]
fn a_split_divides_the_words_and_makes_each_half_anew() {
    let heard = "Kitchen. The worktop is scratched and the plinth is loose.";
    let mut one = item(1, "kitchen", "worktop", "scratched");
    one.evidence.quote = heard.strip_prefix("Kitchen. ").unwrap().into();
    one.evidence.words = Some((1, 10));
    one.photos = vec!["worktop.jpg".into()];
    let around = Around {
        words: words(heard),
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let session = Session::new(vec![one], vec![], describe).with(Arc::new(around));
    let (mut session, mut log) = (session, vec![]);
    act(&mut session, &mut log, &Change::Split { number: 1, at: 4 }).unwrap();
    let shown: Vec<String> = session
        .items()
        .iter()
        .map(|item| {
            let evidence = &item.evidence;
            let span = evidence.span.unwrap();
            format!(
                "{} “{}” words {:?}, {} to {} ms, photos {:?}",
                line(item),
                evidence.quote,
                evidence.words.unwrap(),
                span.start.0,
                span.end.0,
                item.photos,
            )
        })
        .collect();
    insta::assert_snapshot!(shown.join("\n"), @r#"
    1. kitchen: worktop scratched, undecided “The worktop is scratched” words (1, 5), 500 to 2400 ms, photos ["worktop.jpg"]
    2. kitchen: plinth loose, undecided “and the plinth is loose.” words (5, 10), 2500 to 4900 ms, photos []
    "#);
    act(&mut session, &mut log, &Change::Undo).unwrap();
    assert_eq!(session.items().len(), 1);
}

#[test]
fn without_vocabulary_a_split_goes_by_the_terms_heard() {
    let (mut session, mut log) = (Session::new(vec![rich()], vec![], describe), vec![]);
    let told = act(&mut session, &mut log, &Change::Split { number: 1, at: 9 }).unwrap();
    assert_eq!(session.told(&told), "item 1 split: the rest is item 2 now");
    let [first, second] = session.items() else {
        panic!("two items");
    };
    assert_eq!(
        first.evidence.quote,
        "and the new will post left of the lounge"
    );
    assert!(first.measurements.is_empty() && second.measurements.len() == 1);
    // Shared out by the number of words: 9 of 22 in 6.1 s.
    assert_eq!(first.evidence.span.unwrap().end, Millis(46_000 + 2_495));
    assert_eq!(second.evidence.span.unwrap().start, Millis(46_000 + 2_495));
}

#[test]
fn splits_outside_the_words_are_refused() {
    let mut by_hand = item(5, "loft", "hatch", "loose");
    by_hand.evidence.quote.clear();
    let session = Session::new(
        vec![item(1, "hall", "door", "sticks"), by_hand],
        vec![],
        describe,
    );
    insta::assert_snapshot!(check(session, vec![
        Change::Split { number: 1, at: 0 },
        Change::Split { number: 1, at: 4 },
        Change::Split { number: 5, at: 1 },
        Change::Split { number: 7, at: 1 },
    ]), @r"
    no: item 1 cannot be split there: give 1 to 3, the words that stay
    no: item 1 cannot be split there: give 1 to 3, the words that stay
    no: item 5 cannot be split there: it was written by hand, nothing was heard
    no: there is no item 7: the numbers go from 1 to 5
    1. hall: door sticks, undecided
    5. loft: hatch loose, undecided
    ");
}

#[test]
fn a_merge_adds_up_and_keeps_the_other_as_rejected() {
    insta::assert_snapshot!(check(start(), vec![
        Change::Merge { number: 3, other: 3 },
        Change::Merge { number: 4, other: 3 },
        Change::Merge { number: 4, other: 3 },
        Change::Restore { number: 3 },
        Change::Undo,
        Change::Undo,
    ]), @r"
    no: item 3 cannot be merged with itself: give another item's number
    item 3 merged into item 4
    no: item 3 is rejected: restore it before changing it
    item 3 is undecided again
    undone: item 3 is undecided again
    undone: item 3 merged into item 4
    1. hallway: newel post out of plumb, undecided
    2. hallway: skirting gap at the mitre, undecided
    3. kitchen: worktop scratched, undecided
    4. kitchen: larder unit loose, undecided
    ");
    let (mut session, mut log) = (start(), vec![]);
    act(
        &mut session,
        &mut log,
        &Change::Merge {
            number: 2,
            other: 1,
        },
    )
    .unwrap();
    let merged = session.list().numbered(2).unwrap();
    assert_eq!(merged.remarks[0], "newel post: out of plumb");
    assert_eq!(
        (merged.count, merged.severity),
        (2, Severity::Safety),
        "the more urgent stands"
    );
    assert_eq!(merged.measurements, rich().measurements);
    assert_eq!(merged.caution, rich().caution, "a caution is never lost");
    assert_eq!(session.list().reasons[&rich().id], "merged into item 2");
    assert_eq!(
        session.items()[0].evidence,
        rich().evidence,
        "nor is what it rests on"
    );
}

#[test]
fn defects_of_the_same_element_are_named_together() {
    let items = vec![
        item(1, "hall", "door", "sticks"),
        item(2, "hall", "Door", "scratched"),
    ];
    let session = Session::new(items, vec![], describe);
    insta::assert_snapshot!(check(session, vec![Change::Merge { number: 1, other: 2 }]), @r"
    item 2 merged into item 1
    1. hall: door sticks, scratched, undecided
    2. hall: Door scratched, rejected
    ");
}
