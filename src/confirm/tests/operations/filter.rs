//! Which items are shown, and moving among them.

use super::super::{Change, Move, Session, act, describe};
use crate::confirm::{Filter, found};
use crate::items::{Severity, Status};
use crate::job::samples::walk;

#[test]
fn filters_show_some_items_and_moving_keeps_to_them() {
    let mut items = walk();
    items[0].limits[0].verdict = "outside".into();
    items[1].photos = vec!["a.jpg".into()];
    items[2].trade = Some("joiner".into());
    let numbers = |filter: &Filter| -> Vec<u32> {
        filter
            .apply(&items)
            .into_iter()
            .map(|place| items[place].number)
            .collect()
    };
    let all = Filter::default;
    for (filter, shown) in [
        (all(), vec![1, 2, 3, 4]),
        (
            Filter {
                place: Some("kitchen".into()),
                ..all()
            },
            vec![3, 4],
        ),
        (
            Filter {
                trade: Some("joiner".into()),
                ..all()
            },
            vec![1, 3],
        ),
        (
            Filter {
                trade: Some(String::new()),
                ..all()
            },
            vec![2, 4],
        ),
        (
            Filter {
                severity: Some(Severity::Safety),
                ..all()
            },
            vec![1],
        ),
        (
            Filter {
                outside: true,
                ..all()
            },
            vec![1],
        ),
        (
            Filter {
                no_photo: true,
                ..all()
            },
            vec![1, 3, 4],
        ),
        (
            Filter {
                unsure_first: true,
                ..all()
            },
            vec![4, 1, 2, 3],
        ),
        (
            Filter {
                search: "LOUNGE newel".into(),
                ..all()
            },
            vec![1],
        ),
        (
            Filter {
                status: Some(Status::Confirmed),
                ..all()
            },
            vec![],
        ),
    ] {
        assert_eq!(numbers(&filter), shown, "{}", filter.words());
    }
    assert!(found("", &items[0]) && found(" 1 ", &items[0]) && !found("xyz", &items[0]));

    let (mut session, mut log) = (Session::new(items.clone(), vec![], describe), vec![]);
    session
        .show(Filter {
            place: Some("kitchen".into()),
            ..all()
        })
        .unwrap();
    assert_eq!(session.current().unwrap().number, 3, "the first one shown");
    act(&mut session, &mut log, &Change::Accept { number: 3 }).unwrap();
    assert_eq!(session.current().unwrap().number, 4);
    act(&mut session, &mut log, &Change::Accept { number: 4 }).unwrap();
    let refused = session.go(Move::Undecided).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "every item shown is decided: show all to see the others"
    );
    assert!(
        session
            .show(Filter {
                search: "xyz".into(),
                ..all()
            })
            .is_err()
    );
    assert_eq!(session.shown().len(), 2, "what was shown stays");
}
