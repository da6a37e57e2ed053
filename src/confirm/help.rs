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

/// The usual keys, for the foot of the screen; as many as fit are shown.
pub(super) const USUAL_KEYS: [(&str, &str); 8] = [
    ("a", "accept"),
    ("x", "reject"),
    ("s", "skip"),
    ("u", "undo"),
    ("?", "all keys"),
    ("q", "quit"),
    ("n", "new"),
    ("g", "go to"),
];

/// All keys of the terminal face.
pub(super) const ALL_KEYS: [(&str, &str); 18] = [
    (
        "a, Enter",
        "accept the item as it stands, and show the next undecided one",
    ),
    ("x", "reject it, with a reason"),
    (
        "s",
        "skip it: leave it undecided, and show the next undecided one",
    ),
    ("z", "restore it: make it undecided again"),
    (
        "u",
        "undo the last decision, also one from an earlier sitting",
    ),
    ("y", "do again what was undone"),
    ("A", "accept all undecided items of at least a confidence"),
    ("n", "write a new item by hand"),
    ("p o e d", "change place, position, element, defect"),
    (
        "t",
        "change the description: your own sentence is then kept",
    ),
    (
        "m c r w v k",
        "change measurements, count, remedy, trade, severity, remark",
    ),
    (
        "Left, Right",
        "the item before, the item after, decided or not",
    ),
    ("Home, End", "the first item, the last item"),
    ("g", "go to an item by its number"),
    ("Up, Down", "scroll a long card"),
    ("Tab", "while typing: words used elsewhere in the list"),
    ("Esc", "while typing: leave it as it was"),
    (
        "q, Ctrl-C",
        "quit; everything decided is kept, and you can go on later",
    ),
];

/// All commands of the plain face.
pub(super) const COMMANDS: [(&str, &str); 15] = [
    (
        "a",
        "accept the item as it stands, and show the next undecided one",
    ),
    ("r REASON", "reject it; the reason may be left out"),
    (
        "s",
        "skip it: leave it undecided, and show the next undecided one",
    ),
    (
        "e FIELD=TEXT",
        "change a field, such as e place=bedroom two; no text empties it",
    ),
    ("z", "restore it: make it undecided again"),
    (
        "u",
        "undo the last decision, also one from an earlier sitting",
    ),
    ("y", "do again what was undone"),
    ("n", "the item after, decided or not"),
    ("b", "the item before, decided or not"),
    ("g NUMBER", "go to an item by its number"),
    ("new PLACE; ELEMENT; DEFECT", "write a new item by hand"),
    (
        "above CONFIDENCE",
        "accept all undecided items of at least this confidence, 0 to 1",
    ),
    ("l", "list all items, one a line"),
    ("c, empty line", "the card again"),
    (
        "q",
        "quit; everything decided is kept, and you can go on later",
    ),
];
