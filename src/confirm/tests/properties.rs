//! The state machine by property: any sequence of changes against a simple model that keeps a
//! whole copy of the list per step.

use super::{Change, Move, Session, act, describe};
use crate::confirm::NewItem;
use crate::items::Item;
use crate::job::samples::item;
use crate::job::{Event, Field, replay};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// How many items the list starts with.
const START: u32 = 6;

fn start() -> Vec<Item> {
    (1..=START)
        .map(|number| {
            let mut item = item(number, "hallway", "door", "sticks");
            item.confidence = f64::from(number) / f64::from(START);
            item
        })
        .collect()
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
        4 => (number, field, words.clone())
            .prop_map(|(number, field, text)| Change::Edit { number, field, text: text.into() }),
        1 => words.prop_map(|text| Change::Add(NewItem {
            place: text.into(), element: "door".into(), defect: "sticks".into(),
        })),
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
        let mut session = Session::new(start(), vec![], describe);
        let mut log: Vec<Event> = vec![];
        let (mut past, mut future): (Vec<Vec<Item>>, Vec<Vec<Item>>) = (vec![], vec![]);
        let mut numbers_given: BTreeSet<u32> = (1..=START).collect();
        for (change, to) in steps {
            if let Some(to) = to {
                let before = session.items().to_vec();
                let _ = session.go(to);
                prop_assert_eq!(session.items(), &*before, "moving decides nothing");
            }
            let before = session.items().to_vec();
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
                    future.push(before);
                }
                (Change::Redo, true) => {
                    prop_assert_eq!(&now, &future.pop().unwrap(), "redo is as it was");
                    past.push(before);
                }
                (change, true) => {
                    prop_assert_ne!(&now, &before, "a decision shows");
                    if matches!(change, Change::Add(_)) {
                        let number = now.last().unwrap().number;
                        prop_assert!(numbers_given.insert(number), "{} was given before", number);
                    }
                    past.push(before);
                    future.clear();
                }
            }

            let numbers: BTreeSet<u32> = now.iter().map(|item| item.number).collect();
            let ids: BTreeSet<&str> = now.iter().map(|item| &*item.id).collect();
            prop_assert_eq!(numbers.len(), now.len(), "numbers are unique");
            prop_assert_eq!(ids.len(), now.len(), "ids are unique");
            prop_assert!((1..=START).all(|number| numbers.contains(&number)), "none is lost");
            let evidence = |items: &[Item]| -> Vec<_> {
                items.iter().take(START as usize).map(|item| item.evidence.clone()).collect()
            };
            prop_assert_eq!(evidence(&now), evidence(&start()), "evidence is never touched");
            prop_assert!(session.current().is_some());
            prop_assert_eq!(&session.list().problems, &Vec::<String>::new());
        }
        // What a job keeps is JSON text: a session read back from it is the same.
        let text = serde_json::to_string(&log).unwrap();
        let kept: Vec<Event> = serde_json::from_str(&text).unwrap();
        let replayed = replay(&start(), &kept);
        prop_assert_eq!(&replayed, session.list(), "replay is live");
        let reopened = Session::new(start(), kept, describe);
        prop_assert_eq!(reopened.items(), session.items());
    }
}
