//! The state machine by property: any sequence of changes against a simple model that keeps a
//! whole copy of the list per step.

use super::{Change, Move, Session, act, describe};
use crate::confirm::{Around, NewItem, ids_changed};
use crate::items::{Item, TermEvidence, Unplaced};
use crate::job::samples::item;
use crate::job::{Event, Field, replay};
use crate::speech::Word;
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How many items the list starts with.
const START: u32 = 6;

fn start() -> Vec<Item> {
    (1..=START)
        .map(|number| {
            let mut item = item(number, "hallway", "door", "sticks");
            // Misheard alike in all: a correction of one goes for the others.
            item.evidence.terms.push(TermEvidence {
                kind: "element".into(),
                name: "door".into(),
                heard: "daw".into(),
                how: "sounds like".into(),
                score: 0.6,
            });
            item.confidence = f64::from(number) / f64::from(START);
            item
        })
        .collect()
}

/// A session over the start, with words and a statement around it.
fn session_over(events: Vec<Event>) -> Session {
    let word = |text: &str| Word {
        text: text.into(),
        recording: 1,
        span: None,
        probability: 1.0,
        line_end: false,
        meant: None,
    };
    let unplaced = Unplaced {
        recording: 1,
        span: None,
        quote: "as for the rest".into(),
        why: "no defect named".into(),
    };
    let around = Around {
        words: "the door sticks as for the rest"
            .split(' ')
            .map(word)
            .collect(),
        unplaced: vec![unplaced],
        ..Around::default()
    };
    Session::new(start(), events, describe).with(Arc::new(around))
}

/// How many words the items rest on, all together.
fn heard(items: &[Item]) -> usize {
    let quotes = items.iter().map(|item| &item.evidence.quote);
    quotes.map(|quote| quote.split_whitespace().count()).sum()
}

fn a_change() -> impl Strategy<Value = Change> {
    // Numbers go beyond the list, so that refusals are met too.
    let number = 1..START + 4;
    let words = prop::sample::select(vec![
        "",
        "2",
        "loft",
        "watch",
        "left; right",
        " ümlaut  東 ",
    ]);
    let field = prop::sample::select(Field::ALL.to_vec());
    prop_oneof![
        3 => number.clone().prop_map(|number| Change::Accept { number }),
        1 => (0.0..1.2).prop_map(|confidence| Change::AcceptAbove { confidence }),
        2 => (number.clone(), words.clone())
            .prop_map(|(number, text)| Change::Reject { number, reason: text.into() }),
        1 => number.clone().prop_map(|number| Change::Restore { number }),
        4 => (number.clone(), field.clone(), words.clone())
            .prop_map(|(number, field, text)| Change::Edit { number, field, text: text.into() }),
        1 => (number.clone(), field, words.clone()).prop_map(|(number, field, text)| {
            Change::EditAndAccept { number, field, text: text.into() }
        }),
        2 => (number.clone(), 0..5usize).prop_map(|(number, at)| Change::Split { number, at }),
        2 => (number.clone(), number.clone())
            .prop_map(|(number, other)| Change::Merge { number, other }),
        1 => (prop::collection::vec(number.clone(), 0..3), words.clone())
            .prop_map(|(numbers, text)| Change::Move { numbers, place: text.into() }),
        1 => (number.clone(), prop::collection::vec(words.clone(), 0..3)).prop_map(
            |(number, places)| Change::Copy {
                number, places: places.into_iter().map(String::from).collect(),
            }),
        1 => (number.clone(), 0..START + 9).prop_map(|(number, to)| Change::Renumber { number, to }),
        1 => number.clone().prop_map(|number| Change::Along { number }),
        1 => number.clone().prop_map(|number| Change::Teach { number }),
        1 => Just(Change::RenumberAll),
        1 => (words.clone(), 0.0..1.2).prop_map(|(place, confidence)| Change::AcceptPlace {
            place: place.into(), confidence,
        }),
        1 => (0..3usize).prop_map(|statement| Change::Promote {
            statement, new: NewItem::default(),
        }),
        1 => (0..9usize, 0..9usize).prop_map(|(from, to)| Change::AddSaid {
            words: (from, to),
            new: NewItem { element: "door".into(), defect: "sticks".into(), ..NewItem::default() },
        }),
        1 => number.clone()
            .prop_map(|number| Change::AttachPhoto { number, photo: "a.jpg".into() }),
        1 => number.prop_map(|number| Change::DetachPhoto { number, photo: "a.jpg".into() }),
        1 => words.prop_map(|text| Change::Add { new: NewItem {
            place: text.into(), element: "door".into(), defect: "sticks".into(),
        } }),
        4 => Just(Change::Undo),
        2 => Just(Change::Redo),
    ]
}

fn a_move() -> impl Strategy<Value = Move> {
    prop::sample::select(vec![
        Move::Next,
        Move::Previous,
        Move::Undecided,
        Move::First,
        Move::Last,
        Move::Number(2),
    ])
}

proptest! {
    #[test]
    fn any_sequence_agrees_with_a_model_of_whole_copies(
        steps in prop::collection::vec((a_change(), prop::option::of(a_move())), 1..60),
    ) {
        let mut session = session_over(vec![]);
        let mut log: Vec<Event> = vec![];
        let (mut past, mut future): (Vec<Vec<Item>>, Vec<Vec<Item>>) = (vec![], vec![]);
        for (change, to) in steps {
            if let Some(to) = to {
                let before = session.items().to_vec();
                let _ = session.go(to);
                prop_assert_eq!(session.items(), &*before, "moving decides nothing");
            }
            let before = session.items().to_vec();
            let highest = session.list().highest;
            let logged = log.len();
            let done = act(&mut session, &mut log, &change).is_ok();
            let now = session.items().to_vec();
            match (&change, done) {
                (_, false) => {
                    prop_assert_eq!(&now, &before, "a refusal changes nothing");
                    prop_assert_eq!(log.len(), logged, "a refusal keeps nothing");
                    let model_agrees = match change {
                        Change::Undo => past.is_empty(),
                        Change::Redo => future.is_empty(),
                        _ => true,
                    };
                    prop_assert!(model_agrees);
                }
                (Change::Undo, true) => {
                    prop_assert_eq!(&now, &past.pop().unwrap(), "undo after do is as before");
                    future.push(before.clone());
                }
                (Change::Redo, true) => {
                    prop_assert_eq!(&now, &future.pop().unwrap(), "redo is as it was");
                    past.push(before.clone());
                }
                (change, true) => {
                    prop_assert_ne!(&now, &before, "a decision shows");
                    if matches!(change, Change::Add { .. }) {
                        let number = now.last().unwrap().number;
                        prop_assert_eq!(number, highest + 1, "numbers are never given twice");
                    }
                    past.push(before.clone());
                    future.clear();
                }
            }

            let numbers: BTreeSet<u32> = now.iter().map(|item| item.number).collect();
            let ids: BTreeSet<&str> = now.iter().map(|item| &*item.id).collect();
            prop_assert_eq!(numbers.len(), now.len(), "numbers are unique");
            prop_assert_eq!(ids.len(), now.len(), "ids are unique");
            prop_assert!(start().iter().all(|item| ids.contains(&*item.id)), "none is lost");
            prop_assert!(heard(&now) >= heard(&start()), "no word heard is lost");
            prop_assert!(now.iter().all(|item| item.number <= session.list().highest));
            prop_assert!(session.current().is_some());
            prop_assert_eq!(&session.list().problems, &Vec::<String>::new());
            let Some(ids) = ids_changed(&log[logged..]) else {
                continue;
            };
            for item in now.iter().filter(|item| !before.contains(item)) {
                prop_assert!(ids.contains(&item.id), "who watches is told of every item changed");
            }
        }
        // What a job keeps is JSON text: a session read back from it is the same.
        let text = serde_json::to_string(&log).unwrap();
        let kept: Vec<Event> = serde_json::from_str(&text).unwrap();
        let replayed = replay(&start(), &kept);
        prop_assert_eq!(&replayed, session.list(), "replay is live");
        for end in 0..kept.len() {
            let part = replay(&start(), &kept[..end]);
            prop_assert_eq!(part.problems, Vec::<String>::new(), "every prefix fits too");
        }
        let reopened = session_over(kept);
        prop_assert_eq!(reopened.items(), session.items());
    }

    #[test]
    fn no_log_however_garbled_breaks_the_replay(
        changes in prop::collection::vec(a_change(), 1..40),
        kept in prop::collection::vec(any::<prop::sample::Index>(), 0..40),
    ) {
        let mut session = session_over(vec![]);
        let mut log: Vec<Event> = vec![];
        for change in changes {
            let _ = act(&mut session, &mut log, &change);
        }
        if log.is_empty() {
            return Ok(());
        }
        // Some of the events, in any order, some twice.
        let garbled: Vec<Event> = kept.iter().map(|index| index.get(&log).clone()).collect();
        let list = replay(&start(), &garbled);
        let numbers: BTreeSet<u32> = list.items.iter().map(|item| item.number).collect();
        let ids: BTreeSet<&str> = list.items.iter().map(|item| &*item.id).collect();
        prop_assert_eq!(numbers.len(), list.items.len(), "numbers are unique");
        prop_assert!(start().iter().all(|item| ids.contains(&*item.id)), "none is lost");
    }
}
