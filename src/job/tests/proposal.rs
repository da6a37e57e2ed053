//! Taking again: decisions survive, numbers stay.

use crate::items::{Item, Status};
use crate::job::samples::{item, proposal, three};
use crate::job::{Decision, Field, Job, JobError};

fn id(number: u32) -> String {
    format!("{number:016x}")
}

/// `number:id element status`, one item a line.
fn lines(items: &[Item]) -> String {
    let line = |i: &Item| {
        format!(
            "{} {} {} {:?}",
            i.number,
            i.id.trim_start_matches('0'),
            i.element,
            i.status
        )
    };
    items.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// A job of three items with `decisions` made.
fn decided(decisions: &[Decision]) -> (tempfile::TempDir, Job) {
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(home.path()).unwrap();
    job.propose(proposal(three()), "t1").unwrap();
    job.append(1, decisions, "t2").unwrap();
    (home, job)
}

#[test]
fn before_any_decision_a_new_proposal_simply_replaces_the_old() {
    let (_home, mut job) = decided(&[]);
    let mut next = vec![
        item(9, "loft", "hatch", "loose"),
        item(2, "hallway", "coving", "cracked"),
    ];
    next[0].number = 1;
    job.propose(proposal(next), "t3").unwrap();
    insta::assert_snapshot!(lines(&job.list().unwrap().items), @r"
    1 9 hatch Proposed
    2 2 coving Proposed
    ");
}

#[test]
fn decided_items_stay_and_undecided_ones_follow_the_new_proposal() {
    let (_home, mut job) = decided(&[
        Decision::Accept {
            item: id(1),
            above: None,
        },
        Decision::Reject {
            item: id(3),
            reason: "said twice".into(),
        },
    ]);
    // The new proposal reads item 1 differently, item 2 better, has lost 3, and found 8 before it.
    let mut next = vec![
        item(1, "hallway", "new post", "leaning"),
        item(2, "hallway", "skirting board", "gap at the mitre"),
        item(8, "kitchen", "larder unit", "loose"),
    ];
    next[2].number = 3;
    next[2].evidence.span = next[1].evidence.span;
    job.propose(proposal(next), "t3").unwrap();
    let list = job.list().unwrap();
    insta::assert_snapshot!(lines(&list.items), @r"
    1 1 newel post Confirmed
    2 2 skirting board Proposed
    4 8 larder unit Proposed
    3 3 worktop Rejected
    ");
    assert_eq!(list.reasons[&id(3)], "said twice");
    assert_eq!(list.problems, [""; 0]);
}

#[test]
fn an_undone_decision_frees_the_item_and_cannot_be_redone_on_other_words() {
    let (_home, mut job) = decided(&[
        Decision::Accept {
            item: id(1),
            above: None,
        },
        Decision::Accept {
            item: id(2),
            above: None,
        },
        Decision::Undo { events: vec![3] },
    ]);
    assert_eq!(job.list().unwrap().redoable, [[3]]);
    let next = vec![
        item(1, "hall", "post", "leaning"),
        item(2, "hall", "plinth", "loose"),
    ];
    job.propose(proposal(next), "t3").unwrap();
    let list = job.list().unwrap();
    assert_eq!(list.redoable, [[0; 0]; 0]);
    insta::assert_snapshot!(lines(&list.items), @r"
    1 1 newel post Confirmed
    2 2 plinth Proposed
    ");
}

#[test]
fn numbers_are_never_given_twice() {
    let added = item(4, "hallway", "door", "sticks");
    let (_home, mut job) = decided(&[
        Decision::Accept {
            item: id(1),
            above: None,
        },
        Decision::Add {
            item: Box::new(added),
        },
        Decision::Undo { events: vec![3] },
    ]);
    for round in 0..3 {
        // Each time the undecided items are lost and one unseen item is found.
        let mut found = item(20 + round, "loft", "hatch", "loose");
        found.number = 2;
        job.propose(proposal(vec![item(1, "a", "b", "c"), found]), "t3")
            .unwrap();
        let numbers: Vec<u32> = job.list().unwrap().items.iter().map(|i| i.number).collect();
        assert_eq!(numbers, [1, 5 + round]);
    }
}

#[test]
fn edits_count_as_decisions_and_keep_their_words() {
    let (_home, mut job) = decided(&[Decision::Edit {
        item: id(2),
        field: Field::Trade,
        from: String::new(),
        to: "joiner".into(),
        description: None,
    }]);
    job.propose(proposal(vec![item(2, "x", "y", "z")]), "t3")
        .unwrap();
    let items = job.list().unwrap().items;
    assert_eq!((items.len(), &*items[0].element), (1, "skirting"));
    assert_eq!(
        (items[0].trade.as_deref(), items[0].status),
        (Some("joiner"), Status::Proposed)
    );
}

#[test]
fn two_items_of_one_id_are_refused_and_the_old_proposal_stands() {
    let (_home, mut job) = decided(&[]);
    let twice = proposal(vec![item(7, "a", "b", "c"), item(7, "a", "b", "d")]);
    assert!(matches!(
        job.propose(twice, "t3"),
        Err(JobError::DuplicateId { .. })
    ));
    assert_eq!(job.proposal().unwrap().items, three());
}

#[test]
fn kept_items_stand_in_spoken_order_also_without_times() {
    let untimed = |number: u32, word: usize| {
        let mut item = item(number, "hallway", "door", "sticks");
        (item.evidence.span, item.evidence.words) = (None, Some((word, word + 4)));
        item
    };
    let home = tempfile::tempdir().unwrap();
    let mut job = Job::create(home.path()).unwrap();
    job.propose(proposal(vec![untimed(1, 5), untimed(2, 10)]), "t1")
        .unwrap();
    job.append(
        1,
        &[Decision::Accept {
            item: id(1),
            above: None,
        }],
        "t2",
    )
    .unwrap();
    job.propose(proposal(vec![untimed(7, 2), untimed(8, 10)]), "t3")
        .unwrap();
    let ids: Vec<String> = job
        .list()
        .unwrap()
        .items
        .into_iter()
        .map(|item| item.id)
        .collect();
    assert_eq!(ids, [id(7), id(1), id(8)]);
}
