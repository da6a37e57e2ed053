//! The keys and commands of both faces, in one place each.

use crate::job::Field;

/// Returns the key that edits a field, in the terminal and in the page.
pub fn field_key(field: Field) -> char {
    match field {
        Field::Place => 'p',
        Field::Position => 'o',
        Field::Element => 'e',
        Field::Defect => 'd',
        Field::Description => 't',
        Field::Measurement => 'm',
        Field::Count => 'c',
        Field::Remedy => 'r',
        Field::Trade => 'w',
        Field::Severity => 'v',
        Field::Remark => 'k',
    }
}

/// Returns the key that edits a field and accepts the item with it: the capital, where it has no other
/// meaning.
pub fn last_field_key(field: Field) -> Option<char> {
    let taken = matches!(field, Field::Place | Field::Measurement | Field::Count);
    (!taken).then(|| field_key(field).to_ascii_uppercase())
}

/// Returns the field that a key changes, and true where the item is accepted with it.
pub(super) fn field_of(key: char) -> Option<(Field, bool)> {
    let mut fields = Field::ALL.into_iter();
    fields.find_map(|field| {
        let last = last_field_key(field) == Some(key);
        (last || field_key(field) == key).then_some((field, last))
    })
}

/// The usual keys, for the foot of the screen; as many as fit are shown.
pub(super) const USUAL_KEYS: [(&str, &str); 11] = [
    ("a", "accept"),
    ("x", "reject"),
    ("s", "skip"),
    ("u", "undo"),
    ("?", "all keys"),
    ("q", "quit"),
    ("Space", "hear"),
    ("n", "new"),
    ("i", "not listed"),
    ("f", "filter"),
    ("g", "go to"),
];

/// All keys of the terminal face.
pub(super) const ALL_KEYS: [(&str, &str); 36] = [
    (
        "a, Enter",
        "accept the item as it stands, and show the next undecided one",
    ),
    ("x", "reject it, with a reason"),
    ("X", "reject it for the reason given last"),
    (
        "s",
        "skip it: leave it undecided, and show the next undecided one",
    ),
    ("z", "restore it: make it undecided again"),
    (
        "S",
        "say how its work stands since a later visit: put right, not put right, changed, …",
    ),
    (
        "u",
        "undo the last decision, also one from an earlier sitting",
    ),
    ("y", "do again what was undone"),
    (
        "Space, l",
        "hear the moment, from a second before; again stops it",
    ),
    ("p o e d", "change place, position, element, defect"),
    (
        "P",
        "after another place: take the items after it along that stand where it stood",
    ),
    (
        "t",
        "change the description: your own sentence is then kept",
    ),
    (
        "m c r w v k",
        "change measurements, count, remedy, trade, severity, remark",
    ),
    (
        "E D O W …",
        "as capitals: change it and accept the item (T R V K too); figures: a behind them",
    ),
    (
        "L",
        "after a correction: learn from it, as the lowest line offers",
    ),
    ("n", "write a new item by hand"),
    (
        "i",
        "show what was said and is in no item, to make an item of it",
    ),
    (
        "1 to 3",
        "make an item of what was said before this one and is in none, as the card shows it",
    ),
    ("b", "the same at other places too: copy the item there"),
    ("h", "split it into two, at a word of what was heard"),
    ("j", "join another item into it"),
    ("M", "move one or many items to another place"),
    ("N", "give it another number, or number all anew"),
    ("+ -", "attach a photo, detach one"),
    (
        "C",
        "accept the rest of this place, from a confidence on, unseen",
    ),
    (
        "A",
        "accept all undecided items from a confidence on, unseen",
    ),
    (
        "f",
        "show some only: a place, a trade, a severity, unsure first, outside limits, no photo",
    ),
    ("/", "search, in what was heard too"),
    ("Esc", "show all again; while typing: leave it as it was"),
    (
        "Left, Right",
        "the item before, the item after, decided or not",
    ),
    ("Home, End", "the first item, the last item"),
    ("g", "go to an item by its number"),
    ("Up, Down", "scroll a long card"),
    (
        "1 to 9",
        "while typing: take the text offered with that digit; a figure, with m or c again (M, C: and accept)",
    ),
    (
        "Tab",
        "while typing: put in what is offered, one after the other",
    ),
    (
        "q, Ctrl-C",
        "quit; everything decided is kept, and you can go on later",
    ),
];

/// All commands of the plain face.
pub(super) const COMMANDS: [(&str, &str); 34] = [
    (
        "a",
        "accept the item as it stands, and show the next undecided one",
    ),
    ("r REASON", "reject it; the reason may be left out"),
    (
        "stands HOW; NOTE",
        "say how its work stands since a later visit, such as stands changed; patchy",
    ),
    (
        "dismiss",
        "drop what a later visit is said to have found about it; a keeps it",
    ),
    (
        "s",
        "skip it: leave it undecided, and show the next undecided one",
    ),
    (
        "e FIELD=TEXT",
        "change a field, such as e place=bedroom two; no text empties it",
    ),
    (
        "o FIELD [TEXT]",
        "show what a field might be given, such as o element",
    ),
    ("z", "restore it: make it undecided again"),
    (
        "u",
        "undo the last decision, also one from an earlier sitting",
    ),
    ("y", "do again what was undone"),
    (
        "always",
        "after a correction: learn from it, as was offered",
    ),
    ("n", "the item after, decided or not"),
    ("b", "the item before, decided or not"),
    ("g NUMBER", "go to an item by its number"),
    ("new PLACE; ELEMENT; DEFECT", "write a new item by hand"),
    ("said", "list what was said and is in no item"),
    (
        "promote NUMBER [PLACE; ELEMENT; DEFECT]",
        "make an item of a statement that `said` lists",
    ),
    (
        "also PLACES",
        "the same at other places, such as also bedrooms two and three",
    ),
    (
        "split WORDS",
        "split it in two; the second begins with these words",
    ),
    ("merge NUMBER", "join that item into this one"),
    (
        "move NUMBERS to PLACE",
        "move items, such as move 4-7, 9 to loft",
    ),
    (
        "along",
        "after another place: take the items after it along that stand where it stood",
    ),
    ("number NUMBER", "give this item another number"),
    ("renumber", "number all items from 1, in order"),
    ("photo NAME", "attach a photo of the job's photos folder"),
    ("unphoto NAME", "detach it"),
    (
        "rest CONFIDENCE",
        "accept the undecided items of this place of at least this confidence",
    ),
    (
        "above CONFIDENCE",
        "accept all undecided items of at least this confidence, 0 to 1",
    ),
    (
        "show WHAT",
        "show some only: a place, trade, severity, unsure, outside, no photo, undecided; or all",
    ),
    (
        "find WORDS",
        "show the items with these words; no words for all",
    ),
    ("p", "hear the moment, from a second before"),
    ("l", "list the items shown, one a line"),
    ("c, empty line", "the card again"),
    (
        "q",
        "quit; everything decided is kept, and you can go on later",
    ),
];
