//! Moving, copying, numbering, accepting the rest of a place, photos.

use super::super::{Change, Session, act, describe};
use super::{check, start};
use crate::confirm::NewItem;
use crate::items::Status;
use crate::job::samples::{rich, walk};

#[test]
fn many_are_moved_in_one_step() {
    insta::assert_snapshot!(check(start(), vec![
        Change::Move { numbers: vec![], place: "loft".into() },
        Change::Move { numbers: vec![2, 3, 9], place: "loft".into() },
        Change::Move { numbers: vec![3, 4], place: "kitchen".into() },
        Change::Move { numbers: vec![1, 2, 3], place: "utility room".into() },
        Change::Undo,
        Change::Redo,
    ]), @r"
    no: give at least one item number
    no: there is no item 9: the numbers go from 1 to 4
    no: already there: kitchen
    3 items are in utility room now
    undone: 3 items are in utility room now
    redone: 3 items are in utility room now
    1. utility room: newel post out of plumb, undecided
    2. utility room: skirting gap at the mitre, undecided
    3. utility room: worktop scratched, undecided
    4. kitchen: larder unit loose, undecided
    ");
}

#[test]
fn copies_have_their_own_numbers_and_no_photos() {
    let mut items = walk();
    items[0].photos = vec!["post.jpg".into()];
    items[0].status = Status::Confirmed;
    let session = Session::new(items, vec![], describe);
    let copy = |places: &[&str]| Change::Copy {
        number: 1,
        places: places.iter().map(|place| (*place).to_string()).collect(),
    };
    insta::assert_snapshot!(check(session.clone(), vec![
        copy(&[]),
        copy(&["bedroom two", "bedroom three"]),
        copy(&["loft"]),
        Change::Undo,
        copy(&["cellar"]),
    ]), @r"
    no: give at least one place
    item 1 copied: 5 in bedroom two, 6 in bedroom three
    item 1 copied: 7 in loft
    undone: item 1 copied: 7 in loft
    item 1 copied: 8 in cellar
    1. hallway: newel post out of plumb, confirmed
    2. hallway: skirting gap at the mitre, undecided
    3. kitchen: worktop scratched, undecided
    4. kitchen: larder unit loose, undecided
    5. bedroom two: newel post out of plumb, confirmed
    6. bedroom three: newel post out of plumb, confirmed
    8. cellar: newel post out of plumb, confirmed
    ");
    let (mut session, mut log) = (session, vec![]);
    act(&mut session, &mut log, &copy(&["loft"])).unwrap();
    let made = session.items().last().unwrap();
    assert!(made.photos.is_empty() && made.evidence.quote == rich().evidence.quote);
    assert!(
        made.evidence
            .reasons
            .contains(&"the same as item 1, copied by hand".into())
    );
}

#[test]
fn numbers_are_changed_but_never_given_to_two() {
    insta::assert_snapshot!(check(start(), vec![
        Change::RenumberAll,
        Change::Renumber { number: 1, to: 0 },
        Change::Renumber { number: 1, to: 9 },
        Change::Renumber { number: 3, to: 2 },
        Change::Reject { number: 4, reason: String::new() },
        Change::Add { new: NewItem { place: "loft".into(), element: "hatch".into(), defect: "loose".into() } },
        Change::RenumberAll,
    ]), @r"
    no: the items are numbered in order already
    no: 0 is no item's number: they begin at 1
    the item is number 9 now
    the item is number 2 now
    item 4 rejected
    item 10 added and confirmed
    5 items numbered from 1
    1. hallway: newel post out of plumb, undecided
    2. hallway: skirting gap at the mitre, undecided
    3. kitchen: worktop scratched, undecided
    5. kitchen: larder unit loose, rejected
    4. loft: hatch loose, confirmed
    ");
}

#[test]
fn the_rest_of_a_place_is_one_step() {
    let rest = |place: &str, confidence| Change::AcceptPlace {
        place: place.into(),
        confidence,
    };
    insta::assert_snapshot!(check(start(), vec![
        rest("cellar", 0.5),
        rest("hallway", 1.5),
        rest("hallway", 0.8),
        Change::Undo,
        rest("kitchen", 0.9),
    ]), @r"
    no: no undecided item in cellar has a confidence of 0.5 or more
    no: 1.5 is not a confidence: give a number from 0 to 1, such as 0.95
    2 items confirmed with a confidence of 0.8 or more
    undone: 2 items confirmed with a confidence of 0.8 or more
    item 3 confirmed
    1. hallway: newel post out of plumb, undecided
    2. hallway: skirting gap at the mitre, undecided
    3. kitchen: worktop scratched, confirmed
    4. kitchen: larder unit loose, undecided
    ");
}

#[test]
fn photos_come_and_go() {
    let photo = "IMG 7.jpg".to_string();
    let (attach, detach) = (
        Change::AttachPhoto {
            number: 2,
            photo: photo.clone(),
        },
        Change::DetachPhoto { number: 2, photo },
    );
    insta::assert_snapshot!(
        check(start(), vec![detach.clone(), attach.clone(), attach, detach, Change::Undo]), @r"
    no: item 2 has no photo IMG 7.jpg
    item 2 has the photo IMG 7.jpg
    no: item 2 has the photo IMG 7.jpg already
    item 2: not the photo IMG 7.jpg
    undone: item 2: not the photo IMG 7.jpg
    1. hallway: newel post out of plumb, undecided
    2. hallway: skirting gap at the mitre, undecided
    3. kitchen: worktop scratched, undecided
    4. kitchen: larder unit loose, undecided
    ");
}
