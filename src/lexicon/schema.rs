//! The tables and keys that lexicon files may hold.

/// A table of the files: `[[place]]`, `[[element]]` and so on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Table {
    Place,
    Element,
    Defect,
    Remedy,
    Trade,
    Phrase,
    Group,
    Sound,
    Heard,
    Spelling,
    Caution,
    Voice,
    Sureness,
}

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// Any text.
    Text,
    /// Lowercase words as they are said.
    Wording,
    /// A list of wordings; one text counts as a list of one.
    Wordings,
    /// A list of names of other entries; one text counts as a list of one.
    Names,
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// `true` or `false`.
    Flag,
    /// A whole number from 0.
    Count,
    /// Pairs of names.
    Pairs,
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) form: Form,
    pub(super) required: bool,
}

const fn required(name: &'static str, form: Form) -> Key {
    Key {
        name,
        form,
        required: true,
    }
}

const fn optional(name: &'static str, form: Form) -> Key {
    Key {
        name,
        form,
        required: false,
    }
}

/// Keys that any entry may have: when and why it was learnt.
const NOTES: &[Key] = &[
    optional(LEARNT, Form::Text),
    optional("reason", Form::Text),
    optional("evidence", Form::Names),
];

/// The key that marks an entry as a lesson.
pub(super) const LEARNT: &str = "learnt";

const PLACE_KINDS: &[&str] = &[
    "room",
    "elevation",
    "outside",
    "roof",
    "loft",
    "garage",
    "common",
    "whole",
];
const STOREYS: &[&str] = &["ground", "first", "second", "any"];
const SEVERITIES: &[&str] = &["safety", "repair", "finish", "clean", "watch"];
const HEARD_KINDS: &[&str] = &["place", "element", "defect", "remedy", "trade", "phrase"];

impl Table {
    /// All tables with the names they have in the files.
    pub(super) const ALL: [(Table, &'static str); 13] = [
        (Table::Place, "place"),
        (Table::Element, "element"),
        (Table::Defect, "defect"),
        (Table::Remedy, "remedy"),
        (Table::Trade, "trade"),
        (Table::Phrase, "phrase"),
        (Table::Group, "group"),
        (Table::Sound, "sound"),
        (Table::Heard, "heard"),
        (Table::Spelling, "spelling"),
        (Table::Caution, "caution"),
        (Table::Voice, "voice"),
        (Table::Sureness, "sureness"),
    ];

    /// Returns the table of that name, or `None`.
    pub(super) fn named(name: &str) -> Option<Table> {
        Self::ALL
            .iter()
            .find(|(_, n)| *n == name)
            .map(|(table, _)| *table)
    }

    /// Returns its name in the files.
    pub(super) fn name(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(table, _)| *table == self)
            .map_or("", |(_, name)| name)
    }

    /// Returns the key that tells its entries apart: entries of the same table with the same value
    /// there are one entry.
    pub(super) fn identity(self) -> &'static str {
        match self {
            Table::Phrase => "kind",
            Table::Sound => "word",
            Table::Heard => "heard",
            Table::Spelling => "american",
            _ => "name",
        }
    }

    /// Returns its keys.
    pub(super) fn keys(self) -> &'static [Key] {
        match self {
            Table::Place => {
                const {
                    &[
                        required("name", Form::Wording),
                        optional("also", Form::Wordings),
                        optional("heard", Form::Wordings),
                        optional("shown", Form::Text),
                        required("kind", Form::OneOf(PLACE_KINDS)),
                        optional("sort", Form::Text),
                        optional("numbered", Form::Flag),
                        optional("numbered_also", Form::Wordings),
                        optional("alone_also", Form::Wordings),
                        optional("storey", Form::OneOf(STOREYS)),
                        optional("weak", Form::Flag),
                        optional("usual", Form::Flag),
                    ]
                }
            }
            Table::Element => {
                const {
                    &[
                        required("name", Form::Wording),
                        optional("also", Form::Wordings),
                        optional("heard", Form::Wordings),
                        optional("shown", Form::Text),
                        required("group", Form::Text),
                        optional("trade", Form::Text),
                        optional("by_whole", Form::Flag),
                        optional("found", Form::Names),
                        optional("weak", Form::Flag),
                        optional("part_of", Form::Names),
                        optional("gloss", Form::Text),
                    ]
                }
            }
            Table::Defect => {
                const {
                    &[
                        required("name", Form::Wording),
                        optional("also", Form::Wordings),
                        optional("heard", Form::Wordings),
                        optional("shown", Form::Text),
                        optional("verb", Form::Wordings),
                        optional("not", Form::Wordings),
                        optional("fails", Form::Wordings),
                        optional("lacks", Form::Wordings),
                        optional("signs", Form::Wordings),
                        required("befalls", Form::Names),
                        optional("elements", Form::Names),
                        optional("implies", Form::Text),
                        optional("brings", Form::Names),
                        optional("remedy", Form::Text),
                        optional("remedy_for", Form::Pairs),
                        optional("trade", Form::Text),
                        optional("severity", Form::OneOf(SEVERITIES)),
                        optional("weak", Form::Flag),
                        optional("predicate", Form::Text),
                        optional("gloss", Form::Text),
                    ]
                }
            }
            Table::Remedy => {
                const {
                    &[
                        required("name", Form::Wording),
                        optional("also", Form::Wordings),
                        optional("shown", Form::Text),
                        optional("verb", Form::Wordings),
                        optional("trade", Form::Text),
                        optional("gloss", Form::Text),
                    ]
                }
            }
            Table::Trade => {
                const {
                    &[
                        required("name", Form::Wording),
                        optional("also", Form::Wordings),
                        optional("shown", Form::Text),
                        optional("works_on", Form::Names),
                        optional("gloss", Form::Text),
                    ]
                }
            }
            Table::Phrase => {
                const {
                    &[
                        required("kind", Form::Text),
                        required("wordings", Form::Wordings),
                        optional("weak", Form::Wordings),
                    ]
                }
            }
            Table::Group => {
                const {
                    &[
                        required("name", Form::Text),
                        required("trade", Form::Text),
                        required("about", Form::Text),
                    ]
                }
            }
            Table::Sound => {
                const { &[required("word", Form::Wording), required("say", Form::Text)] }
            }
            Table::Heard => {
                const {
                    &[
                        required("heard", Form::Wording),
                        required("term", Form::Text),
                        required("kind", Form::OneOf(HEARD_KINDS)),
                        optional("count", Form::Count),
                        optional("near", Form::Names),
                    ]
                }
            }
            Table::Spelling => {
                const {
                    &[
                        required("british", Form::Wording),
                        required("american", Form::Wording),
                    ]
                }
            }
            Table::Voice => {
                const {
                    &[
                        required("name", Form::Text),
                        optional("elements", Form::Wordings),
                        optional("defects", Form::Wordings),
                        optional("confusions", Form::Names),
                    ]
                }
            }
            Table::Sureness => {
                const {
                    &[
                        required("name", Form::Text),
                        required("claims", Form::Names),
                    ]
                }
            }
            Table::Caution => {
                const {
                    &[
                        required("name", Form::Text),
                        required("heading", Form::Text),
                        required("text", Form::Text),
                        optional("britain", Form::Text),
                        optional("america", Form::Text),
                        optional("groups", Form::Names),
                        optional("elements", Form::Names),
                        optional("except", Form::Names),
                        optional("defects", Form::Names),
                        optional("words", Form::Wordings),
                        optional("places", Form::Names),
                        optional("severities", Form::Names),
                    ]
                }
            }
        }
    }

    /// Returns the key of that name, or `None`.
    pub(super) fn key(self, name: &str) -> Option<&'static Key> {
        self.keys().iter().chain(NOTES).find(|key| key.name == name)
    }
}
