//! The simulated inspector: knows the expected list, sees the screen, presses keys.

use crate::agreement::{Gold, Grade, pair, words};
use crate::face::Face;
use crate::pass::{Facts, Pass, Spent, typed_by_hand};
use callover::items::{Item, Status, Unplaced, describe, named};
use callover::job::Field;
use callover::lexicon::{Kind, Lexicon};
use ratatui::crossterm::event::KeyCode;
use std::sync::Arc;

/// Goes through the list until it is as expected.
pub(crate) fn confirm(mut face: Face, gold: &[Gold], facts: Facts, show: bool) -> Pass {
    let items = face.session().items().to_vec();
    let mut pairs = pair(gold, &items);
    claim(gold, &items, &mut pairs);
    let mut pass = Pass {
        expected: gold.len(),
        typed: typed_by_hand(gold, facts),
        ..Pass::default()
    };
    let mut ids: Vec<Option<String>> = pairs
        .iter()
        .map(|place| place.map(|place| items[place].id.clone()))
        .collect();
    let missing = |place: &Option<usize>| place.is_none();
    let mut next_missing = 0;
    for item in &items {
        let wanted = pairs
            .iter()
            .position(|place| place.is_some_and(|p| items[p].id == item.id));
        // What is missed was said before this one: it is written before going on.
        while let Some(wanted) = wanted
            && let Some(at) = (next_missing..wanted).find(|at| missing(&pairs[*at]))
        {
            ids[at] = add(&mut face, &gold[at], facts, &mut pass, show);
            next_missing = at + 1;
        }
        let before = face.pressed();
        match wanted {
            Some(at) => {
                let expected = |id: &str| {
                    let at = ids.iter().position(|known| known.as_deref() == Some(id));
                    at.map(|at| &gold[at])
                };
                let fields = &mut pass.fields;
                let id = &item.id;
                let changed = mend(&mut face, id, &gold[at], facts, &expected, fields, show);
                accept(&mut face, &item.id);
                let kind = usize::from(changed);
                pass.keys[kind] += face.pressed() - before;
                pass.right += usize::from(!changed);
                pass.mended += usize::from(changed);
            }
            None => {
                face.press(KeyCode::Char('X'));
                pass.keys[3] += face.pressed() - before;
                pass.rejected += 1;
            }
        }
    }
    for at in next_missing..gold.len() {
        if missing(&pairs[at]) {
            ids[at] = add(&mut face, &gold[at], facts, &mut pass, show);
        }
    }
    pass.wrong = left_wrong(&face, gold, &ids, facts, show);
    pass.waited = face.waited;
    pass
}

/// What was understood quite wrongly is still the item that was said then: the inspector hears what
/// it is about and puts it right, rather than rejecting it and writing it anew.
fn claim(gold: &[Gold], items: &[Item], pairs: &mut [Option<usize>]) {
    for (at, gold) in gold.iter().enumerate() {
        let free = |place: &usize| !pairs.contains(&Some(*place));
        let then = |place: &usize| items[*place].evidence.span.is_some_and(|s| gold.said_in(s));
        if pairs[at].is_none() && gold.has_times() {
            pairs[at] = (0..items.len()).filter(free).find(then);
        }
    }
}

/// How many expected items are not on the list as they should be, and how many others are.
fn left_wrong(
    face: &Face,
    gold: &[Gold],
    ids: &[Option<String>],
    facts: Facts,
    show: bool,
) -> usize {
    let confirmed = |item: &&Item| item.status == Status::Confirmed;
    let items: Vec<&Item> = face.session().items().iter().filter(confirmed).collect();
    let there = |(gold, id): (&Gold, &Option<String>)| {
        let item = items.iter().find(|item| Some(&item.id) == id.as_ref());
        item.is_some_and(|item| {
            let rest = facts == Facts::Main
                || (same_trade(&lexicon_of(face), gold, item.trade.as_deref())
                    && gold.measure_agrees(item)
                    && (gold.count < 2 || item.count == gold.count));
            gold.grade(item).right() && rest
        })
    };
    for (gold, id) in gold.iter().zip(ids).filter(|pair| show && !there(*pair)) {
        let item = items.iter().find(|item| Some(&item.id) == id.as_ref());
        let is = item.map(|item| format!("{} | {} | {}", item.place, item.element, item.defect));
        println!("  expected {gold:?}, is {is:?}");
    }
    let right = gold.iter().zip(ids).filter(|pair| there(*pair)).count();
    gold.len().max(items.len()) - right
}

/// Puts right what is wrong with the item shown; returns true where something was.
/// `expected` tells what another listed item ought to be, `None` for one that ought not to be listed.
fn mend<'a>(
    face: &mut Face,
    id: &str,
    gold: &Gold,
    facts: Facts,
    expected: &dyn Fn(&str) -> Option<&'a Gold>,
    spent: &mut Spent,
    show: bool,
) -> bool {
    assert_eq!(
        face.session().current().map(|item| &*item.id),
        Some(id),
        "another item is shown"
    );
    let start = face.pressed();
    let was = item(face, id);
    let fields = [
        (Field::Place, 'p', &gold.place),
        (Field::Element, 'e', &gold.element),
        (Field::Defect, 'd', &gold.defect),
        (Field::Trade, 'w', &gold.trade),
    ];
    let wrong = |face: &Face, field: Field| {
        let item = item(face, id);
        match field {
            Field::Trade => {
                let trade = item.trade.as_deref();
                facts == Facts::All && !same_trade(&lexicon_of(face), gold, trade)
            }
            _ => !agrees(gold, &item, field),
        }
    };
    let none_wrong = |face: &Face| !fields.iter().any(|(field, ..)| wrong(face, *field));
    let only_this = |face: &Face| item(face, id).status == Status::Proposed && none_wrong(face);
    // Figures first, then the place and the facts, so that the last of them may accept the item.
    if facts == Facts::All {
        let miscounted = |item: &Item| gold.count > 1 && item.count != gold.count;
        let before = face.pressed();
        if !gold.measure_agrees(&item(face, id)) {
            let measure = gold.measure.as_deref().unwrap_or_default();
            // Nobody types a unit that is understood.
            let short = measure.strip_suffix(" mm").unwrap_or(measure);
            let now = item(face, id);
            let last = !miscounted(&now) && only_this(face);
            figures(face, 'm', short, last, |text| {
                gold.measure_agrees(&with(&now, Field::Measurement, text))
            });
            return_to(face, id, last && !none_wrong(face));
            note(spent, Field::Measurement, face.pressed() - before);
        }
        let before = face.pressed();
        if miscounted(&item(face, id)) {
            let count = gold.count.to_string();
            let last = only_this(face);
            figures(face, 'c', &count, last, |text| text == count);
            return_to(face, id, last && !none_wrong(face));
            note(spent, Field::Count, face.pressed() - before);
        }
    }
    // Twice, because a changed fact remakes the sentence that another one leant on.
    for (field, key, wanted) in fields.into_iter().chain(fields) {
        if !wrong(face, field) {
            continue;
        }
        let before = face.pressed();
        // What is the only thing wrong is put right with its capital, which accepts the item too.
        let undecided = item(face, id).status == Status::Proposed;
        let mut others = fields.iter().filter(|(other, ..)| *other != field);
        let last = undecided && field != Field::Place && !others.any(|f| wrong(face, f.0));
        face.press(KeyCode::Char(if last {
            key.to_ascii_uppercase()
        } else {
            key
        }));
        let now = item(face, id);
        let lexicon = lexicon_of(face);
        answer(face, &wanted[0], |text| match field {
            Field::Trade => same_trade(&lexicon, gold, Some(text)),
            _ => agrees(gold, &with(&now, field, text), field),
        });
        if field == Field::Place {
            take_along(face, &item(face, id).place, expected);
        }
        note(spent, field, face.pressed() - before);
        return_to(face, id, last && fields.iter().any(|f| wrong(face, f.0)));
    }
    let keys = face.pressed() - start;
    if show && keys > 0 {
        let now = item(face, id);
        println!(
            "  {keys} keys: {} | {} | {} -> {} | {} | {}",
            was.place, was.element, was.defect, now.place, now.element, now.defect
        );
    }
    keys > 0
}

/// Goes back to an item that was accepted where it is not right after all: nobody foresees what follows
/// from a change.
fn return_to(face: &mut Face, id: &str, needed: bool) {
    if needed {
        face.press(KeyCode::Char('g'));
        answer(face, &item(face, id).number.to_string(), |_| false);
    }
}

/// Answers a question for figures: takes what is offered first by the key of the field, what is
/// offered after that by Tab where that is shorter than typing, or types. `last` where the item is accepted
/// with it.
fn figures(face: &mut Face, key: char, text: &str, last: bool, acceptable: impl Fn(&str) -> bool) {
    face.press(KeyCode::Char(key));
    let capital = |key: char| if last { key.to_ascii_uppercase() } else { key };
    match face.offered().iter().position(|text| acceptable(text)) {
        Some(0) => _ = face.press(KeyCode::Char(capital(key))),
        Some(place) if place < text.chars().count() => {
            for _ in 0..=place {
                face.press(KeyCode::Tab);
            }
            face.press(KeyCode::Enter);
        }
        _ => {
            for letter in text.chars() {
                face.press(KeyCode::Char(letter));
            }
            face.press(match last {
                true => KeyCode::Char('a'),
                false => KeyCode::Enter,
            });
        }
    }
    let trouble = face.trouble();
    assert!(trouble.is_empty(), "{text}: {trouble}");
}

fn note(spent: &mut Spent, field: Field, keys: usize) {
    let (times, sum) = spent.entry(field.name()).or_default();
    *times += 1;
    *sum += keys;
}

/// Accepts the item if it is still shown; where it was confirmed, goes on to the next undecided one.
fn accept(face: &mut Face, id: &str) {
    if face.session().current().is_some_and(|item| item.id == id) {
        face.press(KeyCode::Char('a'));
    }
}

/// True where the trade is accepted, or the vocabulary takes it for the same as an accepted one (*dry
/// liner* and *drywaller*): what a list of another region calls it follows from that.
fn same_trade(lexicon: &Lexicon, gold: &Gold, trade: Option<&str>) -> bool {
    let term = |text: &str| named(lexicon, text, Kind::Trade);
    let own = trade.and_then(term);
    let same = own.is_some_and(|own| gold.trade.iter().any(|t| term(t) == Some(own)));
    same || gold.trade_agrees(trade)
}

fn lexicon_of(face: &Face) -> Arc<Lexicon> {
    let lexicon = face.session().around().lexicon.clone();
    lexicon.expect("the rehearsal has the vocabulary")
}

/// Takes the items after the one shown along to its place where that puts one right and none wrong.
fn take_along<'a>(face: &mut Face, place: &str, expected: &dyn Fn(&str) -> Option<&'a Gold>) {
    let numbers = face.taken_along();
    let items = face.session().items().iter();
    let along = items.filter(|item| numbers.contains(&item.number));
    // Where an item that ought not to be listed stands does not matter.
    let wanted: Vec<(bool, bool)> = along
        .filter_map(|item| {
            let moved = Item {
                place: place.into(),
                ..item.clone()
            };
            let gold = expected(&item.id)?;
            Some((gold.grade(item).place, gold.grade(&moved).place))
        })
        .collect();
    if wanted.iter().any(|(now, _)| !now) && wanted.iter().all(|(_, moved)| *moved) {
        face.press(KeyCode::Char('P'));
    }
}

/// Adds an expected item that was not proposed: from what was said where that is listed, otherwise
/// by hand. Returns its id.
fn add(face: &mut Face, gold: &Gold, facts: Facts, pass: &mut Pass, show: bool) -> Option<String> {
    let start = face.pressed();
    let known: Vec<String> = face
        .session()
        .items()
        .iter()
        .map(|item| item.id.clone())
        .collect();
    let how = match said(face, gold) {
        Some(()) => "of what was said",
        None => {
            face.press(KeyCode::Char('n'));
            answer_place(face, gold);
            "by hand"
        }
    };
    for (field, wanted) in [
        (Field::Element, &gold.element),
        (Field::Defect, &gold.defect),
    ] {
        answer(face, &wanted[0], |text| {
            let texts = words(text);
            let full = |accepted: &String| {
                let accepted = words(accepted);
                !accepted.is_empty() && accepted.is_subset(&texts)
            };
            match field {
                Field::Element => gold.element.iter().any(full),
                _ => gold.defect.iter().any(full),
            }
        });
    }
    let new = face
        .session()
        .items()
        .iter()
        .find(|item| !known.contains(&item.id));
    let id = new.map(|item| item.id.clone());
    if let Some(id) = &id {
        mend(face, id, gold, facts, &|_| None, &mut pass.fields, false);
    }
    match &id {
        Some(id) => accept(face, id),
        None => _ = face.press(KeyCode::Char('a')),
    }
    pass.keys[2] += face.pressed() - start;
    pass.added += 1;
    if show {
        let keys = face.pressed() - start;
        println!(
            "  {keys} keys {how}: {} | {} | {}",
            gold.place[0], gold.element[0], gold.defect[0]
        );
    }
    id
}

/// Takes the statement with the expected words where one has them: of those that the card shows, or
/// else of all, where the card says that there are more. Going back is counted too.
fn said(face: &mut Face, gold: &Gold) -> Option<()> {
    let (passed, more) = face.passed_over();
    if let Some(digit) = passed
        .iter()
        .zip('1'..)
        .find(|(said, _)| is_said(said, gold))
    {
        let digit = digit.1;
        face.press(KeyCode::Char(digit));
        return face.asked().then_some(());
    }
    if !more {
        return None;
    }
    face.press(KeyCode::Char('i'));
    let (statements, chosen) = face.statements()?;
    let found = (0..statements.len())
        .filter(|at| is_said(statements[*at], gold))
        .min_by_key(|at| at.abs_diff(chosen));
    // Further away than a screen nobody looks.
    let Some(found) = found.filter(|found| found.abs_diff(chosen) <= 6) else {
        face.press(KeyCode::Esc);
        return None;
    };
    let after = found.checked_sub(chosen).map(|after| after as u32 + 1);
    if let Some(digit) = after.and_then(|after| char::from_digit(after, 10)) {
        face.press(KeyCode::Char(digit));
        return face.asked().then_some(());
    }
    for _ in 0..found.abs_diff(chosen) {
        face.press(KeyCode::Up);
    }
    face.press(KeyCode::Enter);
    face.asked().then_some(())
}

/// True where the statement is what was said of the expected item.
fn is_said(statement: &Unplaced, gold: &Gold) -> bool {
    let quote = words(&statement.quote);
    let has = |accepted: &[String]| {
        accepted
            .iter()
            .any(|text| !words(text).is_empty() && words(text).is_subset(&quote))
    };
    match statement.span.filter(|_| gold.has_times()) {
        // However it was misheard, the inspector knows what was said then.
        Some(span) => gold.said_in(span),
        None => has(&gold.element) && has(&gold.defect),
    }
}

fn answer_place(face: &mut Face, gold: &Gold) {
    let here = face
        .session()
        .current()
        .map(|item| item.place.clone())
        .unwrap_or_default();
    let agrees = |text: &str| {
        let item = Item {
            place: text.into(),
            ..face_item(face)
        };
        gold.grade(&item).place
    };
    if agrees(&here) {
        face.press(KeyCode::Enter);
    } else {
        let stand_in = face_item(face);
        answer(face, &gold.place[0], |text| {
            gold.grade(&Item {
                place: text.into(),
                ..stand_in.clone()
            })
            .place
        });
    }
}

/// Any item, to be given other facts.
fn face_item(face: &Face) -> Item {
    face.session().items()[0].clone()
}

/// Answers a question: types the text letter by letter until something acceptable is offered, and
/// takes that by its digit; types it to the end where nothing is.
fn answer(face: &mut Face, text: &str, acceptable: impl Fn(&str) -> bool) {
    let mut letters = text.chars();
    loop {
        let offered = face.offered().iter().position(|text| acceptable(text));
        if let Some(digit) = offered.and_then(|place| char::from_digit(place as u32 + 1, 10)) {
            face.press(KeyCode::Char(digit));
            break;
        }
        match letters.next() {
            Some(letter) => _ = face.press(KeyCode::Char(letter)),
            None => {
                face.press(KeyCode::Enter);
                break;
            }
        }
    }
    let trouble = face.trouble();
    assert!(trouble.is_empty(), "{text}: {trouble}");
}

fn item(face: &Face, id: &str) -> Item {
    let found = face.session().items().iter().find(|item| item.id == id);
    found.cloned().unwrap_or_else(|| face_item(face))
}

/// The item with another text in a field, and the sentence that goes with it.
fn with(item: &Item, field: Field, text: &str) -> Item {
    let mut item = item.clone();
    if field.write(&mut item, text).is_ok() && field != Field::Place {
        item.description = describe(&item);
    }
    item
}

fn agrees(gold: &Gold, item: &Item, field: Field) -> bool {
    let Grade {
        place,
        element,
        defect,
    } = gold.grade(item);
    match field {
        Field::Place => place,
        Field::Element => element,
        _ => defect,
    }
}
