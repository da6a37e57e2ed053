//! The same fault said in other ways: whatever stands around a plain statement, the same place, thing and fault
//! come of it.
//!
//! What relates the two texts is known even where the right list is not ("metamorphic testing", Chen and others
//! 1998). The ways are those of everyday English (common practice, no source).

use super::LEXICON;
use callover::items::{Item, propose};
use callover::speech::Transcript;
use callover::speech::formats::{Format, Source, read};

/// Things, and what is said to be wrong with them.
const THINGS: [&str; 8] = [
    "skirting",
    "worktop",
    "radiator",
    "architrave",
    "window sill",
    "ceiling",
    "light switch",
    "door frame",
];
const FAULTS: [&str; 4] = ["is cracked", "is loose", "is scratched", "is stained"];
const MARKS: [&str; 4] = ["scratch", "crack", "chip", "stain"];
const ROOMS: [&str; 8] = [
    "kitchen",
    "lounge",
    "utility room",
    "landing",
    "bathroom",
    "bedroom two",
    "study",
    "garage",
];

/// Ways of saying that the `{thing}` `{is so}`.
#[rustfmt::skip]
const SAID: &[&str] = &[
    "The {thing} here {is so}.", "This {thing}, it {is so}.", "As for the {thing}, it {is so}.",
    "Another thing, the {thing} {is so}.", "Next one, the {thing} {is so}.", "I've noticed that the {thing} {is so}.",
    "Put down that the {thing} {is so}.", "The {thing}, again, {is so}.", "The {thing}'s another one that {is so}.",
    "The {thing}, if you look at it, {is so}.", "I'm not happy with the {thing}, it {is so}.",
    "Apart from the {thing}, which {is so}, it's all good.", "All fine apart from the {thing}, which {is so}.",
    "Everything's fine except the {thing}, which {is so}.", "The sink is fine but the {thing} {is so}.",
    "The {thing} {is so}. Lovely.", "Just by the door, the {thing} {is so}.", "On the left, the {thing} {is so}.",
    "To the left, the {thing} {is so}.", "On the left hand side, the {thing} {is so}.",
    "To the left of the window, the {thing} {is so}.", "On the right as you come in the {thing} {is so}.",
    "At the far end the {thing} {is so}.", "The left hand side of the {thing} {is so}.",
    "The back of the {thing} {is so}.", "The edge of the {thing} {is so}.", "The bottom corner of the {thing} {is so}.",
];

/// Ways of saying that the `{thing}` has a `{mark}`.
#[rustfmt::skip]
const MARKED: &[&str] = &[
    "{Mark} in the {thing}.", "{Mark} on the {thing}, by the door.", "I can see a {mark} in the {thing}.",
    "On the {thing} there's a {mark}.", "The {thing}'s got a {mark} in it.", "The {thing} is fine apart from a {mark}.",
    "The {thing}'s all right except for a {mark} by the door.", "Apart from a {mark} in the {thing}, all good.",
    "There's a {mark} along the edge of the {thing}.", "Looking along the {thing}, there's a {mark}.",
];

/// Ways of coming to a `{room}`.
#[rustfmt::skip]
const COME_TO: &[&str] = &[
    "{Room}.", "Right, {room}.", "Into the {room}.", "Moving on to the {room}.", "Next up, {room}.", "{Room} next.",
    "Through into the {room} now.", "So now the {room}.", "I'm in the {room} now.", "This is the {room}.",
    "Let's do the {room}.", "Back into the {room}.", "Last one, the {room}.", "That's that done, {room}.",
    "Right then, the {room}.", "Lovely {room}, this.", "Nothing else in here, on to the {room}.",
    "At the end of the hall, the {room}.", "Off the hall, the {room}.", "Now we come to the {room}.",
];

/// Ways of telling in one sentence that in the `{room}` the `{thing}` `{is so}`.
#[rustfmt::skip]
const THERE: &[&str] = &[
    "In the {room} the {thing} {is so}.", "In the {room}, the {thing} {is so}.", "{Room}, {thing} {is so}.",
    "Over in the {room} the {thing} {is so}.", "Into the {room}, and the {thing} {is so}.",
    "Back in the {room} the {thing} {is so}.",
];

/// Rooms whose things are told with the room's name, and how, in the lounge: of each the fault is in the room named.
#[rustfmt::skip]
const OF_A_ROOM: &[&str] = &[
    "{Room} {thing} {is so}.", "The {room} {thing} {is so}.", "Okay, {room} {thing} {is so}.",
    "{Room} {thing}. It {is so}.", "There's a {mark} in the {room} {thing}.", "{Mark} on the {room} {thing}.",
];

/// Ways of telling that the `{thing}` and the `{other}` each have a fault, together or one after the other.
#[rustfmt::skip]
const OF_TWO: &[&str] = &[
    "The {thing} {is so}. The {other} as well.", "The {thing} {is so}. {Other} too.", "The {thing} {is so}. Same with the {other}.",
    "The {thing} {is so}. So is the {other}.", "The {thing} {is so}. {Other}, same again.", "The {thing} {is so}. {Other}, ditto.",
    "The {thing} {is so}, as is the {other}.", "The {thing} and the {other} are both {so}.", "{Thing} and {other} both {so}.",
    "Both the {thing} and the {other} are {so}.", "There's a {mark} in the {thing} and another in the {other}.",
    "There's a {mark} in the {thing} and one in the {other} too.", "There's a {mark} in the {thing}. And in the {other}.",
    "{Mark} in the {thing}, {mark} in the {other}.", "A {mark} in the {thing} and a {mark} in the {other}.",
    "{Mark} on {thing}. {Mark} on {other}.", "There's a {mark} in the {thing}, there's a {mark} in the {other}.",
];

/// Ways of telling that it is the `{thing}`, and nothing else, that has a fault.
#[rustfmt::skip]
const OF_ONE: &[&str] = &[
    "Looking at the {thing} now. It {is so}.", "Looking at the {thing}. It {is so}.", "{Thing}. {So}.", "{Thing}. It {is so}.",
    "The {other} {is so}. Sorry, I mean the {thing}.", "{Other} okay, {thing} {so}.", "{Other}, all good. {Thing}, {so}.",
    "A ten mil {mark} on the {thing}.",
];

fn items(text: &str) -> Vec<Item> {
    let source = Source {
        file: "said.txt",
        sha256: "",
        recording: 1,
    };
    let said: Transcript = read(source, Format::Text, text.as_bytes()).unwrap();
    propose(&LEXICON, &said).items
}

fn filled(way: &str, with: &[(&str, &str)]) -> String {
    let mut text = way.to_owned();
    for (name, value) in with {
        text = text.replace(&format!("{{{name}}}"), value);
        let (first, rest) = (name[..1].to_uppercase(), &name[1..]);
        let (begins, ends) = (value[..1].to_uppercase(), &value[1..]);
        text = text.replace(&format!("{{{first}{rest}}}"), &format!("{begins}{ends}"));
    }
    text
}

/// Returns what is wrong where not exactly one item comes of `said` behind `before`, in the room, of the thing
/// and with one of the words of the fault.
fn wrong(before: &str, said: &str, room: &str, thing: &str, fault: &str) -> Option<String> {
    let all = items(&format!("{before}\n{said}"));
    let fits = |item: &Item| {
        let named = item.element.ends_with(thing);
        let fault = fault.trim_start_matches("is ");
        item.place == room && named && item.defect.contains(fault)
    };
    let [.., last] = &all[..] else {
        return Some(format!("{said:?} makes nothing"));
    };
    let others = all.len() - 1 != items(before).len();
    let listed = |item: &Item| format!("{} | {} | {}", item.place, item.element, item.defect);
    (!fits(last) || others).then(|| {
        let all: Vec<String> = all.iter().map(listed).collect();
        format!("{said:?} makes {}", all.join(", "))
    })
}

#[test]
fn said_in_other_words_it_is_the_same_fault() {
    let mut failures = Vec::new();
    for (at, thing) in THINGS.iter().enumerate() {
        let (fault, mark) = (FAULTS[at % 4], MARKS[at % 4]);
        let with = [("thing", *thing), ("is so", fault), ("mark", mark)];
        for way in SAID {
            let said = filled(way, &with);
            failures.extend(wrong("Bedroom two.", &said, "bedroom two", thing, fault));
        }
        for way in MARKED {
            let said = filled(way, &with);
            failures.extend(wrong("Bedroom two.", &said, "bedroom two", thing, mark));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn however_one_comes_to_a_room_the_fault_is_there() {
    let mut failures = Vec::new();
    for (at, room) in ROOMS.iter().enumerate() {
        let (thing, fault) = (THINGS[at % 7], FAULTS[at % 4]);
        let before = "Dining room. The wall is cracked.";
        let with = [("room", *room), ("thing", thing), ("is so", fault)];
        let ways = COME_TO
            .iter()
            .map(|way| format!("{way} The {{thing}} {{is so}}."));
        for way in ways.chain(THERE.iter().map(|way| (*way).to_owned())) {
            let said = filled(&way, &with);
            failures.extend(wrong(before, &said, room, thing, fault));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// What is wrong where not just the things, in this order, have the fault in bedroom two.
fn wrong_of(said: &str, things: &[&str], fault: &str) -> Option<String> {
    let all = items(&format!("Bedroom two.\n{said}"));
    let fits = |(item, thing): (&Item, &&str)| {
        item.place == "bedroom two" && item.element.ends_with(thing) && item.defect.contains(fault)
    };
    let right = all.len() == things.len() && all.iter().zip(things).all(fits);
    (!right).then(|| {
        let listed = |item: &Item| format!("{} | {}", item.element, item.defect);
        format!(
            "{said:?} makes {:?}",
            all.iter().map(listed).collect::<Vec<_>>()
        )
    })
}

#[test]
fn of_two_things_each_has_its_fault_and_of_one_the_one() {
    let mut failures = Vec::new();
    for (at, thing) in THINGS.iter().enumerate() {
        let (is_so, mark, other) = (FAULTS[at % 4], MARKS[at % 4], THINGS[(at + 3) % 8]);
        let so = is_so.trim_start_matches("is ");
        let names = [("thing", *thing), ("other", other)];
        let with = [&names[..], &[("is so", is_so), ("so", so), ("mark", mark)]].concat();
        for (ways, things) in [(OF_TWO, &[*thing, other][..]), (OF_ONE, &[*thing])] {
            for way in ways {
                let fault = if way.to_lowercase().contains("{mark}") {
                    mark
                } else {
                    so
                };
                failures.extend(wrong_of(&filled(way, &with), things, fault));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn a_thing_told_with_the_name_of_its_room_is_there() {
    let mut failures = Vec::new();
    for (at, room) in [
        "kitchen",
        "utility room",
        "landing",
        "bathroom",
        "bedroom two",
        "study",
    ]
    .iter()
    .enumerate()
    {
        let (thing, is_so, mark) = (THINGS[at], FAULTS[at % 4], MARKS[at % 4]);
        let with = [
            ("room", *room),
            ("thing", thing),
            ("is so", is_so),
            ("mark", mark),
        ];
        for way in OF_A_ROOM {
            let fault = if way.to_lowercase().contains("{mark}") {
                mark
            } else {
                is_so
            };
            failures.extend(wrong(
                "Lounge. The wall is cracked.",
                &filled(way, &with),
                room,
                thing,
                fault,
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn a_thing_named_with_another_room_is_there() {
    let before = "Bathroom. The wall is cracked.";
    for said in [
        "The socket in the lounge is loose.",
        "Socket in the lounge loose.",
    ] {
        assert_eq!(wrong(before, said, "lounge", "socket", "loose"), None);
    }
}
