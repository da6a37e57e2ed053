//! Splitting, merging, moving, copying, numbering, promoting, photos: a script in, the list out.

use super::{Change, Session, act, describe};
use crate::confirm::{Around, Filter, NewItem, found};
use crate::items::{Item, Severity, Status, Unplaced};
use crate::job::Event;
use crate::job::samples::{item, rich, walk};
use crate::lexicon::Lexicon;
use crate::speech::Word;
use crate::time::{Millis, Span};
use std::sync::{Arc, OnceLock};

/// `number. place: element defect, status`, one item a line, after what was told.
fn check(session: Session, changes: Vec<Change>) -> String {
    let (mut session, mut log) = (session, Vec::<Event>::new());
    let mut lines = Vec::new();
    for change in changes {
        lines.push(match act(&mut session, &mut log, &change) {
            Ok(events) => session.told(&events),
            Err(refusal) => format!("no: {refusal}"),
        });
    }
    lines.extend(session.items().iter().map(line));
    lines.join("\n")
}

fn line(item: &Item) -> String {
    let status = crate::confirm::status_word(item.status);
    let (number, place) = (item.number, &item.place);
    format!(
        "{number}. {place}: {} {}, {status}",
        item.element, item.defect
    )
}

fn start() -> Session {
    Session::new(walk(), vec![], describe)
}

/// The lexicon that the program carries, made once.
fn lexicon() -> Arc<Lexicon> {
    static LEXICON: OnceLock<Arc<Lexicon>> = OnceLock::new();
    Arc::clone(LEXICON.get_or_init(|| Arc::new(Lexicon::builtin().unwrap())))
}

/// Half a second for each word.
fn words(text: &str) -> Vec<Word> {
    let word = |(at, text): (u64, &str)| Word {
        text: text.into(),
        recording: 1,
        span: Some(Span::new(Millis(at * 500), Millis(at * 500 + 400))),
        probability: 0.9,
        line_end: false,
    };
    (0..).zip(text.split_whitespace()).map(word).collect()
}

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
        Change::Add(NewItem { place: "loft".into(), element: "hatch".into(), defect: "loose".into() }),
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
fn trade_remedy_and_severity_follow_the_facts_until_they_are_set() {
    let mut one = item(1, "kitchen", "worktop", "scratched");
    let usual = crate::items::usual(&lexicon(), &one);
    (one.trade, one.severity, one.remedy) = (usual.trade, usual.severity, usual.remedy);
    one.remedy_source = Some(crate::items::RemedySource::Suggested);
    let around = Around {
        lexicon: Some(lexicon()),
        ..Around::default()
    };
    let edit = |field: &str, text: &str| Change::Edit {
        number: 1,
        field: crate::job::Field::named(field).unwrap(),
        text: text.into(),
    };
    let mut session = Session::new(vec![one], vec![], describe).with(Arc::new(around));
    let mut log = vec![];
    let mut lines = vec![];
    for change in [
        edit("element", "socket"),
        edit("defect", "loose"),
        edit("trade", "handyman"),
        edit("element", "worktop"),
        Change::Undo,
        Change::Undo,
        edit("element", "worktop"),
    ] {
        act(&mut session, &mut log, &change).unwrap();
        let item = &session.items()[0];
        lines.push(format!(
            "{} {}: {:?}, {:?}, {:?}",
            item.element, item.defect, item.trade, item.severity, item.remedy
        ));
    }
    insta::assert_snapshot!(lines.join("\n"), @r#"
    socket scratched: Some("electrician"), Finish, Some("polish out")
    socket loose: Some("electrician"), Repair, Some("secure firmly")
    socket loose: Some("handyman"), Repair, Some("secure firmly")
    worktop loose: Some("handyman"), Repair, Some("secure firmly")
    socket loose: Some("handyman"), Repair, Some("secure firmly")
    socket loose: Some("electrician"), Repair, Some("secure firmly")
    worktop loose: Some("kitchen fitter"), Repair, Some("secure firmly")
    "#);
}

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
    let refused = session.go(super::Move::Undecided).unwrap_err();
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
